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
	parts, err := m.parts(ctx)
	if err != nil {
		return nil, err
	}
	var out []GivenAway
	for _, t := range parts {
		if of, single := m.Owner(t.label); single && of != own.Bare && t.left < keptShare*t.area {
			out = append(out, GivenAway{Colour: of.Colour, AreaMM2: t.area, At: t.at()})
		}
	}
	slices.SortStableFunc(out, func(a, b GivenAway) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	return out, nil
}
