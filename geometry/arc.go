package geometry

import "math"

// maxArcSpan is the widest turn that one cubic stands for, 11.25°. A cubic of
// span θ whose controls lie 4/3·tan(θ/4) along the tangents strays from its
// circle by 2/27·sin⁶(θ/4)/cos²(θ/4) of the radius (Goldapp, "Approximation of
// circular arcs by cubic polynomials", 1991): 2.7e-4 at 90°, 1.04e-9 here, which
// is far under one step of the planar grid for any art that fits a press.
const maxArcSpan = math.Pi / 16

// ArcTo returns the segments of an SVG elliptical arc from start to end: radii
// rx and ry, x axis turned by rotation (radians), and the two flags. It follows
// SVG 2 implementation notes, B.2.4 and B.2.5: a radius of 0 is a straight
// line, negative radii lose their sign, radii too small are scaled up, and an
// arc from a point to itself is nothing. Arcs become cubics of at most 11.25°.
func ArcTo(start Point, rx, ry, rotation float64, large, sweep bool, end Point) []Segment {
	if start == end {
		return nil
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 {
		return []Segment{LineTo(end)}
	}
	centre, rx, ry, from, turn := arcCentre(start, rx, ry, rotation, large, sweep, end)
	n := int(math.Ceil(math.Abs(turn)/maxArcSpan - 1e-9))
	if n < 1 {
		n = 1
	}
	frame := Translate(centre.X, centre.Y).Mul(Rotate(rotation)).Mul(Scale(rx, ry))
	segs := unitArc(frame, from, turn, n)
	segs[n-1].End = end // exactly, so that contours close
	return segs
}

// arcCentre converts an SVG arc from end points to centre form: the centre,
// the radii (scaled up when too small), the start angle and the signed turn,
// both measured in the ellipse's own unit circle. rx and ry must be positive
// and start ≠ end. SVG 2 implementation notes, B.2.4.
func arcCentre(start Point, rx, ry, rotation float64, large, sweep bool, end Point) (centre Point, outRx, outRy, from, turn float64) {
	s, c := math.Sincos(rotation)
	dx, dy := (start.X-end.X)/2, (start.Y-end.Y)/2
	// The formulas there, divided by the radii: half the chord is (u, v) in the
	// unit circle and (p, q) its middle's way to the centre. No product of four
	// lengths is left to overflow.
	u, v := (c*dx+s*dy)/rx, (c*dy-s*dx)/ry
	l := math.Hypot(u, v)
	if l > 1 {
		rx, ry, u, v, l = rx*l, ry*l, u/l, v/l, 1
	}
	k := math.Sqrt((1-l)*(1+l)) / l
	if large == sweep {
		k = -k
	}
	p, q := k*v, -k*u
	cx, cy := rx*p, ry*q
	centre = Point{c*cx - s*cy + (start.X+end.X)/2, s*cx + c*cy + (start.Y+end.Y)/2}
	from = math.Atan2(v-q, u-p)
	to := math.Atan2(-v-q, -u-p)
	turn = to - from
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	return centre, rx, ry, from, turn
}

// unitArc returns n cubics for the unit circle's arc from angle from over
// turn, mapped by frame. The control length is 4/3·tan(span/4).
func unitArc(frame Affine, from, turn float64, n int) []Segment {
	segs := make([]Segment, n)
	span := turn / float64(n)
	k := 4.0 / 3 * math.Tan(span/4)
	at := func(i int) (p, tangent Point) {
		s, c := math.Sincos(from + span*float64(i))
		return Point{c, s}, Point{-s, c}
	}
	p, t := at(0)
	for i := range segs {
		q, u := at(i + 1)
		segs[i] = CubicTo(frame.Apply(p.Add(t.Mul(k))), frame.Apply(q.Sub(u.Mul(k))), frame.Apply(q))
		p, t = q, u
	}
	return segs
}

// Ellipse returns the closed contour of an axis-parallel ellipse: it starts at
// its rightmost point and runs clockwise on screen, as SVG 2 (10.4, 10.3)
// prescribes for ellipse and circle. Its cubics turn by maxArcSpan.
func Ellipse(centre Point, rx, ry float64) Contour {
	const n = 32
	frame := Translate(centre.X, centre.Y).Mul(Scale(rx, ry))
	start := Point{centre.X + rx, centre.Y}
	segs := unitArc(frame, 0, 2*math.Pi, n)
	segs[n-1].End = start
	return Contour{Start: start, Segments: segs, Closed: true}
}
