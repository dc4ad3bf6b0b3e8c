package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
)

// eatenShare is the share of a thing that another one takes at most when it is drawn anew, where
// that leaves something of the first too thin.
const eatenShare = 0.25

const (
	// counterShare is that of all else, such as the counters of letters and the spaces between them, too thin or not: those of a
	// bold face are about half of those of its light one (common practice).
	counterShare = 0.5
	// oneCounter is that of one of those of letters, such as the triangle of an A beside the rounds of others (by eye).
	oneCounter = 0.65
)

// eaten reports whether things that were drawn anew have grown over so much of another one that it
// is drawn out: a beak whose halves become as thin as the line between them was, or what filled a
// counter. spots are those about what was drawn.
func (p *picture) eaten(m *mending, now sheets, a *attempt, spots []Spot) bool {
	layer := int32(m.indexOf(a.layer))
	moves := [][]geometry.Affine{a.moved(m)}
	gone, all := 0, 0 // of what lettering leaves of others
	for i := range p.things {
		t := &p.things[i]
		if t.gone || t.of == a.of || t.of == own.Bare || !reaches(t.bounds, a.areas) {
			continue
		}
		share := counterShare
		if !a.letters() && !a.written && slices.ContainsFunc(spots, func(s Spot) bool { return s.Of == t.of && t.bounds.Contains(s.At) }) {
			share = eatenShare
		}
		n, to := 0, t.carried([]*attempt{a}, moves)
		for _, at := range t.places {
			at = to.Apply(at)
			if !now.holds(t.of, at) && slices.Contains(m.artAt(at), layer) {
				n++
			}
		}
		if a.letters() {
			gone, all, share = gone+n, all+len(t.places), oneCounter
		}
		if float64(n) > share*float64(len(t.places)) {
			return true
		}
	}
	return float64(gone) > counterShare*float64(all)
}

const (
	// fillShare is which share of what is narrow in and beside them letters grow over at most, and oneFill is more than one of them
	// does: chosen by eye, on names 10 mm high. Thin scripts that cannot be read any more grow over 0.6 to 0.8 of it, and bold
	// ones, of which only the joints do, over 0.1 to 0.15.
	fillShare = 0.31
	oneFill   = 0.5
	// fillSquares is how large that is at least, in squares of the narrowest width: a notch, or the inside of a small e, is less.
	fillSquares = 2
)

// fills reports whether letters that were drawn anew have grown over much of what was narrow in or beside one of them, such as
// between the legs of an m: nobody could read them. before are the spots as they were, and w is the narrowest width.
func (a *attempt) fills(m *mending, now sheets, before *spotIndex, w float64) bool {
	if !a.letters() && !a.written {
		return false
	}
	moves := a.moved(m)
	all, gone := make([]float64, len(a.members)), make([]float64, len(a.members))
	for i := range before.spots {
		p := &before.spots[i]
		if !reaches(p.Bounds, a.areas) || !a.lines(p) {
			continue
		}
		k := a.nearest(p.At)
		to := geometry.Identity()
		if moves != nil {
			to = moves[k]
		}
		places, n := along(p, mostSamples), 0
		for _, at := range places {
			if now.holds(a.of, to.Apply(at)) {
				n++
			}
		}
		all[k] += p.AreaMM2
		gone[k] += p.AreaMM2 * float64(n) / float64(len(places))
	}
	sum, filled := 0.0, 0.0
	for k := range all {
		if all[k] <= fillSquares*w*w {
			continue
		}
		if gone[k] >= oneFill*all[k] {
			return true
		}
		sum, filled = sum+all[k], filled+gone[k]
	}
	return filled > fillShare*sum
}

// nearest returns which of its things lies nearest to a place.
func (a *attempt) nearest(at geometry.Point) (near int) {
	least := math.Inf(1)
	for k := range a.members {
		if t := &a.members[k]; t.bounds.Grow(least).Contains(at) && t.outline.Nears(at, least) { // of thousands few are
			least, near = t.outline.Distance(at), k
		}
	}
	return near
}
