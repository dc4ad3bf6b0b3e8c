package mend

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/own"
)

// GivenAway is a piece of the art of which mends have left nothing.
type GivenAway struct {
	// Colour is that of the sheet that it would have been cut from.
	Colour  colour.RGB
	AreaMM2 float64
	// At is a place inside.
	At geometry.Point
}

// keptShare is the share of a piece below which nothing of it is left to be
// seen: what its neighbours leave of it are crumbs that others have taken over.
const keptShare = 0.05

// givenAway lists the pieces of the map without mends that the mends have given
// to others, or dropped, the largest first.
func (m *mending) givenAway(ctx context.Context) ([]GivenAway, error) {
	labels := slices.Clone(m.unmended)
	if _, err := m.Map.Heal(ctx, labels, own.HealMM); err != nil {
		return nil, err
	}
	d, err := m.Map.Divide(ctx, labels)
	if err != nil {
		return nil, err
	}
	var out []GivenAway
	for i := range d.Pieces {
		p := &d.Pieces[i]
		of, single := m.Owner(p.Label)
		if !single || of == own.Bare {
			continue
		}
		left := 0.0
		for _, f := range p.Faces {
			if m.Labels[f] == p.Label {
				left += m.Map.AreaMM2(f)
			}
		}
		if area := p.AreaMM2(); left < keptShare*area {
			out = append(out, GivenAway{Colour: of.Colour, AreaMM2: area, At: d.Inside(i)})
		}
	}
	slices.SortStableFunc(out, func(a, b GivenAway) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	return out, nil
}
