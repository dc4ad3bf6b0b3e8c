package mend

import (
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// inFront returns which of a spot's neighbours lie over what the spot is part of: the border
// is their outline, and runs on past the spot as it was drawn.
func (m *mending) inFront(s *Spot) (out []own.Material) {
	if s.Of == own.Bare || len(s.Neighbours) < 2 {
		return nil
	}
	beneath := int32(m.anchor(s))
	sides := bank(m.sidesOf(s, s.Neighbours, s.LengthMM))
	for k, n := range s.Neighbours {
		if n.Of == own.Bare || n.Of == s.Of {
			continue
		}
		on, _ := apartBy(sides, func(x side) bool { return x.of == k })
		if m.runsOver(on, beneath) {
			out = append(out, n.Of)
		}
	}
	return out
}

// frontLast orders what can be done about a spot, up to an index and from there on, so that
// others give way or take before who lies in front of it, and before the picture's edge moves: a
// line across a picture stays straight, and what ends at it is cut back along it. The end of a
// long point lies so flat on who is in front that either may have it. All else keeps its place.
func (m *mending) frontLast(s *Spot, options []job.Mend, hard int, w float64) []job.Mend {
	front := m.inFront(s)
	gives := len(front) > 0 && (s.Kind != weak.Point || s.LengthMM <= shortPoint*w)
	widens := len(front) > 0 || s.Of != own.Bare && s.touches(own.Bare)
	rank := func(x job.Mend) int {
		switch {
		case !x.Chosen || x.Whole || !(x.Do == job.Give && gives || x.Do == job.Widen && widens):
			return 1
		case slices.Contains(front, m.Named(m.Rules, x.To)):
			return 2
		}
		return 0
	}
	out := slices.Clone(options)
	sortAlike(out[:hard], rank)
	sortAlike(out[hard:], rank)
	return out
}

// sortAlike sorts each run of mends that do the same.
func sortAlike(mends []job.Mend, rank func(job.Mend) int) {
	for len(mends) > 0 {
		n := 1
		for n < len(mends) && mends[n].Do == mends[0].Do {
			n++
		}
		slices.SortStableFunc(mends[:n], func(a, b job.Mend) int { return rank(a) - rank(b) })
		mends = mends[n:]
	}
}
