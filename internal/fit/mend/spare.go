package mend

import (
	"math"
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
	if s.small(p) {
		return s.sparing || p.Whole || !nearly(p, s.settings)
	}
	return s.sparing && s.line(p)
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
	return !blunts(p, w) && !hair(p) && !s.deadEnd(p, w) && (p.AreaMM2 > drawnSquares*w*w || p.LengthMM > drawnTimes*w) && s.drawn(p)
}

// drawn reports whether the outline of a spot is mostly that of one thing as it was
// drawn: of what it is part of, or of what it is a space in, such as the inside of a
// letter. What lies between several things was drawn by nobody.
func (s *settler) drawn(p *Spot) bool {
	key := spotKey{p.Of, p.Kind, p.At, p.AreaMM2}
	is, known := s.wasDrawn[key]
	if known {
		return is
	}
	reach := p.Bounds.Grow(2 * own.HealMM)
	for i := range s.placed {
		if !s.Bounds[i].Intersect(reach).Empty() && s.along(p, i, reach) >= drawnShare {
			is = true
			break
		}
	}
	if s.wasDrawn == nil {
		s.wasDrawn = map[spotKey]bool{}
	}
	s.wasDrawn[key] = is
	return is
}

// spotKey tells spots from each other, whatever map they were found on.
type spotKey struct {
	of   own.Material
	kind weak.Kind
	at   geometry.Point
	area float64
}

// mostSides is how many sides of a spot are asked where they run: a hundredth of its
// outline is far less than drawnShare is exact.
const mostSides = 300

// along returns which share of a spot's outline runs along the outline of a layer.
func (s *settler) along(p *Spot, layer int, reach geometry.Rect) float64 {
	var near [][2]geometry.Point
	for _, l := range s.chords(layer) {
		if math.Max(l[0].X, l[1].X) >= reach.Min.X && math.Min(l[0].X, l[1].X) <= reach.Max.X &&
			math.Max(l[0].Y, l[1].Y) >= reach.Min.Y && math.Min(l[0].Y, l[1].Y) <= reach.Max.Y {
			near = append(near, l)
		}
	}
	if len(near) == 0 {
		return 0
	}
	sides := 0
	for _, c := range p.Outline {
		sides += len(c.Segments) + 1
	}
	every, n := sides/mostSides+1, 0
	on, all := 0.0, 0.0
	for _, c := range p.Outline {
		for a, b := range c.Sides() {
			if n++; n%every != 0 {
				continue
			}
			length, mid := b.Sub(a).Len(), a.Lerp(b, 0.5)
			all += length
			if slices.ContainsFunc(near, func(l [2]geometry.Point) bool {
				return geometry.Near(l[0], l[1], mid, 2*own.HealMM)
			}) {
				on += length
			}
		}
	}
	return on / all
}

// chords returns the outlines of a layer as it was drawn, as straight lines.
func (m *mending) chords(layer int) [][2]geometry.Point {
	if m.lines == nil {
		m.lines = make([][][2]geometry.Point, len(m.placed))
	}
	if m.lines[layer] == nil {
		l := &m.placed[layer]
		m.lines[layer] = [][2]geometry.Point{}
		for _, x := range l.Shapes {
			for _, c := range x.Path.Transform(l.Transform).Flatten(spotSagittaMM) {
				for a, b := range c.Sides() {
					m.lines[layer] = append(m.lines[layer], [2]geometry.Point{a, b})
				}
			}
		}
	}
	return m.lines[layer]
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
