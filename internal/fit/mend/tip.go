package mend

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// tip returns where a point ends: the corner of it that is furthest from its piece.
func (s *Spot) tip() geometry.Point {
	var base []geometry.Point
	for _, c := range s.Outline {
		for a, b := range c.Sides() {
			if mid := a.Lerp(b, 0.5); s.whole.Distance(mid) > own.HealMM/4 {
				base = append(base, mid)
			}
		}
	}
	best, far := s.At, 0.0
	for _, c := range s.Outline {
		for a := range c.Sides() {
			near := math.Inf(1)
			for _, b := range base {
				near = math.Min(near, a.Sub(b).Len())
			}
			if near > far && len(base) > 0 {
				best, far = a, near
			}
		}
	}
	return best
}

// rounded returns a point without the disc, as broad as its piece must be, that fits into it
// where it begins: cut off there the piece ends round, not with two corners. Other spots are
// as they are. Errors as own.Lay.
func (s *Spot) rounded(ctx context.Context, width float64) (*Spot, error) {
	if s.Kind != weak.Point || s.whole == nil || hair(s) || len(s.Spine) == 0 {
		return s, nil
	}
	tip, at := s.tip(), s.Spine[0][0]
	for _, l := range s.Spine {
		for _, p := range l {
			if p.Sub(tip).Len() > at.Sub(tip).Len() {
				at = p
			}
		}
	}
	m, err := planar.Build(ctx, []planar.Layer{
		{Figures: []planar.Figure{{Path: s.Outline, Rule: geometry.EvenOdd}}},
		{Figures: []planar.Figure{{Path: geometry.Path{geometry.Ellipse(at, width/2, width/2)}}}},
	}, planar.Options{SagittaMM: spotSagittaMM})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	d, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if len(cover) == 1 && cover[0] == 0 {
			return 0
		}
		return planar.None
	}))
	if err != nil || len(d.Pieces) == 0 {
		return s, err
	}
	out := *s
	out.Outline, out.Bounds = d.All(), d.All().Bounds()
	return &out, nil
}
