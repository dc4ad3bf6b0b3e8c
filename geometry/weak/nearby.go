package weak

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"abut/geometry"
)

// nearby answers whether a place is near one of many. It is a picture of cells,
// of which each row is kept as the stretches that are in it.
type nearby struct {
	cell  float64
	count int // of cells
	top   int32
	row   []int32 // row[i] to row[i+1] index stretches for row top + i
	all   []stretch
}

// stretch is the cells x0 to x1 of a row.
type stretch struct{ y, x0, x1 int32 }

func newNearby(places iter.Seq[geometry.Point], within float64) *nearby {
	const fine = 4 // cells in that distance
	// How far the cells near one reach to either side, by rows away from it.
	var reach [fine + 1]int32
	for dy := range reach {
		reach[dy] = int32(math.Sqrt(float64(fine*fine + fine - dy*dy)))
	}
	k := &nearby{cell: within / fine}
	var list []stretch
	last := [2]int32{math.MinInt32, 0}
	for p := range places {
		x, y := k.at(p)
		if last == [2]int32{x, y} {
			continue // as near to everything as the one before
		}
		last = [2]int32{x, y}
		list = append(list, stretch{y, x, x})
	}
	// Most cells are those of many places.
	list = merged(list)
	k.all = make([]stretch, 0, len(list)*(2*fine+1))
	for _, s := range list {
		for dy := int32(-fine); dy <= fine; dy++ {
			n := reach[max(dy, -dy)]
			k.all = append(k.all, stretch{s.y + dy, s.x0 - n, s.x1 + n})
		}
	}
	k.all = slices.Clip(merged(k.all))
	if len(k.all) > 0 {
		k.top = k.all[0].y
		k.row = make([]int32, k.all[len(k.all)-1].y-k.top+2)
	}
	for _, s := range k.all {
		k.row[s.y-k.top+1]++
		k.count += int(s.x1 - s.x0 + 1)
	}
	for i := range len(k.row) - 1 {
		k.row[i+1] += k.row[i]
	}
	return k
}

// merged sorts stretches and joins those that overlap or touch.
func merged(list []stretch) []stretch {
	slices.SortFunc(list, func(a, b stretch) int { return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x0, b.x0)) })
	out := list[:0]
	for _, s := range list {
		if n := len(out); n > 0 && out[n-1].y == s.y && s.x0 <= out[n-1].x1+1 {
			out[n-1].x1 = max(out[n-1].x1, s.x1)
		} else {
			out = append(out, s)
		}
	}
	return out
}

func (k *nearby) at(p geometry.Point) (x, y int32) {
	return int32(math.Floor(p.X / k.cell)), int32(math.Floor(p.Y / k.cell))
}

// touches reports whether the bounds of a line from a to b are near. So
// large ones that most cells lie in them count as near.
func (k *nearby) touches(a, b geometry.Point) bool {
	if k.count == 0 {
		return false
	}
	r := geometry.EmptyRect().Include(a).Include(b)
	x0, y0 := k.at(r.Min)
	x1, y1 := k.at(r.Max)
	if int64(x1-x0+1)*int64(y1-y0+1) > int64(4*k.count) {
		return true
	}
	for y := max(y0, k.top); y <= min(y1, k.top+int32(len(k.row))-2); y++ {
		row := k.all[k.row[y-k.top]:k.row[y-k.top+1]]
		i, _ := slices.BinarySearchFunc(row, x0, func(s stretch, x int32) int { return cmp.Compare(s.x1, x) })
		if i < len(row) && row[i].x0 <= x1 {
			return true
		}
	}
	return false
}
