package mend

import (
	"math"
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// toDo estimates how much of the picture must change to mend a spot, and a
// little for each, in mm².
func (m *mending) toDo(spot *Spot, settings job.Settings) float64 {
	w := settings.Narrowest()
	each := 0.1 * w * w
	if spot.Kind == weak.Speck {
		return each + math.Min(spot.AreaMM2, growing(spot, settings))
	}
	if spot.Kind == weak.Gap {
		return each + spot.AreaMM2
	}
	return each + math.Min(spot.AreaMM2, m.widening(spot, w))
}

// growing estimates the area that a speck takes from what lies around it when it
// is made as large as the smallest one.
func growing(s *Spot, settings job.Settings) float64 {
	d := settings.Speck() + widenMM
	return math.Max(0, math.Pi/4*d*d-s.AreaMM2)
}

// enclosing is the share of a spot's border, its own piece aside, that the
// neighbour which takes it must have. What is left of the piece ends in an arc;
// where another one lies beside that, the taker would end in a cusp between them.
const enclosing = 0.85

func (s *Spot) surrounded() bool {
	return slices.ContainsFunc(s.Neighbours, func(n Neighbour) bool { return n.Of != own.Bare && n.Of != s.Of && s.along(n.Of) >= enclosing })
}

// widening estimates the area that widening takes from what lies around.
func (m *mending) widening(s *Spot, w float64) float64 {
	length := 0.0
	for _, l := range s.Spine {
		length += l[0].Sub(l[1]).Len()
	}
	ends := 0.0
	switch {
	case s.Whole && len(s.Outline) == 1:
		ends = math.Pi / 4 * w * w
	case s.Kind == weak.Sliver || s.Kind == weak.Point:
		ends = math.Pi / 8 * w * w
	}
	return math.Max(0, w*length+ends-s.AreaMM2)
}

// nearly reports whether a spot is so nearly as large as it must be that nobody sees the
// rest: either side moves by less than the thinnest line that one reads.
func nearly(p *Spot, settings job.Settings) bool {
	if p.Kind == weak.Speck {
		return p.Bounds.Longer() > settings.Speck()-4*seenMM
	}
	return p.WidthMM > settings.Narrowest()-4*seenMM
}
