package mend

import (
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
)

const (
	// drawnSquares and drawnTimes are how large and how long a drawn line is, in
	// narrowest widths, that mends of spots leave alone: they would take it away or make
	// a lump of it. What is less is a corner, a neck or a thorn.
	drawnSquares = 1.2
	drawnTimes   = 3
)

// spares reports whether a spot is to be left as it is: for the sake of a thing, or
// because someone drew it so, thin all along.
func (s *settler) spares(p *Spot) bool {
	w := s.settings.Narrowest()
	if slices.ContainsFunc(s.things, func(k keptThing) bool { return k.spares(p, w) }) {
		return len(s.shadowOf(p)) == 0
	}
	if s.small(p) {
		return s.sparing
	}
	return s.sparing && p.half == nil && !p.takes && s.line(p)
}

// shadowOf returns what lies in front of a letter of which it leaves a point, such as the ends of a shadow that looks out beside its
// word: it is none of the letter's own points, which it keeps. Nothing for any other spot.
func (s *settler) shadowOf(p *Spot) []own.Material {
	is := func(k keptThing) bool { return k.letters && k.word && k.of == p.Of && reaches(p.Bounds, k.areas) }
	if p.Kind != weak.Point || !slices.ContainsFunc(s.things, is) || s.drawn(p) {
		return nil
	}
	return s.inFront(p)
}

// small reports whether someone drew a small thing that is all thin: it would become a
// disc or a bar.
func (s *settler) small(p *Spot) bool {
	return (p.Kind == weak.Speck || p.Whole) && p.AreaMM2 >= thingMM2 && s.drawn(p)
}

// crumb reports whether a spot is a small piece that nobody drew: what is left over between
// things that lie on each other.
func (s *settler) crumb(p *Spot) bool { return (p.Kind == weak.Speck || p.Whole) && !s.drawn(p) }

// clean reports whether what nothing else is left to do about may only grow to one side, or
// by what one does not see: it was drawn anew, or is small. A speck that is only left over
// between others is no part of anything.
func (s *settler) clean(p *Spot) bool {
	if s.sparing || p.Kind == weak.Speck && !s.drawn(p) {
		return false
	}
	w := s.settings.Narrowest()
	return slices.ContainsFunc(s.anew, func(k keptThing) bool { return k.spares(p, w) }) || s.small(p)
}

// line reports whether someone drew a spot as it is, and it is more than a corner of
// that.
func (s *settler) line(p *Spot) bool {
	w := s.settings.Narrowest()
	return !blunts(p, w) && !hair(p) && !s.parted(p, w) && !s.deadEnd(p, w) && (p.AreaMM2 > drawnSquares*w*w || p.LengthMM > drawnTimes*w || limb(p)) && s.drawn(p)
}
