package mend

import (
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

const (
	// drawnSquares and drawnTimes are how large and how long a drawn line is, in
	// narrowest widths, that mends of spots leave alone: they would take it away or make
	// a lump of it. What is less is a corner, a neck or a thorn.
	drawnSquares = 1.2
	drawnTimes   = 3
	// drawnShare is the share of a spot's outline that is its thing's own.
	drawnShare = 0.6
)

// spares reports whether a spot is to be left as it is: for the sake of a thing, or
// because someone drew it so, thin all along.
func (s *settler) spares(p *Spot) bool {
	w := s.settings.Narrowest()
	if slices.ContainsFunc(s.things, func(k keptThing) bool { return k.spares(p, w) }) {
		return true
	}
	if p.Kind == weak.Speck || p.Whole { // it would become a disc or a bar
		return p.AreaMM2 >= thingMM2 && s.drawn(p)
	}
	if !s.sparing {
		return false
	}
	return s.line(p)
}

// line reports whether someone drew a spot as it is, and it is more than a corner of
// that.
func (s *settler) line(p *Spot) bool {
	w := s.settings.Narrowest()
	return !blunts(p, w) && !hair(p) && !s.deadEnd(p, w) && (p.AreaMM2 > drawnSquares*w*w || p.LengthMM > drawnTimes*w) && s.drawn(p)
}

// drawn reports whether the outline of a spot is mostly that of one thing as it was
// drawn: of what it is part of, or of what it is a space in, such as the inside of a
// letter. What lies between several things was drawn by nobody.
func (s *settler) drawn(p *Spot) bool {
	reach := p.Bounds.Grow(2 * own.HealMM)
	for i := range s.placed {
		if l := &s.placed[i]; !s.Bounds[i].Intersect(reach).Empty() && s.along(p, l, reach) >= drawnShare {
			return true
		}
	}
	return false
}

// along returns which share of a spot's outline runs along the outline of a layer.
func (s *settler) along(p *Spot, l *own.Placed, reach geometry.Rect) float64 {
	var near geometry.Path
	for _, x := range l.Shapes {
		for _, c := range x.Path.Transform(l.Transform) {
			if one := (geometry.Path{c}); !one.Bounds().Intersect(reach).Empty() {
				near = append(near, one.Flatten(spotSagittaMM)...)
			}
		}
	}
	if len(near) == 0 {
		return 0
	}
	on, all := 0.0, 0.0
	for _, c := range p.Outline {
		for a, b := range c.Sides() {
			length := b.Sub(a).Len()
			all += length
			if near.Distance(a.Lerp(b, 0.5)) < 2*own.HealMM {
				on += length
			}
		}
	}
	return on / all
}

// deadEnd reports whether a spot is a small end of a larger gap.
func (m *mending) deadEnd(s *Spot, w float64) bool {
	if s.Kind != weak.Gap || s.Whole || s.AreaMM2 > mostBlunted*w*w || s.LengthMM > shortPoint*w || len(s.Outline) != 1 {
		return false
	}
	on := map[geometry.Point]bool{} // where sides end that someone is beside
	sides := m.sidesOf(s, s.Neighbours, w)
	for _, x := range sides {
		on[x.a] = true
	}
	open := 0
	for _, x := range sides {
		if !on[x.b] {
			open++
		}
	}
	return open == 1
}
