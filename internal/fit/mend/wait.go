package mend

import (
	"slices"

	"abut/internal/job"
)

// waits reports whether one of what was found is done after the others: an end that goes to what is
// larger and made broad beside it, as the corner of a neck goes to the shade that ends there. Once that is broad
// there may be no such end any more, and given away before it leaves a step.
func waits(c *solution, found []solution) bool {
	given := c.mends[0]
	if given.Do != job.Give || hair(&c.spot.Spot) {
		return false
	}
	return slices.ContainsFunc(found, func(o solution) bool {
		return o.spot != c.spot && o.spot.AreaMM2 > c.spot.AreaMM2 && o.mends[0].Do == job.Widen && o.spot.Of != c.spot.Of && !o.spot.Bounds.Intersect(c.spot.Bounds).Empty() &&
			c.spot.along(o.spot.Of) > endsShare && (!given.Chosen || given.To == o.spot.Of.Colour)
	})
}

// compareBool orders false before true.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
