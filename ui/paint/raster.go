package paint

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"

	"abut/geometry"
)

// curveSagittaPx is how far a chord may stray from its curve on screen. A tenth
// of a pixel shifts coverage by at most a tenth, which no eye sees at an edge;
// halving it adds 40 % more chords.
const curveSagittaPx = 0.1

// rasteriser turns one path into coverage. It keeps its buffers between calls;
// it is not safe for concurrent use.
type rasteriser struct {
	nonzero vector.Rasterizer
	evenOdd accumulator
	lines   []line
}

// line is one straight piece of an outline in pixels of the box at hand.
type line struct{ x0, y0, x1, y1 float32 }

// fill writes the coverage of the path, mapped by m to world pixels, into box.
// dst is as wide as the box and is overwritten. Open contours are closed.
func (r *rasteriser) fill(dst *image.Alpha, path geometry.Path, m geometry.Affine, rule geometry.FillRule) {
	b := dst.Rect
	w, h := b.Dx(), b.Dy()
	if w <= 0 || h <= 0 {
		return
	}
	r.collect(path, m, b)
	if rule == geometry.EvenOdd {
		r.evenOdd.reset(w, h)
		for _, l := range r.lines {
			r.evenOdd.add(l)
		}
		r.evenOdd.writeEvenOdd(dst)
		return
	}
	r.nonzero.Reset(w, h)
	r.nonzero.DrawOp = draw.Src
	for _, l := range r.lines {
		// Signed areas add up edge by edge, so edges need no order and cut-off
		// ones no closing.
		r.nonzero.MoveTo(l.x0, l.y0)
		r.nonzero.LineTo(l.x1, l.y1)
	}
	r.nonzero.Draw(dst, b, image.Opaque, image.Point{})
}

// collect flattens the path into r.lines, relative to the box and cut to it:
// what lies above or below is dropped, what lies to the left or right is moved
// to that side, which leaves every winding number inside the box as it was.
// Coordinates of any size are safe after that.
func (r *rasteriser) collect(path geometry.Path, m geometry.Affine, box image.Rectangle) {
	r.lines = r.lines[:0]
	w, h := float64(box.Dx()), float64(box.Dy())
	m.E -= float64(box.Min.X)
	m.F -= float64(box.Min.Y)
	for _, c := range path {
		start := m.Apply(c.Start)
		from := start
		for _, s := range c.Segments {
			t := geometry.Segment{End: m.Apply(s.End), Cubic: s.Cubic}
			if s.Cubic {
				t.C1, t.C2 = m.Apply(s.C1), m.Apply(s.C2)
			}
			p := from
			if n := t.Chords(from, curveSagittaPx); n > 1 {
				for k := 1; k < n; k++ {
					q := t.Chord(from, k, n)
					r.clipped(p, q, w, h)
					p = q
				}
			}
			r.clipped(p, t.End, w, h)
			from = t.End
		}
		r.clipped(from, start, w, h)
	}
}

func (r *rasteriser) clipped(p, q geometry.Point, w, h float64) {
	if !p.Finite() || !q.Finite() || p.Y == q.Y || max(p.Y, q.Y) <= 0 || min(p.Y, q.Y) >= h {
		return
	}
	flip := p.Y > q.Y
	if flip {
		p, q = q, p
	}
	if p.Y < 0 {
		p = geometry.Pt(p.X+(q.X-p.X)*(-p.Y)/(q.Y-p.Y), 0)
	}
	if q.Y > h {
		q = geometry.Pt(p.X+(q.X-p.X)*(h-p.Y)/(q.Y-p.Y), h)
	}
	side := func(x float64) geometry.Point { return geometry.Pt(x, p.Y+(q.Y-p.Y)*(x-p.X)/(q.X-p.X)) }
	clamp := func(a geometry.Point) geometry.Point {
		return geometry.Pt(math.Min(math.Max(a.X, 0), w), math.Min(math.Max(a.Y, 0), h))
	}
	cuts := [4]geometry.Point{p}
	n := 1
	sides := [2]float64{0, w}
	if p.X > q.X {
		sides = [2]float64{w, 0}
	}
	for _, x := range sides {
		if min(p.X, q.X) < x && x < max(p.X, q.X) {
			cuts[n] = side(x)
			n++
		}
	}
	cuts[n] = q
	for i := 0; i < n; i++ {
		a, b := clamp(cuts[i]), clamp(cuts[i+1])
		if flip {
			a, b = b, a
		}
		r.add(a, b)
	}
}

// add adds an edge that lies within the picture; level ones count for nothing.
func (r *rasteriser) add(a, b geometry.Point) {
	if a.Y != b.Y {
		r.lines = append(r.lines, line{float32(a.X), float32(a.Y), float32(b.X), float32(b.Y)})
	}
}

// accumulator collects the signed area that edges cover, cell by cell, so that
// the running sum along a row is the winding number, fractional on edges. The
// idea is that of Raph Levien's font-rs (2016); x/image/vector does the same
// but folds the sum by the nonzero rule only.
type accumulator struct {
	w, h int
	area []float32
}

func (a *accumulator) reset(w, h int) {
	a.w, a.h = w, h
	// One spare cell a row takes what falls on the right side.
	n := (w + 1) * h
	if cap(a.area) < n {
		a.area = make([]float32, n)
		return
	}
	a.area = a.area[:n]
	clear(a.area)
}

// add spreads one edge, which must lie within the box, sides included.
func (a *accumulator) add(l line) {
	dir := float32(1)
	if l.y0 > l.y1 {
		l = line{l.x1, l.y1, l.x0, l.y0}
		dir = -1
	}
	slope := (l.x1 - l.x0) / (l.y1 - l.y0)
	x := l.x0
	last := int(math.Ceil(float64(l.y1)))
	if last > a.h {
		last = a.h
	}
	for y := int(l.y0); y < last; y++ {
		top, bottom := max(l.y0, float32(y)), min(l.y1, float32(y+1))
		if bottom <= top {
			continue
		}
		next := l.x0 + slope*(bottom-l.y0)
		next = min(max(next, 0), float32(a.w))
		row := a.area[y*(a.w+1) : (y+1)*(a.w+1)]
		a.spread(row, min(x, next), max(x, next), dir*(bottom-top))
		x = next
	}
}

// spread adds an edge that runs from x0 to x1 (x0 ≤ x1) within one row and
// covers d of the row's height: each cell gets the part of d·(cells to the
// right of the edge) that its running sum lacks.
func (a *accumulator) spread(row []float32, x0, x1, d float32) {
	i := int(x0)
	end := int(math.Ceil(float64(x1)))
	if end <= i+1 {
		mid := (x0+x1)/2 - float32(i)
		row[i] += d * (1 - mid)
		if i+1 < len(row) {
			row[i+1] += d * mid
		}
		return
	}
	// Integrate the covered area to the right of the edge up to each cell's
	// right side; cells get the differences.
	rise := d / (x1 - x0)
	covered := func(x float32) float32 { // ∫ up to x of the height already crossed
		t := min(max(x, x0), x1) - x0
		s := rise * t * t / 2
		if x > x1 {
			s += d * (x - x1)
		}
		return s
	}
	before, sum := float32(0), float32(0)
	for c := i; c < end && c < len(row); c++ {
		total := covered(float32(c + 1))
		cell := total - before
		row[c] += cell - sum
		sum, before = cell, total
	}
	if end < len(row) {
		row[end] += d - sum
	}
}

// writeEvenOdd folds the winding number as a triangle wave: 0 at even, 1 at
// odd windings, linear between, so edges keep their smooth coverage.
func (a *accumulator) writeEvenOdd(dst *image.Alpha) {
	for y := 0; y < a.h; y++ {
		row := a.area[y*(a.w+1) : (y+1)*(a.w+1)]
		out := dst.Pix[y*dst.Stride : y*dst.Stride+a.w]
		sum := float32(0)
		for x := range out {
			sum += row[x]
			v := sum
			if v < 0 {
				v = -v
			}
			v -= 2 * float32(int(v/2))
			if v > 1 {
				v = 2 - v
			}
			out[x] = uint8(v*255 + 0.5)
		}
	}
}
