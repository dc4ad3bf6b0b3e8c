package weak

import (
	"math"
	"slices"

	"abut/geometry"
)

// pinch is a place in which many corners of an outline lie, as those of all rays
// of a sunburst do in its middle. A disc that touches the outline there is crossed
// by every side that leaves at less than a right angle from its own direction: so
// there are none, but on the side where no ray is.
type pinch struct {
	at geometry.Point
	// bearings of the sides that end there, away from it, ascending.
	bearings []float64
	seen     bool
}

// manyCorners is how many sides must crowd around a corner for it to be looked at
// as a pinch; with fewer, each of the corners is soon done.
const manyCorners = 64

// pinchAt returns the pinch in which a corner lies, nil when it is none.
func (g *grid) pinchAt(at geometry.Point) *pinch {
	near := g.cells.near(at)
	if len(near) <= manyCorners {
		return nil
	}
	p, known := g.pinches[at]
	if !known {
		p = &pinch{at: at}
		for _, i := range near {
			for _, end := range [2][2]geometry.Point{{g.sides[i].a, g.sides[i].b}, {g.sides[i].b, g.sides[i].a}} {
				if end[0] == at {
					v := end[1].Sub(at)
					p.bearings = append(p.bearings, math.Atan2(v.Y, v.X))
				}
			}
		}
		slices.Sort(p.bearings)
		if len(p.bearings) <= manyCorners {
			p = nil
		}
		if g.pinches == nil {
			g.pinches = map[geometry.Point]*pinch{}
		}
		g.pinches[at] = p
	}
	return p
}

// open returns normals all over the directions that are a right angle or more from
// each side, as a corner's; none when there are no such.
func (p *pinch) open() []geometry.Point {
	for i, a := range p.bearings {
		b := p.bearings[(i+1)%len(p.bearings)]
		if i+1 == len(p.bearings) {
			b += 2 * math.Pi
		}
		from, to := a+math.Pi/2, b-math.Pi/2
		if from >= to {
			continue
		}
		steps := math.Ceil((to - from) / turnStep)
		var out []geometry.Point
		for j := 0.0; j <= steps; j++ {
			sin, cos := math.Sincos(to + (from-to)*j/steps)
			out = append(out, geometry.Pt(cos, sin))
		}
		return out
	}
	return nil
}

// isPinched reports whether the corner where a side ends is in a pinch.
func (s *shape) isPinched(side int32) bool {
	_, ok := slices.BinarySearch(s.pinched, side)
	return ok
}
