package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// endsShare is which share of a spot's border somebody has at most beside whom it only ends.
const endsShare = 0.2

// atEnds returns beside whom a spot only ends, as a shade does at the edge of what it lies on.
// Made broader, it ends there still: a round end would stick out.
func (s *Spot) atEnds(w float64) (out []own.Material) {
	if s.Kind == weak.Gap || s.Kind == weak.Speck {
		return nil
	}
	all := 0.0
	for _, n := range s.Neighbours {
		all += n.LengthMM
	}
	for _, n := range s.Neighbours {
		if n.Of != s.Of && n.LengthMM < math.Min(stubby*w, endsShare*all) {
			out = append(out, n.Of)
		}
	}
	return out
}

// tipProbes is in how many directions from a tip one looks who lies there.
const tipProbes = 24

// endsAt returns beside whom a spot only ends (see atEnds), and who is met at the tip of a point but
// not along it: a shade under a chin that runs out just at the neck's edge ends there, too,
// though nothing of its border lies on what is beyond.
func (m *mending) endsAt(s *Spot, w float64) []own.Material {
	out := s.atEnds(w)
	if s.Kind != weak.Point || s.whole == nil {
		return out
	}
	tip := s.tip()
	for i := range tipProbes {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / tipProbes)
		of, ok := m.materialAt(tip.Add(geometry.Pt(cos, sin).Mul(2 * seenMM)))
		along := slices.ContainsFunc(s.Neighbours, func(n Neighbour) bool { return n.Of == of })
		if ok && !along && of != s.Of && !slices.Contains(out, of) {
			out = append(out, of)
		}
	}
	return out
}
