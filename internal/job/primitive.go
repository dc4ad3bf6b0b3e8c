package job

import (
	"math"

	"abut/geometry"
)

// Primitive is a simple shape around its origin, in millimetres. Make one with
// NewPrimitive: it holds its outline.
type Primitive struct {
	Form Form
	// Width and Height are those of its bounds; of polygons and stars those of
	// the ellipse that their corners lie on, so that equal ones make them
	// regular.
	Width, Height float64
	// Radius is a rectangle's at its corners; as much as fits is used.
	Radius float64 `json:",omitempty"`
	// Points are a polygon's corners or a star's tips.
	Points int `json:",omitempty"`
	// Inner is how far out a star's inner corners lie, as a share of its tips.
	Inner float64 `json:",omitempty"`

	shapes []Shape
}

// Form is what a Primitive is.
type Form uint8

// The forms.
const (
	Rectangle Form = iota
	Ellipse
	Polygon
	Star
	Heart
)

// Forms lists all forms.
var Forms = []Form{Rectangle, Ellipse, Polygon, Star, Heart}

// String returns the form's id in files and words.
func (f Form) String() string {
	return [...]string{"rectangle", "ellipse", "polygon", "star", "heart"}[f]
}

// Bounds of a primitive's numbers: larger than any press, and more corners than
// the eye tells from a circle.
const (
	maxSideMM = 5000
	minPoints = 3
	maxPoints = 60
)

// NewPrimitive returns the primitive with its outline. Curves are cubics: those
// of ellipses and corners stray by less than 1e-9 of the radius. Numbers that
// the form has no use for are dropped.
func NewPrimitive(p Primitive) (Primitive, error) {
	star, cornered := p.Form == Star, p.Form == Star || p.Form == Polygon
	if p.Form > Heart || !(p.Width > 0 && p.Height > 0) || !between(0, maxSideMM, p.Width, p.Height, p.Radius) ||
		star && !(p.Inner > 0 && p.Inner <= 1) || cornered && (p.Points < minPoints || p.Points > maxPoints) {
		return p, refuse("edit-bad-primitive")
	}
	if p.Form != Rectangle {
		p.Radius = 0
	}
	if !star {
		p.Inner = 0
	}
	if !cornered {
		p.Points = 0
	}
	p.shapes = []Shape{{Path: geometry.Path{p.contour()}, Rule: geometry.NonZero, Element: p.Form.String()}}
	return p, nil
}

// Outline returns the primitive's outline around its origin.
func (p Primitive) Outline() geometry.Path {
	if len(p.shapes) == 0 {
		return nil
	}
	return p.shapes[0].Path
}

// roundCorners takes a stretch of a rectangle with round corners out of its
// transform and into its sides, so that the corners stay round; their radius
// follows the smaller of both. Anything else stays as it is.
func (p Primitive) roundCorners(t geometry.Affine) (Primitive, geometry.Affine) {
	const rounding = 1e-9 // share of a side that is no stretch or skew yet
	sx, sy := math.Hypot(t.A, t.B), math.Hypot(t.C, t.D)
	square := math.Abs(t.A*t.C+t.B*t.D) <= rounding*sx*sy
	if p.Form != Rectangle || p.Radius == 0 || !square || math.Abs(sx-sy) <= rounding*sx {
		return p, t
	}
	k := min(sx, sy)
	stretched := p
	stretched.Width *= sx / k
	stretched.Height *= sy / k
	stretched, err := NewPrimitive(stretched)
	if err != nil {
		return p, t
	}
	return stretched, t.Mul(geometry.Scale(k/sx, k/sy))
}

func (p Primitive) contour() geometry.Contour {
	rx, ry := p.Width/2, p.Height/2
	switch p.Form {
	case Ellipse:
		return geometry.Ellipse(geometry.Point{}, rx, ry)
	case Polygon:
		return corners(p.Points, rx, ry, 1)
	case Star:
		return corners(2*p.Points, rx, ry, p.Inner)
	case Heart:
		return heart(rx, ry)
	}
	return rectangle(rx, ry, min(p.Radius, rx, ry))
}

// corners returns the closed contour through n places around the middle, the
// first one up; every other one lies at the share inner of the way.
func corners(n int, rx, ry, inner float64) geometry.Contour {
	points := make([]geometry.Point, n)
	for i := range points {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		k := 1.0
		if i%2 == 1 {
			k = inner
		}
		points[i] = geometry.Pt(rx*k*s, -ry*k*c)
	}
	return geometry.Polygon(points...)
}

func rectangle(x, y, r float64) geometry.Contour {
	if r == 0 {
		return geometry.Polygon(geometry.Pt(-x, -y), geometry.Pt(x, -y), geometry.Pt(x, y), geometry.Pt(-x, y))
	}
	c := geometry.Contour{Start: geometry.Pt(-x+r, -y), Closed: true}
	side := func(from, to geometry.Point) {
		if from != c.End() {
			c.Segments = append(c.Segments, geometry.LineTo(from))
		}
		c.Segments = append(c.Segments, geometry.ArcTo(from, r, r, 0, false, true, to)...)
	}
	side(geometry.Pt(x-r, -y), geometry.Pt(x, -y+r))
	side(geometry.Pt(x, y-r), geometry.Pt(x-r, y))
	side(geometry.Pt(-x+r, y), geometry.Pt(-x, y-r))
	side(geometry.Pt(-x, -y+r), geometry.Pt(-x+r, -y))
	return c
}

// heart fills its bounds exactly: two round lobes and a point. The numbers are
// drawn by eye, in halves of the sides.
func heart(rx, ry float64) geometry.Contour {
	const (
		shoulder = -0.42 // how high the lobes are widest
		notch    = -0.52
		top      = 0.5    // how far out the lobes are highest
		k        = 0.5523 // of a quarter circle as one cubic
	)
	pt := func(x, y float64) geometry.Point { return geometry.Pt(x*rx, y*ry) }
	half := func(side float64) []geometry.Segment {
		return []geometry.Segment{
			geometry.CubicTo(pt(side*0.06, notch-0.28), pt(side*(top-k*top+0.02), -1), pt(side*top, -1)),
			geometry.CubicTo(pt(side*(top+k*(1-top)), -1), pt(side, shoulder-k*(1+shoulder)), pt(side, shoulder)),
			geometry.CubicTo(pt(side, 0.12), pt(side*0.3, 0.62), pt(0, 1)),
		}
	}
	c := geometry.Contour{Start: pt(0, notch), Closed: true, Segments: half(1)}
	back := geometry.Path{{Start: pt(0, notch), Segments: half(-1)}}.Reverse()[0]
	c.Segments = append(c.Segments, back.Segments...)
	return c
}
