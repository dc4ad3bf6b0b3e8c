package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
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

// bluntStep is by how much further, in narrowest widths, a point is cut off where the rest of it
// still counts.
const bluntStep = 0.1

// blunt returns the end of a point that is to be cut off; all of what is no point, or
// has no such end. Where a side is curved more must go than of a straight one. Errors as own.Lay.
func (s *Spot) blunt(ctx context.Context, w float64) (*Spot, error) {
	if s.Kind != weak.Point || s.whole == nil {
		return s, nil
	}
	if s.end != nil {
		return s.end, nil
	}
	tip, longest := s.tip(), s.Bounds.Longer()
	s.end = s
	for width := s.bluntMM(w); width < w; width += bluntStep * w {
		thin, err := s.thinner(ctx, width)
		if err != nil {
			return s, err
		}
		var end geometry.Path
		for _, c := range thin {
			if (geometry.Path{c}).Nears(tip, own.HealMM) {
				end = append(end, c)
			}
		}
		if len(end) == 0 {
			break
		}
		if s.end = s.part(end); longest > bluntLongest*w {
			break // nearly straight, and what is looked at would be long
		}
		if blunt, err := s.bluntWithout(ctx, end, w); err != nil || blunt {
			return s.end, err
		}
	}
	return s.end, nil
}

// bluntLongest is up to how long a point, in narrowest widths, is looked at again once its end is
// cut off.
const bluntLongest = 3

// bluntWithout reports whether what is left of a point without an end is no weak spot. Errors as
// own.Lay.
func (s *Spot) bluntWithout(ctx context.Context, end geometry.Path, w float64) (bool, error) {
	near := crop(s.whole, s.Bounds.Grow(2*w))
	rest, err := minus(ctx, near, end)
	if err != nil {
		return false, err
	}
	at := end.Bounds()
	spots, err := weak.Find(ctx, []geometry.Path{rest}, weak.Options{WidthMM: w, NoGaps: true, NoSpines: true, Within: []geometry.Rect{at}})
	if err != nil {
		return false, own.Explain(err, nil)
	}
	return !slices.ContainsFunc(spots, func(p weak.Spot) bool {
		return s.Bounds.Grow(own.HealMM).Encloses(p.Bounds) && reaches(at.Grow(own.HealMM), []geometry.Rect{p.Bounds})
	}), nil
}

const (
	// longestBlunted, in narrowest widths, is how much of its length a point loses at most, and
	// extentBlunted in shares of its piece: a crescent without its horns is none. They are better
	// made broad, or left as drawn and listed. All that is thin goes of no longer one, between others, too: it
	// leaves a stump.
	longestBlunted = 1.6
	extentBlunted  = 1. / 7
)

// reachesOut reports whether so much of the length of a point is too much for its piece to lose.
// What ends between several others is no point of a shape that someone drew.
func (s *Spot) reachesOut(lengthMM, w float64) bool {
	if len(s.Neighbours) > 1 || hair(s) || lengthMM <= longestBlunted*w {
		return false
	}
	b := s.whole.Bounds() // the piece may have thousands of sides: looked at last
	return lengthMM > extentBlunted*b.Longer()
}
