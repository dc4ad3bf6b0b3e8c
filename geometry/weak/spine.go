package weak

import (
	"math"

	"abut/geometry"
)

// spine joins the centres of discs that follow each other along the outline. A
// point's are left out near its tip, which a disc of half the width further back
// covers.
func spine(discs []disc, l *lengths, point bool, tip geometry.Point) [][2]geometry.Point {
	kept := discs
	if point {
		kept = awayFrom(tip, discs, l.r-l.bar)
	}
	// Both sides of a thin place have the same middle: what another line covers
	// is left out.
	out := lines{same: l.same}
	for i := 0; i < len(kept); {
		k := i + straightRun(kept[i:], l.straight) // becomes one line
		a, b := kept[i].c, kept[k].c
		if !(out.cover(a) && out.cover(b) && out.cover(a.Lerp(b, 0.5))) {
			out.add(a, b)
		}
		if k > i && k+1 < len(kept) && kept[k+1].run == kept[i].run {
			i = k // lines of a run share their ends
		} else if k+1 < len(kept) && kept[k+1].run == kept[k].run && kept[k+1].c.Sub(b).Len() < l.r {
			out.add(b, kept[k+1].c)
			i = k + 1
		} else {
			i = k + 1
		}
	}
	return out.all
}

// awayFrom returns the discs that lie so far from a tip or further, or the furthest.
func awayFrom(tip geometry.Point, discs []disc, far float64) []disc {
	var kept []disc
	furthest := discs[0]
	for _, d := range discs {
		if d.c.Sub(tip).Len() > furthest.c.Sub(tip).Len() {
			furthest = d
		}
		if d.c.Sub(tip).Len() >= far {
			kept = append(kept, d)
		}
	}
	if len(kept) == 0 {
		kept = append(kept, furthest)
	}
	return kept
}

// straightRun returns how many discs follow the first in its run, all with their
// centres within off of the line from the first to the last. O(n), but where a
// centre only just is.
func straightRun(discs []disc, off float64) int {
	a := discs[0].c
	far, n := 0.0, 0
	ways := bearings{all: true}
	for n+1 < len(discs) && discs[n+1].run == discs[0].run {
		v := discs[n+1].c.Sub(a)
		l := v.Len()
		// Surely so where all lie that near to the first, and where this one lies
		// further than all before it in a direction that passes each of them.
		if far > surely*off && !(l > far && ways.hold(v)) && !straight(discs[:n+2], off) {
			break
		}
		n++
		far = math.Max(far, l)
		ways.pass(v, l, surely*off)
	}
	return n
}

// surely is what rounding cannot make up for, as a share.
const surely = 1 - 1e-6

// straight reports whether the centres between lie on the line from the first to
// the last.
func straight(discs []disc, off float64) bool {
	l := side{a: discs[0].c, b: discs[len(discs)-1].c}
	for i := range discs {
		if l.distance(discs[i].c) > off {
			return false
		}
	}
	return true
}

// bearings are directions between two that are less than half a turn apart.
type bearings struct {
	left, right geometry.Point // right is clockwise of left on screen
	all, none   bool
}

// pass leaves the directions that pass what lies at v, n away, within off.
func (w *bearings) pass(v geometry.Point, n, off float64) {
	if n <= off || w.none {
		return
	}
	sin := off / n
	cos := math.Sqrt(1 - sin*sin)
	left := geometry.Pt(v.X*cos+v.Y*sin, v.Y*cos-v.X*sin)
	right := geometry.Pt(v.X*cos-v.Y*sin, v.Y*cos+v.X*sin)
	switch {
	case w.all:
		*w = bearings{left: left, right: right}
	case w.left.Dot(v) <= 0 || w.right.Dot(v) <= 0:
		w.none = true // or hardly any
	default:
		if w.left.Cross(left) > 0 {
			w.left = left
		}
		if right.Cross(w.right) > 0 {
			w.right = right
		}
		w.none = w.left.Cross(w.right) <= 0
	}
}

// hold reports whether v is one of them.
func (w *bearings) hold(v geometry.Point) bool {
	return w.all || !w.none && w.left.Cross(v) > 0 && v.Cross(w.right) > 0
}

// lines are those of a spine so far, filed by the cells that they come near to
// once they are many.
type lines struct {
	same  float64
	all   [][2]geometry.Point
	filed int
	cells map[[2]int32][]int32
}

const (
	// So few lines are looked through.
	fewLines = 32
	// A cell is so many times as large as what counts as the same.
	cellSames = 8
)

func (l *lines) add(a, b geometry.Point) {
	l.all = append(l.all, [2]geometry.Point{a, b})
	if len(l.all) <= fewLines {
		return
	}
	if l.cells == nil {
		l.cells = map[[2]int32][]int32{}
	}
	for ; l.filed < len(l.all); l.filed++ {
		a, b := l.all[l.filed][0], l.all[l.filed][1]
		n := math.Ceil(b.Sub(a).Len()/(cellSames*l.same)) + 1
		for i := range int(n) {
			p, q := a.Lerp(b, float64(i)/n), a.Lerp(b, float64(i+1)/n)
			r := geometry.EmptyRect().Include(p).Include(q).Grow(1.01 * l.same)
			from, to := l.cell(r.Min), l.cell(r.Max)
			for y := from[1]; y <= to[1]; y++ {
				for x := from[0]; x <= to[0]; x++ {
					k := [2]int32{x, y}
					if in := l.cells[k]; len(in) == 0 || in[len(in)-1] != int32(l.filed) {
						l.cells[k] = append(in, int32(l.filed))
					}
				}
			}
		}
	}
}

func (l *lines) cell(p geometry.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p.X / (cellSames * l.same))), int32(math.Floor(p.Y / (cellSames * l.same)))}
}

// cover reports whether p lies on one of the lines.
func (l *lines) cover(p geometry.Point) bool {
	on := func(i int) bool { return (&side{a: l.all[i][0], b: l.all[i][1]}).distance(p) < l.same }
	if l.cells == nil {
		for i := range l.all {
			if on(i) {
				return true
			}
		}
		return false
	}
	for _, i := range l.cells[l.cell(p)] {
		if on(int(i)) {
			return true
		}
	}
	return false
}
