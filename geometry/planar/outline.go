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
	cuts := newCuts(lines)
	for i := range ys {
		ys[i] = p.Bounds.Min.Y + p.Bounds.Height()*(float64(i)+0.5)/lines
		across[i] = level(ys[i])
	}
	// A vertical line through the middle of the widest stretch of each.
	type column struct{ x, y, width, level float64 }
	columns := make([]column, lines)
	for i, at := range cuts.of(rings, across[:], false) {
		widest := [2]float64{}
		for k := 0; k+1 < len(at); k += 2 {
			if at[k+1]-at[k] > widest[1]-widest[0] {
				widest = [2]float64{at[k], at[k+1]}
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
	cut := cuts.of(rings, down[:], true)
	best, room, at := p.Bounds.Centre(), -1.0, math.Inf(1)
	for i, c := range columns {
		for k := 0; k+1 < len(cut[i]); k += 2 {
			lo, hi := cut[i][k], cut[i][k+1]
			// Of equals the topmost.
			if r := math.Min(c.width, hi-lo); lo <= c.y && c.y <= hi && (r > room || r == room && c.y < at) {
				best, room, at = geometry.Point{X: c.x, Y: (lo + hi) / 2}, r, c.y
			}
		}
	}
	return best
}

// cuts are where lines cross rings: of each, in millimetres, ascending.
type cuts [][]float64

// newCuts returns room for those of so many lines. Nearly every line crosses few sides.
func newCuts(lines int) cuts {
	const some = 8
	c, all := make(cuts, lines), make([]float64, some*lines)
	for i := range c {
		c[i] = all[i*some : i*some : (i+1)*some]
	}
	return c
}

// of returns where horizontal lines at the given levels, ascending and all half a step off the
// grid, cross the rings (or vertical ones): between one and the next a line runs inside, then
// outside, and so on. They take the place of those before.
func (c cuts) of(rings [][]Point, levels []float64, vertical bool) cuts {
	for i := range c {
		c[i] = c[i][:0]
	}
	for _, ring := range rings {
		last := ring[len(ring)-1]
		i, _ := slices.BinarySearch(levels, float64(last.along(vertical))) // the levels before it
		// Most sides cross none: from, and no further than to, is between the same two.
		from, to := stepsBetween(levels, i)
		for _, q := range ring {
			if v := q.along(vertical); v <= from || v > to {
				i = c.side(last, q, levels, i, vertical)
				from, to = stepsBetween(levels, i)
			}
			last = q
		}
	}
	for _, at := range c {
		slices.Sort(at)
	}
	return c
}

// side adds where a side from p to q crosses levels, of which so many come before p, and
// returns how many come before q.
func (c cuts) side(p, q Point, levels []float64, before int, vertical bool) int {
	u, v := float64(p.along(vertical)), float64(q.along(vertical))
	x, y := float64(p.along(!vertical)), float64(q.along(!vertical))
	i, _ := slices.BinarySearch(levels, v)
	for k := min(before, i); k < max(before, i); k++ {
		c[k] = append(c[k], (x+(levels[k]-u)*(y-x)/(v-u))/StepsPerMM)
	}
	return i
}

// along returns the coordinate that tells which horizontal lines are before a vertex, or which vertical ones.
func (p Point) along(vertical bool) int32 {
	if vertical {
		return p.X
	}
	return p.Y
}

// stepsBetween returns the last step before level i−1 and the last before level i: what lies
// beyond the former and not beyond the latter is between them.
func stepsBetween(levels []float64, i int) (from, to int32) {
	from, to = math.MinInt32, math.MaxInt32
	if i > 0 {
		from = int32(math.Floor(levels[i-1]))
	}
	if i < len(levels) {
		to = int32(math.Floor(levels[i]))
	}
	return from, to
}
