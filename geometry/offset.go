package geometry

import "math"

// Join is how an offset goes around a corner that it opens up.
type Join struct {
	// MitreLimit is 0 for a round join, an arc around the corner. Above 0 the
	// sides are prolonged to their meeting point, as long as it lies no further
	// than MitreLimit times the distance from the corner; a sharper corner is
	// cut off straight. (SVG 2, 13.5.6: miter limit, there of the whole width.)
	MitreLimit float64
	// RoundBeyond: a corner that is too sharp for that has a round join instead.
	RoundBeyond bool
}

// OffsetBand returns the band between the outline of p and the line at
// distance d from it, to be filled nonzero: outside for d > 0, inside for
// d < 0. p must be closed contours of straight lines that do not cross (flatten
// and divide first), outer ones clockwise on screen and holes anticlockwise, as
// planar's outlines are.
//
// It is what a quadrangle beside every edge and a sector or a kite at every corner
// that opens up cover together. Where two of them meet their common side is left out,
// so that each contour gives one figure; all are wound the same way, so that nothing
// cancels where they overlap.
//
// The union of p with its outer band is the offset (Minkowski sum with a disc);
// what is left of p without its inner band is the inset.
func OffsetBand(p Path, d float64, join Join) Path {
	if d == 0 {
		return nil
	}
	var out Path
	for _, c := range p {
		if pts := corners(c); len(pts) > 1 {
			out = append(out, wound(bandAlong(pts, d, join), d))
		}
	}
	return out
}

// bandAlong returns the band along one contour.
func bandAlong(pts []Point, d float64, join Join) Contour {
	n := len(pts)
	length := func(i int) float64 { return pts[(i+1)%n].Sub(pts[i]).Len() }
	out := Contour{Start: pts[0], Closed: true, Segments: make([]Segment, 0, 3*n)}
	add := func(to ...Segment) { out.Segments = append(out.Segments, to...) }
	side, l, used := outward(pts[0], pts[1]).Mul(d), length(0), 0.0
	add(LineTo(pts[0].Add(side)))
	for i := range pts {
		b := pts[(i+1)%n]
		next, nextL := outward(b, pts[(i+2)%n]).Mul(d), length((i+1)%n)
		// The corner opens when the way turns away from the band's side.
		turn := math.Atan2(side.Cross(next), side.Dot(next))
		if math.Abs(turn) == math.Pi { // straight back, for which Atan2 takes either sign
			turn = math.Copysign(turn, d)
		}
		switch back := math.Abs(d) * math.Tan(math.Abs(turn)/2); {
		case turn*d > 0:
			add(LineTo(b.Add(side)))
			add(opened(b, side, next, turn, join)...)
			used = 0
		case i < n-1 && math.Abs(turn) < math.Pi/2 && math.Abs(d)*math.Sin(math.Abs(turn)) <= min(l, nextL) && used+back <= l:
			// The corner of each quadrangle lies in the other one: together they reach to
			// where their far sides meet.
			along := b.Sub(pts[i]).Mul(1 / l)
			add(LineTo(b.Add(side).Sub(along.Mul(back))))
			used = back
		default:
			add(LineTo(b.Add(side)), LineTo(b))
			if i < n-1 {
				add(LineTo(b.Add(next)))
			}
			used = 0
		}
		side, l = next, nextL
	}
	for i := range pts {
		add(LineTo(pts[(n-i)%n]))
	}
	return out
}

// opened leads around the corner at b between two offset sides, from the first of
// which the way turns to the second.
func opened(b, side, next Point, turn float64, join Join) []Segment {
	to := b.Add(next)
	r := side.Len()
	if join.MitreLimit > 0 {
		// The tip lies along side + next, at distance r / cos(half the turn).
		sum := side.Add(next)
		if l := sum.Len(); l > 0 && 2*r/l <= join.MitreLimit {
			return []Segment{LineTo(b.Add(sum.Mul(2 * r * r / (l * l)))), LineTo(to)}
		}
		if !join.RoundBeyond {
			return []Segment{LineTo(to)}
		}
	}
	start := math.Atan2(side.Y, side.X)
	n := int(math.Ceil(math.Abs(turn) / (math.Pi / 2)))
	arc := unitArc(Translate(b.X, b.Y).Mul(Scale(r, r)), start, turn, n*quarterArcs)
	arc[len(arc)-1].End = to
	return arc
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
