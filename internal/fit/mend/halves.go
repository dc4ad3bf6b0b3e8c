package mend

import (
	"math"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// halvesMeet is how far apart, in narrowest widths, the tips of two halves of one point lie at most.
const halvesMeet = 0.1

// halfCut is how broad, in narrowest widths, a half is where it is cut off: so broad that the other one, slanting, is as
// broad as that there, too.
const halfCut = 1.04

// pairHalves finds points that are two halves of one, such as the light and the dark side of the point of a star or of a
// compass rose. Both ends cannot be cut; one takes the tip of the other, as far as it must for both to be broad
// enough where they part: the one that contrasts more with what lies around them, so that it is the same one at
// all points of a star. The other half, until then, waits.
func (s *settler) pairHalves() {
	for _, o := range s.open {
		o.half, o.takes, o.waits = nil, false, false
	}
	for _, pair := range halvesOf(s.open, s.settings.Narrowest()) {
		gives, takes := pair[0], pair[1]
		if s.contrast(gives, takes.Of) > s.contrast(takes, gives.Of) {
			gives, takes = takes, gives
		}
		gives.half, takes.takes, takes.waits = &takes.Of, true, true
	}
}

// halvesOf returns the pairs of points of which something may be done about each that are halves of one.
func halvesOf(spots []*openSpot, w float64) (pairs [][2]*openSpot) {
	var points []*openSpot
	for _, o := range spots {
		if o.Kind == weak.Point && !o.final && o.whole != nil {
			points = append(points, o)
		}
	}
	paired := map[*openSpot]bool{}
	for i, a := range points {
		for _, b := range points[:i] {
			if !paired[a] && !paired[b] && halves(&a.Spot, &b.Spot, w) {
				paired[a], paired[b] = true, true
				pairs = append(pairs, [2]*openSpot{a, b})
			}
		}
	}
	return pairs
}

// halves reports whether two points are halves of one: each lies along the other, up to a tip that is that of both.
func halves(a, b *Spot, w float64) bool {
	return a.Of != b.Of && !a.Bounds.Grow(halvesMeet*w).Intersect(b.Bounds).Empty() && a.along(b.Of) >= alongShare && b.along(a.Of) >= alongShare &&
		a.tip().Sub(b.tip()).Len() <= halvesMeet*w
}

// halved reports whether a mend gives the tip of one half of a point to the other; w is the narrowest width.
func halved(m job.Mend, w float64) bool { return straightCut(m, w) && m.WidthMM > w }

// contrast returns how much a spot looks other than what lies beside it, but for another half (ΔE of the CIE, 2000).
func (s *settler) contrast(o *openSpot, half own.Material) float64 {
	least := math.Inf(1)
	for _, n := range o.Neighbours {
		if n.Of == half || o.along(n.Of) < hardlyShare {
			continue
		}
		other := s.settings.BlankColour()
		if n.Of != own.Bare {
			other = n.Of.Colour
		}
		least = math.Min(least, o.Of.Colour.DeltaE(other))
	}
	return least
}
