package geometry

import (
	"math"
	"slices"
)

// maxChords bounds the chords of one cubic. At the usual sagitta of 0.01 mm
// it is reached by a curve with a control polygon kilometres long; such a curve
// is cut no finer, since nothing that can be pressed needs it.
const maxChords = 1 << 14

// Chords returns how many chords of equal parameter length keep the cubic from
// `from` within sagitta (> 0) of its curve; 1 for a straight segment, and
// maxChords at most. The count is the same for the curve run backwards.
//
// The distance between a curve and its chord over a parameter step h is at most
// h²/8·max|B″|, and |B″| ≤ 6·max second difference of the controls (Wang's
// bound; Goldman, Pyramid Algorithms, 2002, section 5.6.3). It holds for
// coincident controls too, where tests of flatness by angle or distance fail.
func (s Segment) Chords(from Point, sagitta float64) int {
	if !s.Cubic {
		return 1
	}
	d1 := from.Sub(s.C1.Mul(2)).Add(s.C2)
	d2 := s.C1.Sub(s.C2.Mul(2)).Add(s.End)
	m := math.Sqrt(math.Max(d1.Dot(d1), d2.Dot(d2)))
	n := math.Ceil(math.Sqrt(0.75 * m / sagitta))
	if !(n > 1) {
		return 1
	}
	return int(math.Min(n, maxChords))
}

// Flatten returns the path with every cubic replaced by chords that stray from
// it by at most sagitta (> 0). End points are kept exactly. A curve and the
// same curve run backwards give the same points, so that neighbours drawn to
// abut stay abutting. Contours without curves keep their segments, which both paths share.
func (p Path) Flatten(sagitta float64) Path {
	out := make(Path, len(p))
	for i, c := range p {
		if !slices.ContainsFunc(c.Segments, func(s Segment) bool { return s.Cubic }) {
			c.Segments = slices.Clip(c.Segments)
			out[i] = c
			continue
		}
		flat := Contour{Start: c.Start, Closed: c.Closed, Segments: make([]Segment, 0, len(c.Segments))}
		from := c.Start
		for _, s := range c.Segments {
			n := s.Chords(from, sagitta)
			for k := 1; k < n; k++ {
				flat.Segments = append(flat.Segments, LineTo(s.Chord(from, k, n)))
			}
			flat.Segments = append(flat.Segments, LineTo(s.End))
			from = s.End
		}
		out[i] = flat
	}
	return out
}

// Chord returns the end of chord k of n of the segment that starts at from: see Chorded.
func (s *Segment) Chord(from Point, k, n int) Point {
	c := s.Chorded(from, n)
	return c.End(k)
}

// Chorded is a segment that is cut into chords of equal parameter length. Their ends are
// computed from the end of the segment that sorts first, so that both directions of a curve agree to
// the last bit.
type Chorded struct {
	of       Segment
	from     Point
	n        int
	backward bool
}

// Chorded returns the segment that starts at from, cut into n chords.
func (s *Segment) Chorded(from Point, n int) Chorded {
	a, b := from, s.End
	if a == b { // a loop: its controls tell the directions apart
		a, b = s.C1, s.C2
	}
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		return Chorded{Segment{C1: s.C2, C2: s.C1, End: from, Cubic: s.Cubic}, s.End, n, true}
	}
	return Chorded{*s, from, n, false}
}

// End returns where chord k ends, at parameter k/n.
func (c *Chorded) End(k int) Point {
	if c.backward {
		k = c.n - k
	}
	return c.of.At(c.from, float64(k)/float64(c.n))
}
