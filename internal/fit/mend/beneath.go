package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// anchor returns the layer that a spot goes with: the topmost one that covers
// it and is cut from its sheet, else the topmost there, else the nearest.
func (m *mending) anchor(s *Spot) int {
	best := -1
	cover := m.Rules.Art(m.Map.Cover(m.Map.Locate(s.At)))
	for _, k := range slices.Backward(cover) {
		if best < 0 {
			best = int(k)
		}
		if l := &m.Rules.Layers[k]; l.Use == job.Cut && l.Alpha == 1 {
			if of, _ := m.Rules.Material(l.Colour); of == s.Of {
				return int(k)
			}
		}
	}
	if best >= 0 {
		return best
	}
	room := math.Inf(1)
	for i := range m.placed {
		b := m.Bounds[i]
		d := s.At.Sub(geometry.Pt(
			math.Max(b.Min.X, math.Min(b.Max.X, s.At.X)),
			math.Max(b.Min.Y, math.Min(b.Max.Y, s.At.Y)))).Len()
		if best < 0 || d <= room {
			best, room = i, d
		}
	}
	return best
}

// materialAt returns what a place is cut from; false where colours stack.
func (m *mending) materialAt(p geometry.Point) (own.Material, bool) {
	f := m.Map.Locate(p)
	if f < 0 {
		return own.Bare, true
	}
	return m.Owner(m.Labels[f])
}

const (
	// frontShare is which share of its border with a spot is the outline of a neighbour that
	// lies in front.
	frontShare = 0.5
	// mostProbes is at how many places along a border one looks who lies beneath.
	mostProbes = 16
)

// runsOver reports whether a layer goes on beneath what lies along sides, so that they are the
// outline of that.
func (m *mending) runsOver(sides bank, beneath int32) bool {
	over, all := 0.0, 0.0
	for i := 0; i < len(sides); i += 1 + len(sides)/mostProbes {
		x := sides[i]
		length := x.b.Sub(x.a).Len()
		all += length
		if slices.Contains(m.artAt(x.a.Lerp(x.b, 0.5).Sub(x.in.Mul(2*own.HealMM))), beneath) {
			over += length
		}
	}
	return over > frontShare*all
}

// behind returns that of two banks of a spot that does not lie in front of it; false where both do,
// or neither.
func (m *mending) behind(s *Spot, banks []bank) (bank, bool) {
	if len(banks) != 2 {
		return nil, false
	}
	beneath := int32(m.anchor(s))
	a, b := m.runsOver(banks[0], beneath), m.runsOver(banks[1], beneath)
	if b {
		return banks[0], !a
	}
	return banks[1], a
}

// artAt returns the layers that cover a place as it was drawn, bottom first.
func (m *mending) artAt(p geometry.Point) []int32 {
	f := m.Map.Locate(p)
	if f < 0 {
		return nil
	}
	return m.Rules.Art(m.Map.Cover(f))
}

// topAt returns the uppermost layer at a place as it was drawn, −1 for none.
func (m *mending) topAt(at geometry.Point) int32 {
	if art := m.artAt(at); len(art) > 0 {
		return art[len(art)-1]
	}
	return -1
}
