package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
)

// tip returns where a point ends: the corner of it that is furthest from its piece.
func (s *Spot) tip() geometry.Point {
	var base []geometry.Point
	for _, c := range s.Outline {
		for a, b := range c.Sides() {
			if mid := a.Lerp(b, 0.5); !s.whole.Nears(mid, own.HealMM/4) {
				base = append(base, mid)
			}
		}
	}
	best, far := s.At, 0.0
	for _, c := range s.Outline {
		for a := range c.Sides() {
			near := math.Inf(1)
			for _, b := range base {
				if near = math.Min(near, a.Sub(b).Len()); near <= far {
					break
				}
			}
			if near > far && len(base) > 0 {
				best, far = a, near
			}
		}
	}
	return best
}

// upright returns what makes a point broad with a straight end at its tip, across the way that the point
// goes: a round one is a knob, for nothing before it was as broad. Errors as own.Lay.
func (s *Spot) upright(ctx context.Context, broad geometry.Path, width float64) (geometry.Path, error) {
	tip := s.tip()
	from, near := tip, math.Inf(1) // a width back along its middle
	for _, l := range s.Spine {
		n := math.Ceil(l[1].Sub(l[0]).Len() / (width / 8))
		for k := range int(n) + 1 {
			at := l[0].Lerp(l[1], float64(k)/math.Max(n, 1))
			if off := math.Abs(at.Sub(tip).Len() - width); off < near {
				from, near = at, off
			}
		}
	}
	way := tip.Sub(from)
	if way.Len() < width/2 {
		return broad, nil
	}
	way = way.Mul(width / way.Len())
	across := geometry.Pt(-way.Y, way.X).Mul(0.5)
	end := clockwise(from.Add(across), tip.Add(across), tip.Sub(across), from.Sub(across))
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: append(slices.Clip(broad), end)}}}, planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	across = across.Mul(2)
	beyond := clockwise(tip.Add(across), tip.Add(across).Add(way), tip.Sub(across).Add(way), tip.Sub(across))
	return minus(ctx, d.All(), geometry.Path{beyond})
}
