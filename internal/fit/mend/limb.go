package mend

import (
	"math"

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
