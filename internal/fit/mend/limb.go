package mend

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// limbTimes is how many times as long as it is broad on average a limb is at least.
const limbTimes = 1.25

// limb reports whether a spot is a part of its piece that sticks out of it into one neighbour, or into what is
// bare, and is longer than broad, such as the rod on a dome or a tail: short as it is, it is what one
// sees there, and missed when it goes. A point is none: it loses a little of its length.
func limb(s *Spot) bool {
	if s.Kind != weak.Sliver || s.Whole || s.AreaMM2 < thingMM2 || s.LengthMM < limbTimes*s.WidthMM {
		return false
	}
	all, most := 0.0, 0.0
	for _, n := range s.Neighbours {
		if n.Of != s.Of {
			all += n.LengthMM
			most = math.Max(most, n.LengthMM)
		}
	}
	return most >= enclosing*all
}

// taperShare is by how much a limb is broader on average than where it is narrowest at least that tapers.
const taperShare = 1.15

// tapers reports whether a limb gets narrower to its end: a little shorter it is what it was.
func tapers(s *Spot) bool { return s.AreaMM2 > taperShare*s.WidthMM*s.LengthMM }

// spike reports whether a spot sticks out into what is bare and runs out to less than one sees there, as a point does that ends in
// two tips: made broad all along it would be a finger.
func spike(s *Spot) bool {
	return s.Kind == weak.Sliver && !s.Whole && s.WidthMM < seenMM && tapers(s) && s.along(own.Bare) >= enclosing
}

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
	path, err := united(ctx, evenOdd(strokes), planar.Figure{Path: geometry.Path{end}})
	if err != nil {
		return nil, err
	}
	far, side := out.Mul(width), along.Mul(width)
	beyond := clockwise(mid.Add(side), mid.Sub(side), mid.Sub(side).Add(far), mid.Add(side).Add(far))
	return minus(ctx, path, geometry.Path{beyond})
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
