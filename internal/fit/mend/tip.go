package mend

import (
	"math"

	"abut/geometry"
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
