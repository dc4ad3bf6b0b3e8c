package mend

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
)

const (
	// squareWidths is how long the side is at least at which a line ends straight, and at most, in how broad the
	// line is there.
	squareWidths, mostSquare = 0.7, 1.5
	// uprightEnd is the cosine of the angle that such an end makes with its line at least.
	uprightEnd = 0.35
)

// squared returns strokes that make a limb broad, round at the end as a pen's, with corners where it was
// cut off straight, and no longer than it was; others as they are. Errors as own.Lay.
func (s *Spot) squared(ctx context.Context, strokes geometry.Path, width float64) (geometry.Path, error) {
	if s.whole == nil || !limb(s) || tapers(s) {
		return strokes, nil
	}
	a, b, out, ok := s.squareEnd()
	if !ok {
		return strokes, nil
	}
	mid, along := a.Lerp(b, 0.5), b.Sub(a).Mul(1/b.Sub(a).Len())
	half := along.Mul(width / 2)
	deep := out.Mul(-width / 2)
	end := clockwise(mid.Add(half), mid.Sub(half), mid.Sub(half).Add(deep), mid.Add(half).Add(deep))
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: strokes, Rule: geometry.EvenOdd}, {Path: geometry.Path{end}}}}, planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	far, side := out.Mul(width), along.Mul(width)
	beyond := clockwise(mid.Add(side), mid.Sub(side), mid.Sub(side).Add(far), mid.Add(side).Add(far))
	return minus(ctx, d.All(), geometry.Path{beyond})
}

// squareEnd returns the straight side at which the end of a line was cut off, with the direction out of it; false
// where it ends otherwise.
func (s *Spot) squareEnd() (a, b, out geometry.Point, ok bool) {
	base, n := geometry.Point{}, 0.0 // the middle of where it joins its piece
	for _, c := range s.Outline {
		for p, q := range c.Sides() {
			if mid := p.Lerp(q, 0.5); s.whole.Distance(mid) > own.HealMM/4 {
				base, n = base.Add(mid.Mul(q.Sub(p).Len())), n+q.Sub(p).Len()
			}
		}
	}
	if n == 0 {
		return a, b, out, false
	}
	base = base.Mul(1 / n)
	furthest := 0.0
	for _, c := range s.Outline {
		for p, q := range c.Sides() {
			side, way := q.Sub(p), p.Lerp(q, 0.5).Sub(base)
			length, far := side.Len(), way.Len()
			if length < squareWidths*s.WidthMM || length > mostSquare*s.WidthMM || far <= furthest || math.Abs(side.Dot(way)) > uprightEnd*length*far {
				continue
			}
			furthest, a, b = far, p, q
			if out = geometry.Pt(side.Y, -side.X).Mul(1 / length); out.Dot(way) < 0 {
				out = out.Mul(-1)
			}
		}
	}
	// Nothing of it lies further out.
	for _, c := range s.Outline {
		for p := range c.Sides() {
			if p.Sub(a).Dot(out) > own.HealMM {
				return a, b, out, false
			}
		}
	}
	return a, b, out, furthest > 0
}
