package geometry

import "math"

// Join is how an offset goes around a corner that it opens up.
type Join struct {
	// MitreLimit is 0 for a round join, an arc around the corner. Above 0 the
	// sides are prolonged to their meeting point, as long as it lies no further
	// than MitreLimit times the distance from the corner; a sharper corner is
	// cut off straight. (SVG 2, 13.5.6: miter limit, there of the whole width.)
	MitreLimit float64
}

// OffsetBand returns the band between the outline of p and the line at
// distance d from it, to be filled nonzero: outside for d > 0, inside for
// d < 0. p must be closed contours of straight lines that do not cross (flatten
// and divide first), outer ones clockwise on screen and holes anticlockwise, as
// planar's outlines are.
//
// Every edge gives a quadrangle and every corner that opens up a sector or a
// kite, all wound the same way, so that nothing cancels where they overlap.
// The union of p with its outer band is the offset (Minkowski sum with a disc);
// what is left of p without its inner band is the inset.
func OffsetBand(p Path, d float64, join Join) Path {
	if d == 0 {
		return nil
	}
	var out Path
	for _, c := range p {
		pts := corners(c)
		n := len(pts)
		if n < 2 {
			continue
		}
		for i, a := range pts {
			b := pts[(i+1)%n]
			side := outward(a, b).Mul(d)
			out = append(out, wound(Polygon(a, a.Add(side), b.Add(side), b), d))
			next := outward(b, pts[(i+2)%n]).Mul(d)
			// The corner opens when the way turns away from the band's side.
			turn := math.Atan2(side.Cross(next), side.Dot(next))
			if math.Abs(turn) == math.Pi { // straight back, for which Atan2 takes either sign
				turn = math.Copysign(turn, d)
			}
			if turn*d > 0 {
				out = append(out, wound(opened(b, side, next, turn, join), d))
			}
		}
	}
	return out
}

// opened returns the figure that fills the corner at b between two offset
// sides, from the first of which the way turns to the second.
func opened(b, side, next Point, turn float64, join Join) Contour {
	from, to := b.Add(side), b.Add(next)
	r := side.Len()
	if join.MitreLimit > 0 {
		// The tip lies along side + next, at distance r / cos(half the turn).
		sum := side.Add(next)
		if l := sum.Len(); l > 0 && 2*r/l <= join.MitreLimit {
			return Polygon(b, from, b.Add(sum.Mul(2*r*r/(l*l))), to)
		}
		return Polygon(b, from, to)
	}
	start := math.Atan2(side.Y, side.X)
	n := int(math.Ceil(math.Abs(turn) / (math.Pi / 2)))
	c := Contour{Start: b, Closed: true, Segments: []Segment{LineTo(from)}}
	c.Segments = append(c.Segments, unitArc(Translate(b.X, b.Y).Mul(Scale(r, r)), start, turn, n*quarterArcs)...)
	c.Segments[len(c.Segments)-1].End = to
	return c
}

// quarterArcs is how many cubics stand for a quarter circle of a round join:
// at 45° each, 4.3e-6 of the radius off (see maxArcSpan).
const quarterArcs = 2

// outward returns the unit normal on the left of the way from a to b: outside
// of a contour that runs clockwise on screen.
func outward(a, b Point) Point {
	d := b.Sub(a)
	l := d.Len()
	return Point{d.Y / l, -d.X / l}
}

// wound returns the contour with positive area for bands of d > 0. Bands of
// either side must not mix; each is consistent in itself.
func wound(c Contour, d float64) Contour {
	if d < 0 {
		return Path{c}.Reverse()[0]
	}
	return c
}

// corners returns a contour's distinct points in order.
func corners(c Contour) []Point {
	pts := []Point{c.Start}
	for _, s := range c.Segments {
		if s.End != pts[len(pts)-1] {
			pts = append(pts, s.End)
		}
	}
	if len(pts) > 1 && pts[0] == pts[len(pts)-1] {
		pts = pts[:len(pts)-1]
	}
	return pts
}
