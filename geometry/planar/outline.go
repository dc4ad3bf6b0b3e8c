package planar

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// RingPoints returns the vertices of a ring in order, without repeating the
// first.
func (d *Division) RingPoints(r Ring) []Point {
	n := 0
	for _, ref := range r.Seams {
		n += len(d.Seams[ref.Index()].Points) - 1
	}
	out := make([]Point, 0, n)
	for _, ref := range r.Seams {
		pts := d.Seams[ref.Index()].Points
		if ref.Backwards() {
			for i := len(pts) - 1; i > 0; i-- {
				out = append(out, pts[i])
			}
		} else {
			out = append(out, pts[:len(pts)-1]...)
		}
	}
	// A seam may go straight on into the next; and a closed one may start
	// amid a straight line.
	return slices.Clip(withoutStraight(out))
}

// withoutStraight takes out, in place, points that lie straight between others.
func withoutStraight(ring []Point) []Point {
	out := ring[:0]
	for _, p := range ring {
		for n := len(out); n > 1 && straight(out[n-2], out[n-1], p); n = len(out) {
			out = out[:n-1]
		}
		out = append(out, p)
	}
	for n := len(out); n > 3 && straight(out[n-2], out[n-1], out[0]); n = len(out) {
		out = out[:n-1]
	}
	for n := len(out); n > 3 && straight(out[n-1], out[0], out[1]); n = len(out) {
		out = out[1:]
	}
	return out
}

// Outline returns the boundary of the given pieces as closed contours in
// millimetres, to be filled even-odd: chords, or the curves that Smooth found.
// Inner contours come before the one that
// holds them: a cutter that frees the outer one first loses hold of the rest.
func (d *Division) Outline(pieces ...int) geometry.Path {
	var rings []Ring
	for _, p := range pieces {
		rings = append(rings, d.Pieces[p].Rings...)
	}
	// A ring within another encloses less.
	slices.SortStableFunc(rings, func(a, b Ring) int { return cmp.Compare(abs64(a.Area2), abs64(b.Area2)) })
	path := make(geometry.Path, 0, len(rings))
	for _, r := range rings {
		path = append(path, d.contour(r))
	}
	return path
}

// All is Outline of every piece.
func (d *Division) All() geometry.Path {
	pieces := make([]int, len(d.Pieces))
	for i := range pieces {
		pieces[i] = i
	}
	return d.Outline(pieces...)
}

func (d *Division) contour(r Ring) geometry.Contour {
	if d.Seams[r.Seams[0].Index()].Curve == nil {
		pts := d.RingPoints(r)
		c := geometry.Contour{Start: pts[0].MM(), Segments: make([]geometry.Segment, len(pts)-1), Closed: true}
		for i, p := range pts[1:] {
			c.Segments[i].End = p.MM()
		}
		return c
	}
	c := geometry.Contour{Closed: true}
	for i, ref := range r.Seams {
		s := &d.Seams[ref.Index()]
		run := geometry.Contour{Start: s.Points[0].MM(), Segments: s.Curve}
		if ref.Backwards() {
			run = geometry.Path{run}.Reverse()[0]
		}
		if i == 0 {
			c.Start = run.Start
		}
		c.Segments = append(c.Segments, run.Segments...)
	}
	if last := len(c.Segments) - 1; !c.Segments[last].Cubic {
		c.Segments = c.Segments[:last] // closing draws it
	}
	return c
}

// CutLengthMM returns the length of the boundary of the given pieces.
func (d *Division) CutLengthMM(pieces ...int) float64 {
	sum := 0.0
	for _, p := range pieces {
		for _, r := range d.Pieces[p].Rings {
			for _, ref := range r.Seams {
				sum += d.Seams[ref.Index()].LengthMM
			}
		}
	}
	return sum
}

// Inside returns a point well inside a piece, for a label to stand at: the
// middle of a wide place, not necessarily of the widest.
func (d *Division) Inside(piece int) geometry.Point {
	p := &d.Pieces[piece]
	var rings [][]Point
	for _, r := range p.Rings {
		rings = append(rings, d.RingPoints(r))
	}
	// Half a step off the grid, a scan line meets no vertex.
	level := func(v float64) float64 { return math.Floor(v*StepsPerMM) + 0.5 }
	const lines = 16
	var ys, across [lines]float64
	for i := range ys {
		ys[i] = p.Bounds.Min.Y + p.Bounds.Height()*(float64(i)+0.5)/lines
		across[i] = level(ys[i])
	}
	// A vertical line through the middle of the widest stretch of each.
	type column struct{ x, y, width, level float64 }
	columns := make([]column, lines)
	for i, cuts := range cutsOf(rings, across[:], false) {
		widest := [2]float64{}
		for k := 0; k+1 < len(cuts); k += 2 {
			if cuts[k+1]-cuts[k] > widest[1]-widest[0] {
				widest = [2]float64{cuts[k], cuts[k+1]}
			}
		}
		x := (widest[0] + widest[1]) / 2
		columns[i] = column{x, ys[i], widest[1] - widest[0], level(x)}
	}
	slices.SortStableFunc(columns, func(a, b column) int { return cmp.Compare(a.level, b.level) })
	var down [lines]float64
	for i, c := range columns {
		down[i] = c.level
	}
	cuts := cutsOf(rings, down[:], true)
	best, room, at := p.Bounds.Centre(), -1.0, math.Inf(1)
	for i, c := range columns {
		for k := 0; k+1 < len(cuts[i]); k += 2 {
			lo, hi := cuts[i][k], cuts[i][k+1]
			// Of equals the topmost.
			if r := math.Min(c.width, hi-lo); lo <= c.y && c.y <= hi && (r > room || r == room && c.y < at) {
				best, room, at = geometry.Point{X: c.x, Y: (lo + hi) / 2}, r, c.y
			}
		}
	}
	return best
}

// cutsOf returns where horizontal lines at the given levels, ascending and none on a
// whole step, cross the rings (or vertical ones), in millimetres, ascending: between
// one and the next a line runs inside, then outside, and so on.
func cutsOf(rings [][]Point, levels []float64, vertical bool) [][]float64 {
	cuts := make([][]float64, len(levels))
	// Nearly every line crosses few sides.
	const some = 8
	all := make([]float64, some*len(levels))
	for i := range cuts {
		cuts[i] = all[i*some : i*some : (i+1)*some]
	}
	at := func(p Point) (u, x float64) {
		if vertical {
			return float64(p.X), float64(p.Y)
		}
		return float64(p.Y), float64(p.X)
	}
	for _, ring := range rings {
		u, x := at(ring[len(ring)-1])
		i, _ := slices.BinarySearch(levels, u) // the levels below u
		for _, q := range ring {
			// Most sides cross none.
			v, y := at(q)
			from := i
			for i < len(levels) && levels[i] < v {
				i++
			}
			for i > 0 && levels[i-1] > v {
				i--
			}
			for k := min(from, i); k < max(from, i); k++ {
				cuts[k] = append(cuts[k], (x+(levels[k]-u)*(y-x)/(v-u))/StepsPerMM)
			}
			u, x = v, y
		}
	}
	for _, c := range cuts {
		slices.Sort(c)
	}
	return cuts
}
