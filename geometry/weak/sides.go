package weak

import (
	"math"

	"abut/geometry"
)

// side is one straight piece of an outline, the inside on the right hand on
// screen.
type side struct {
	a, b geometry.Point
	next int32 // the side that starts at b
}

// sides lists the outline of one piece. Contours are polygons; the outer one
// runs clockwise on screen, holes anticlockwise.
func sides(p geometry.Path) []side {
	n := 0
	for _, c := range p {
		n += len(c.Segments) + 1
	}
	out := make([]side, 0, n)
	for _, c := range p {
		first := len(out)
		for a, b := range c.Sides() {
			if a != b {
				out = append(out, side{a, b, int32(len(out) + 1)})
			}
		}
		if len(out) < first+3 {
			out = out[:first]
			continue
		}
		out[len(out)-1].next = int32(first)
	}
	return out
}

// nearest returns the point of the side that is nearest to p.
func (s *side) nearest(p geometry.Point) geometry.Point { return geometry.Nearest(s.a, s.b, p) }

// distance returns how far p lies from the side.
func (s *side) distance(p geometry.Point) float64 { return s.nearest(p).Sub(p).Len() }

func (s *side) length() float64 {
	d := s.b.Sub(s.a)
	return math.Sqrt(d.Dot(d)) // no length here needs the care, and the time, of Hypot
}

// inward is the unit normal of a side into the piece: to the right of the way
// on screen, where y points down.
func (s *side) inward() geometry.Point {
	d := s.b.Sub(s.a)
	return geometry.Pt(-d.Y, d.X).Mul(1 / s.length())
}
