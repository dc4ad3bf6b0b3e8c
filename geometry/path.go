package geometry

import (
	"iter"
	"math"
)

// FillRule says which points a path's contours enclose.
type FillRule uint8

const (
	// NonZero encloses points with winding number other than 0.
	NonZero FillRule = iota
	// EvenOdd encloses points with an odd winding number.
	EvenOdd
)

// String returns the rule's name as SVG and CSS spell it.
func (r FillRule) String() string {
	if r == EvenOdd {
		return "evenodd"
	}
	return "nonzero"
}

// Encloses reports whether a point with this winding number is inside.
func (r FillRule) Encloses(winding int) bool {
	if r == EvenOdd {
		return winding&1 != 0
	}
	return winding != 0
}

// Segment continues a contour from where the last one ended: a straight line
// to End or, when Cubic, a Bézier with controls C1 and C2.
type Segment struct {
	C1, C2, End Point
	Cubic       bool
}

// Contour is a run of segments end to end. When filled, an open contour is
// closed by a straight line, as SVG does; Closed matters to strokes.
type Contour struct {
	Start    Point
	Segments []Segment
	Closed   bool
}

// Path is a set of contours that a fill rule takes together. Paths are values:
// no function in this package changes one that it was given.
type Path []Contour

// LineTo returns a straight segment.
func LineTo(end Point) Segment { return Segment{End: end} }

// CubicTo returns a cubic Bézier segment.
func CubicTo(c1, c2, end Point) Segment { return Segment{C1: c1, C2: c2, End: end, Cubic: true} }

// QuadTo returns the quadratic Bézier from start with control c as the same
// curve in cubic form.
func QuadTo(start, c, end Point) Segment {
	return CubicTo(start.Lerp(c, 2.0/3), end.Lerp(c, 2.0/3), end)
}

// Polygon returns the closed contour through the points.
func Polygon(points ...Point) Contour {
	if len(points) == 0 {
		return Contour{Closed: true}
	}
	c := Contour{Start: points[0], Closed: true, Segments: make([]Segment, 0, len(points)-1)}
	for _, p := range points[1:] {
		c.Segments = append(c.Segments, LineTo(p))
	}
	return c
}

// Path returns the outline of r as one closed contour, clockwise on screen.
func (r Rect) Path() Path {
	return Path{Polygon(r.Min, Point{r.Max.X, r.Min.Y}, r.Max, Point{r.Min.X, r.Max.Y})}
}

// End returns where the contour's last segment ends.
func (c Contour) End() Point {
	if len(c.Segments) == 0 {
		return c.Start
	}
	return c.Segments[len(c.Segments)-1].End
}

// Sides yields both ends of every side of the polygon through the ends of the
// contour's segments, the side that closes it last: of no length where the last
// segment ends at Start. Curves count as straight: flatten first.
func (c Contour) Sides() iter.Seq2[Point, Point] {
	return func(yield func(a, b Point) bool) {
		from := c.Start
		for i := range c.Segments {
			if !yield(from, c.Segments[i].End) {
				return
			}
			from = c.Segments[i].End
		}
		yield(from, c.Start)
	}
}

// Transform returns the path mapped by m.
func (p Path) Transform(m Affine) Path {
	if p == nil {
		return nil
	}
	out := make(Path, len(p))
	for i, c := range p {
		segs := make([]Segment, len(c.Segments))
		for j := range c.Segments {
			segs[j] = c.Segments[j].mapped(m)
		}
		out[i] = Contour{m.Apply(c.Start), segs, c.Closed}
	}
	return out
}

// Reverse returns the path with every contour run backwards.
func (p Path) Reverse() Path {
	out := make(Path, len(p))
	for i, c := range p {
		segs := make([]Segment, len(c.Segments))
		from := c.Start
		for j, s := range c.Segments {
			segs[len(segs)-1-j] = Segment{C1: s.C2, C2: s.C1, End: from, Cubic: s.Cubic}
			from = s.End
		}
		out[i] = Contour{c.End(), segs, c.Closed}
	}
	return out
}

// Finite reports whether every coordinate is an ordinary number.
func (p Path) Finite() bool {
	for _, c := range p {
		if !c.Start.Finite() {
			return false
		}
		for _, s := range c.Segments {
			if !s.End.Finite() || s.Cubic && !(s.C1.Finite() && s.C2.Finite()) {
				return false
			}
		}
	}
	return true
}

// Bounds returns the tight bounds of the curves (not of their controls).
// A contour of a single point counts as that point.
func (p Path) Bounds() Rect {
	r := EmptyRect()
	for i := range p {
		c := &p[i]
		r = r.Include(c.Start)
		from := c.Start
		for k := range c.Segments {
			s := &c.Segments[k]
			r = r.reach(from, s)
			from = s.End
		}
	}
	return r
}

// BoundsUnder returns the bounds of what Transform would make, without making it.
func (p Path) BoundsUnder(m Affine) Rect {
	r := EmptyRect()
	for i := range p {
		c := &p[i]
		from := m.Apply(c.Start)
		r = r.Include(from)
		for k := range c.Segments {
			s := c.Segments[k].mapped(m)
			r = r.reach(from, &s)
			from = s.End
		}
	}
	return r
}

// reach returns the bounds with those of a segment that starts within them.
func (r Rect) reach(from Point, s *Segment) Rect {
	r = r.Include(s.End)
	if s.Cubic && !(r.Contains(s.C1) && r.Contains(s.C2)) {
		for _, t := range extremes(from.X, s.C1.X, s.C2.X, s.End.X) {
			r = r.Include(s.At(from, t))
		}
		for _, t := range extremes(from.Y, s.C1.Y, s.C2.Y, s.End.Y) {
			r = r.Include(s.At(from, t))
		}
	}
	return r
}

// mapped returns the segment mapped by m.
func (s *Segment) mapped(m Affine) Segment {
	t := Segment{End: m.Apply(s.End), Cubic: s.Cubic}
	if s.Cubic {
		t.C1, t.C2 = m.Apply(s.C1), m.Apply(s.C2)
	}
	return t
}

// extremes returns the parameters in (0, 1) where one coordinate of a cubic
// Bézier is stationary.
func extremes(p0, p1, p2, p3 float64) []float64 {
	// The derivative over 3 is a t² + b t + c.
	a := p3 - 3*p2 + 3*p1 - p0
	b := 2 * (p2 - 2*p1 + p0)
	c := p1 - p0
	var ts []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			ts = append(ts, t)
		}
	}
	if a == 0 {
		if b != 0 {
			keep(-c / b)
		}
		return ts
	}
	disc := b*b - 4*a*c
	if disc < 0 {
		return nil
	}
	// The stable form of the quadratic formula avoids cancellation.
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	keep(q / a)
	if q != 0 {
		keep(c / q)
	}
	return ts
}

// At returns the point of the segment at parameter t in [0, 1], given where it
// starts.
func (s *Segment) At(from Point, t float64) Point {
	if !s.Cubic {
		return from.Lerp(s.End, t)
	}
	u := 1 - t
	b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return Point{
		b0*from.X + b1*s.C1.X + b2*s.C2.X + b3*s.End.X,
		b0*from.Y + b1*s.C1.Y + b2*s.C2.Y + b3*s.End.Y,
	}
}

// Sub returns the part of the segment between parameters t0 and t1 as a
// segment of its own, with where it starts. t0 > t1 runs it backwards.
func (s Segment) Sub(from Point, t0, t1 float64) (Point, Segment) {
	a, b := s.At(from, t0), s.At(from, t1)
	if !s.Cubic {
		return a, LineTo(b)
	}
	// Controls of the part follow from the end tangents, scaled by t1 − t0.
	k := (t1 - t0) / 3
	return a, CubicTo(a.Add(s.derivative(from, t0).Mul(k)), b.Sub(s.derivative(from, t1).Mul(k)), b)
}

func (s Segment) derivative(from Point, t float64) Point {
	u := 1 - t
	d0, d1, d2 := s.C1.Sub(from), s.C2.Sub(s.C1), s.End.Sub(s.C2)
	return d0.Mul(3 * u * u).Add(d1.Mul(6 * u * t)).Add(d2.Mul(3 * t * t))
}

// SignedArea returns the sum over the contours of the signed area each
// encloses: positive for one that runs clockwise on screen (y down). Contours
// count as closed. Exact up to float rounding for lines and cubics alike. Overlaps count as often as they
// are wound around: it is the area of the fill only for simple, nested
// contours of alternating direction.
//
// Green's theorem, A = ½∮(x dy − y dx); the cubic's term integrates its
// Bernstein form in closed form.
func (p Path) SignedArea() float64 {
	sum := 0.0
	for _, c := range p {
		o := c.Start // measuring from the start keeps far-off art precise
		from := Point{}
		for _, s := range c.Segments {
			end := s.End.Sub(o)
			if s.Cubic {
				a, b := s.C1.Sub(o), s.C2.Sub(o)
				sum += (3*(2*from.Cross(a)+from.Cross(b)+a.Cross(b)) +
					from.Cross(end) + 3*a.Cross(end) + 6*b.Cross(end)) / 20
			} else {
				sum += from.Cross(end) / 2
			}
			from = end
		}
	}
	return sum
}
