package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
)

const (
	// roomWidths is how far beside a gap one looks for room, in narrowest widths: who has so
	// much is no line.
	roomWidths = 8
	// moreRoom is how many times as much room as others one must have beside a gap to give
	// way alone: a mast beside a sail keeps both its edges, two sails share the gap.
	moreRoom = 1.25
)

// opened returns layers that make a gap as broad as it must be. Those give way that have the
// most room beside it, all along it; the others' edges stay as they were drawn. Where all
// have about as much it grows from its middle. Errors as own.Lay.
func (m *mending) opened(ctx context.Context, s *Spot, width float64) (out []layer, _ error) {
	neighbours := slices.DeleteFunc(slices.Clone(s.Neighbours), func(n Neighbour) bool { return n.Of == own.Bare })
	var give, keep bank
	banks := banksOf(m.sidesOf(s, neighbours, sideStep*width))
	rooms, most := make([]float64, len(banks)), 0.0
	for i, b := range banks {
		rooms[i] = m.room(b, neighbours[b[0].of].Of, roomWidths*width)
		most = math.Max(most, rooms[i])
	}
	for i, b := range banks {
		if rooms[i]*moreRoom < most {
			keep = append(keep, b...)
		} else {
			give = append(give, b...)
		}
	}
	if keep.length() < bothShare*give.length() {
		path, err := m.inwards(s, width).Widened(ctx, width)
		return []layer{{path: path, from: taker{everyone: true}}}, own.Explain(err, nil)
	}
	path, err := united(ctx, planar.Figure{Path: strips(keep, width)})
	if err != nil {
		return nil, err
	}
	path = path.Simplified(seenMM / 4)
	for k, n := range neighbours {
		if slices.ContainsFunc(give, func(x side) bool { return x.of == k }) {
			out = append(out, layer{path: path, from: taker{of: n.Of}})
		}
	}
	return out, nil
}

// room returns how broad the material is that lies along a bank, on average and up to a
// distance.
func (m *mending) room(b bank, of own.Material, far float64) float64 {
	around := geometry.EmptyRect()
	for _, x := range b {
		around = around.Union(geometry.Rect{Min: x.a, Max: x.a}.Grow(far))
	}
	lines := m.outlinesNear(of, around)
	sum := 0.0
	for _, x := range b {
		from := x.a.Lerp(x.b, 0.5)
		to := from.Sub(x.in.Mul(far))
		depth := far
		for _, l := range lines {
			if crosses(from, to, l[0], l[1]) {
				u, v := to.Sub(from), l[1].Sub(l[0])
				// It lies on the material's own side.
				if at := far * l[0].Sub(from).Cross(v) / u.Cross(v); at > own.HealMM {
					depth = math.Min(depth, at)
				}
			}
		}
		sum += depth * x.b.Sub(x.a).Len()
	}
	return sum / b.length()
}
