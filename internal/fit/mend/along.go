package mend

import (
	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// drawnShare is the share of a spot's outline that is its thing's own.
const drawnShare = 0.6

// drawn reports whether the outline of a spot is mostly that of one thing as it was
// drawn: of what it is part of, or of what it is a space in, such as the inside of a
// letter. What lies between several things was drawn by nobody.
func (m *mending) drawn(p *Spot) bool {
	key := spotKey{p.Of, p.Kind, p.At, p.AreaMM2}
	m.known.mu.Lock()
	is, known := m.known.spots[key]
	m.known.mu.Unlock()
	if known {
		return is
	}
	reach := p.Bounds.Grow(2 * own.HealMM)
	for i := range m.placed {
		if !m.Bounds[i].Intersect(reach).Empty() && m.along(p, i) >= drawnShare {
			is = true
			break
		}
	}
	m.known.mu.Lock()
	defer m.known.mu.Unlock()
	if m.known.spots == nil {
		m.known.spots = map[spotKey]bool{}
	}
	m.known.spots[key] = is
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
func (m *mending) along(p *Spot, layer int) float64 {
	near := m.chords(layer)
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
			if near.Nears(mid, 2*own.HealMM) {
				on += length
			}
		}
	}
	if on == 0 {
		return 0
	}
	return on / all
}

// chords returns the outlines of a layer as it was drawn, as straight lines, of which there may be a hundred thousand: who
// asks what lies near a place asks those alone that lie as high.
func (m *mending) chords(layer int) *geometry.Enclosure {
	k := m.known
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.lines == nil {
		k.lines = make([]*geometry.Enclosure, len(m.placed))
	}
	if k.lines[layer] == nil {
		l := &m.placed[layer]
		var all geometry.Path
		for _, x := range l.Shapes {
			all = append(all, x.Path.Transform(l.Transform).Flatten(spotSagittaMM)...)
		}
		k.lines[layer] = geometry.NewEnclosure(all)
	}
	return k.lines[layer]
}

// mostSamples is at how many places along its middle a spot is looked at.
const mostSamples = 12

// along returns places along the middle of a spot, no more than n.
func along(s *Spot, n int) []geometry.Point {
	if len(s.Spine) == 0 || n == 1 {
		return []geometry.Point{s.At}
	}
	out := []geometry.Point{s.At}
	for k := 0; k < len(s.Spine); k += 1 + len(s.Spine)/n {
		out = append(out, s.Spine[k][0].Lerp(s.Spine[k][1], 0.5))
	}
	return out
}
