package mend

import (
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
)

// eatenShare is the share of a thing that another one takes at most when it is drawn anew, where
// that leaves something of the first too thin.
const eatenShare = 0.25

// counterShare is that of the counters of letters, and of the spaces between them: those of a bold face are
// about half of those of its light one (common practice).
const counterShare = 0.5

// eaten reports whether things that were drawn anew have grown over so much of another one, which
// is too thin in parts, that it is drawn out: a beak whose halves become as thin as the line
// between them was. spots are those about what was drawn.
func (p *picture) eaten(m *mending, now sheets, a *attempt, spots []Spot) bool {
	share := eatenShare
	if a.letters() {
		share = counterShare
	}
	layer := int32(slices.IndexFunc(m.placed, func(l own.Placed) bool { return l.Layer.ID == a.layer }))
	moves := [][]geometry.Affine{a.moved(m)}
	for i := range p.things {
		t := &p.things[i]
		if t.gone || t.of == a.of || t.of == own.Bare || !reaches(t.bounds, a.areas) ||
			!slices.ContainsFunc(spots, func(s Spot) bool { return s.Of == t.of && t.bounds.Contains(s.At) }) {
			continue
		}
		n, to := 0, t.carried([]*attempt{a}, moves)
		for _, at := range t.places {
			at = to.Apply(at)
			if !now.holds(t.of, at) && slices.Contains(m.artAt(at), layer) {
				n++
			}
		}
		if float64(n) > share*float64(len(t.places)) {
			return true
		}
	}
	return false
}
