package mend

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// bluntReach is how long, in narrowest widths, a point is once it is blunt: a little
// shorter than one that counts, so that it is none again by rounding.
const bluntReach = 0.98

// bluntMM returns how broad a point is where it is cut off, so that what is left of it
// is no longer than the narrowest width w and counts no more. A spike of 46° loses next to
// nothing, a needle all that is thin: cut off where it gets as broad as it must be, a star
// had stumps. Straight sides are taken for granted, and a round end.
func (s *Spot) bluntMM(w float64) float64 {
	const steps = 50
	// From the apex, along the axis and across it, to where a disc as broad as the width
	// touches a side: from there to beyond the round end is furthest.
	sin, cos := math.Sincos(math.Atan(w / 2 / s.LengthMM))
	along, across := s.LengthMM*cos, s.LengthMM*sin
	for i := range steps {
		end := w * float64(i) / steps
		if math.Hypot(along-end/2/sin, across)+end/2 <= bluntReach*w {
			return end
		}
	}
	return w
}

// bluntAreaMM2 is about how much of a point goes when it is cut off.
func (s *Spot) bluntAreaMM2(w float64) float64 {
	share := s.bluntMM(w) / w
	return s.AreaMM2 * share * share
}

// bluntLengthMM is about how much of its length a point loses when it is cut off.
func (s *Spot) bluntLengthMM(w float64) float64 { return s.LengthMM * s.bluntMM(w) / w }

// cutOff returns what of a point a mend gives away or leaves bare, and all of any other
// spot. Errors as own.Lay.
func (s *Spot) cutOff(ctx context.Context, mend job.Mend, w float64) (*Spot, error) {
	if mend.Do != job.Give && mend.Do != job.Drop || mend.Whole || mend.WidthMM >= w {
		return s, nil
	}
	return s.blunt(ctx, w)
}

// blunt returns the end of a point that is to be cut off; all of what is no point, or
// has no such end. Errors as own.Lay.
func (s *Spot) blunt(ctx context.Context, w float64) (*Spot, error) {
	if s.Kind != weak.Point || s.whole == nil {
		return s, nil
	}
	thin, err := s.thinner(ctx, s.bluntMM(w))
	if err != nil {
		return s, err
	}
	tip := s.tip()
	var end geometry.Path
	for _, c := range thin {
		if (geometry.Path{c}).Nears(tip, own.HealMM) {
			end = append(end, c)
		}
	}
	if len(end) == 0 {
		return s, nil
	}
	out := *s
	out.Outline, out.Bounds = end, end.Bounds()
	return &out, nil
}
