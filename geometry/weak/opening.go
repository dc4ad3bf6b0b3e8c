package weak

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// open returns, for each shape with thin places, what is left of it there
// after shrinking by half the width and growing back, as figures of one layer.
// It is larger than the true opening where nothing thin is near.
func (f *finder) open(ctx context.Context) ([][]planar.Figure, error) {
	n := len(f.shapes)
	r := f.o.WidthMM / 2
	out := make([][]planar.Figure, n)
	layers := make([]planar.Layer, 2*n)
	near := make([]*nearby, n)
	for i := range f.shapes {
		s := &f.shapes[i]
		if len(s.discs) == 0 {
			continue
		}
		near[i] = newNearby(s.discs, f.reach*f.o.WidthMM)
		layers[i].Figures = []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}
		layers[n+i].Figures = []planar.Figure{{Path: near[i].band(s.outline, -r)}}
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM, MaxCrossings: maxCrossings})
	if err != nil {
		return nil, err
	}
	d, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if len(cover) == 0 || int(cover[0]) >= n {
			return planar.None
		}
		if _, shrunk := slices.BinarySearch(cover, int32(n)+cover[0]); shrunk {
			return planar.None
		}
		return cover[0]
	}))
	if err != nil {
		return nil, err
	}
	for k := range d.Pieces {
		i := d.Pieces[k].Label
		core := d.Outline(k)
		out[i] = append(out[i],
			planar.Figure{Path: core, Rule: geometry.EvenOdd},
			planar.Figure{Path: near[i].band(core, r+slackMM)})
	}
	return out, nil
}

// nearby answers whether a place is near a disc.
type nearby struct {
	cell float64
	in   map[[2]int32]bool
}

func newNearby(discs []disc, within float64) *nearby {
	const fine = 4 // cells in that distance
	k := &nearby{cell: within / fine, in: map[[2]int32]bool{}}
	last := [2]int32{math.MinInt32, 0}
	for i := range discs {
		x, y := k.at(discs[i].c)
		if last == [2]int32{x, y} {
			continue // as near to everything as the one before
		}
		last = [2]int32{x, y}
		for dy := int32(-fine); dy <= fine; dy++ {
			for dx := int32(-fine); dx <= fine; dx++ {
				if dx*dx+dy*dy <= fine*fine+fine {
					k.in[[2]int32{x + dx, y + dy}] = true
				}
			}
		}
	}
	return k
}

func (k *nearby) at(p geometry.Point) (x, y int32) {
	return int32(math.Floor(p.X / k.cell)), int32(math.Floor(p.Y / k.cell))
}

func (k *nearby) touches(a, b geometry.Point) bool {
	r := geometry.EmptyRect().Include(a).Include(b)
	x0, y0 := k.at(r.Min)
	x1, y1 := k.at(r.Max)
	if int64(x1-x0+1)*int64(y1-y0+1) > int64(4*len(k.in)) {
		return true
	}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			if k.in[[2]int32{x, y}] {
				return true
			}
		}
	}
	return false
}

// band is geometry.OffsetBand of the parts of the outline that are near: what a
// quad beside each side and a sector at each corner that opens cover together.
// Where these follow each other, the sides that two of them have in common, once
// each way, are left out: they would be most of what has to be cut with the rest.
func (k *nearby) band(p geometry.Path, d float64) geometry.Path {
	var out geometry.Path
	all := sides(p)
	for i := 0; i < len(all); {
		if !k.touches(all[i].a, all[i].b) {
			i++
			continue
		}
		first := i
		pts := []geometry.Point{all[i].a}
		for {
			s := &all[i]
			n := s.inward().Mul(-d)
			next := s.next == int32(i+1) && k.touches(all[i+1].a, all[i+1].b)
			m := all[s.next].inward().Mul(-d)
			pts = append(pts, s.a.Add(n), s.b.Add(n))
			if turn := n.Cross(m) * math.Copysign(1, d); turn > 0 || turn == 0 && n.Dot(m) < 0 {
				pts = appendArc(pts, s.b, n, m, d)
			} else if next && turn != 0 {
				pts = append(pts, s.b)
			}
			if i++; !next {
				break
			}
		}
		for j := i - 1; j >= first; j-- {
			pts = append(pts, all[j].b)
		}
		c := geometry.Polygon(pts...)
		if d < 0 {
			c = geometry.Path{c}.Reverse()[0]
		}
		out = append(out, c)
	}
	return out
}

// appendArc appends the arc around b that follows its end b + n and leads to
// b + m, in chords that stray less than the map's sagitta.
func appendArc(pts []geometry.Point, b, n, m geometry.Point, d float64) []geometry.Point {
	angle := math.Atan2(n.Cross(m), n.Dot(m))
	if angle == 0 {
		angle = math.Copysign(math.Pi, d)
	}
	r := math.Abs(d)
	step := 2 * math.Acos(math.Max(0, 1-sagittaMM/r))
	k := max(1, int(math.Ceil(math.Abs(angle)/step)))
	for i := 1; i < k; i++ {
		sin, cos := math.Sincos(angle * float64(i) / float64(k))
		pts = append(pts, b.Add(geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos)))
	}
	return append(pts, b.Add(m))
}
