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
	var out []Point
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

func withoutStraight(ring []Point) []Point {
	out := ring[:0:0]
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
		mm := make([]geometry.Point, len(pts))
		for i, p := range pts {
			mm[i] = p.MM()
		}
		return geometry.Polygon(mm...)
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
	best, room := p.Bounds.Centre(), -1.0
	const levels = 16
	for i := range levels {
		// Half a step off the grid, a scan line meets no vertex.
		y := p.Bounds.Min.Y + p.Bounds.Height()*(float64(i)+0.5)/levels
		widest := [2]float64{}
		for _, span := range spans(rings, y, false) {
			if span[1]-span[0] > widest[1]-widest[0] {
				widest = span
			}
		}
		x := (widest[0] + widest[1]) / 2
		for _, up := range spans(rings, x, true) {
			if up[0] <= y && y <= up[1] {
				if r := math.Min(widest[1]-widest[0], up[1]-up[0]); r > room {
					best, room = geometry.Point{X: x, Y: (up[0] + up[1]) / 2}, r
				}
			}
		}
	}
	return best
}

// spans returns where a horizontal line at y = at (a vertical one at x = at)
// runs inside the rings, in millimetres.
func spans(rings [][]Point, at float64, vertical bool) [][2]float64 {
	level := math.Floor(at*StepsPerMM) + 0.5
	var cuts []float64
	for _, ring := range rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			u, v, x, y := float64(p.Y), float64(q.Y), float64(p.X), float64(q.X)
			if vertical {
				u, v, x, y = x, y, u, v
			}
			if (u < level) != (v < level) {
				cuts = append(cuts, (x+(level-u)*(y-x)/(v-u))/StepsPerMM)
			}
		}
	}
	slices.Sort(cuts)
	var out [][2]float64
	for i := 0; i+1 < len(cuts); i += 2 {
		out = append(out, [2]float64{cuts[i], cuts[i+1]})
	}
	return out
}
