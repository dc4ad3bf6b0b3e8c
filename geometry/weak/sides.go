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
	var out []side
	for _, c := range p {
		pts := []geometry.Point{c.Start}
		for _, s := range c.Segments {
			if s.End != pts[len(pts)-1] {
				pts = append(pts, s.End)
			}
		}
		if n := len(pts); n > 1 && pts[n-1] == pts[0] {
			pts = pts[:n-1]
		}
		if len(pts) < 3 {
			continue
		}
		first, n := int32(len(out)), int32(len(pts))
		for i := range n {
			out = append(out, side{pts[i], pts[(i+1)%n], first + (i+1)%n})
		}
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
