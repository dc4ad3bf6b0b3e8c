package mend

import (
	"abut/geometry"
	"abut/geometry/boxes"
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

// keptThings finds those of things that lie about a spot: a picture may have thousands of both.
type keptThings struct {
	list  []keptThing
	areas *boxes.Index // of all of them
	of    []int        // whose each is
}

// filed files things, which are not copied.
func filed(list []keptThing) keptThings {
	t := keptThings{list: list}
	var areas []geometry.Rect
	for i := range list {
		for _, a := range list[i].areas {
			areas, t.of = append(areas, a), append(t.of, i)
		}
	}
	t.areas = boxes.New(len(areas), func(i int) geometry.Rect { return areas[i] })
	return t
}

// about reports whether one of those that a spot reaches is so.
func (t *keptThings) about(p *Spot, is func(k *keptThing) bool) bool {
	if len(t.list) == 0 {
		return false
	}
	before := -1
	for _, a := range t.areas.Meeting(p.Bounds) {
		k := t.of[a]
		if k != before && is(&t.list[k]) {
			return true
		}
		before = k
	}
	return false
}

// spares reports whether a spot is to be left as it is: for the sake of a thing, or
// because someone drew it so, thin all along.
func (s *settler) spares(p *Spot) bool {
	w := s.settings.Narrowest()
	if s.things.about(p, func(k *keptThing) bool { return k.spares(p, w) }) {
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
	is := func(k *keptThing) bool { return k.letters && k.word && k.of == p.Of }
	if p.Kind != weak.Point || !s.things.about(p, is) || s.drawn(p) {
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
	return s.anew.about(p, func(k *keptThing) bool { return k.spares(p, w) }) || s.small(p)
}

// line reports whether someone drew a spot as it is, and it is more than a corner of
// that.
func (s *settler) line(p *Spot) bool {
	w := s.settings.Narrowest()
	return !blunts(p, w) && !hair(p) && !s.parted(p, w) && !s.deadEnd(p, w) && (p.AreaMM2 > drawnSquares*w*w || p.LengthMM > drawnTimes*w || limb(p)) && s.drawn(p)
}
