package gradient

import (
	"math"

	"abut/geometry"
)

// A radial gradient of which neither circle holds the other is a cone: its
// circles move on faster than they grow or shrink, and it paints only what they
// sweep over, between the two straight lines that touch them all (SVG 2,
// 14.2.3). A place that several circles run through has the colour of the last.
// So what lies ahead of one circle is the convex hull of it and of those after
// it, and a band is the difference of two such hulls.

// touching is the share of their size by which circles that touch may seem not
// to, by rounding: such gradients are neither rings nor cones.
const touching = 1e-9

// cone describes such a gradient, in its own units.
type cone struct {
	// from is the centre of the circle at parameter 0, axis the unit direction
	// in which the centres move on, speed how far per unit of the parameter.
	from, axis geometry.Point
	speed      float64
	// radius is that at parameter 0, growth what comes to it per unit;
	// |growth| < speed.
	radius, growth float64
}

// cone returns the gradient as a cone; false for any other.
func (g *Gradient) cone() (cone, bool) {
	d := g.To.Sub(g.From)
	c := cone{from: g.From, speed: d.Len(), radius: g.FromR, growth: g.ToR - g.FromR}
	if !g.Radial || !(c.speed > math.Abs(c.growth)*(1+touching)) {
		return cone{}, false
	}
	c.axis = d.Mul(1 / c.speed)
	return c, true
}

// over returns the parameters from the last circle behind a box to the first one
// ahead of it, as far as the cone has circles; false where it has none between.
func (c cone) over(box geometry.Rect) (from, to float64, ok bool) {
	near, far := math.Inf(1), math.Inf(-1)
	for _, p := range corners(box) {
		s := p.Sub(c.from).Dot(c.axis)
		near, far = math.Min(near, s), math.Max(far, s)
	}
	// A circle reaches from t·speed − r to t·speed + r along the axis.
	from, to = (near-c.radius)/(c.speed+c.growth), (far+c.radius)/(c.speed-c.growth)
	switch apex := -c.radius / c.growth; {
	case c.growth > 0:
		from = math.Max(from, apex)
	case c.growth < 0:
		to = math.Min(to, apex)
	}
	return from, to, from < to
}

// ahead returns the convex hull of the circle at t and a later one at end,
// whose own far side is cut off straight: it has to lie beyond all that is
// looked at, or be the cone's tip.
func (c cone) ahead(t, end float64) geometry.Contour {
	circle := func(t float64) (geometry.Point, float64) {
		return c.from.Add(c.axis.Mul(t * c.speed)), math.Max(0, c.radius+t*c.growth)
	}
	// Where the lines touch, seen from the centres: at this angle to the axis.
	cos := -c.growth / c.speed
	sin := math.Sqrt(1 - cos*cos)
	across := geometry.Pt(-c.axis.Y, c.axis.X)
	right, left := c.axis.Mul(cos).Add(across.Mul(sin)), c.axis.Mul(cos).Sub(across.Mul(sin))
	m, r := circle(t)
	n, q := circle(end)
	out := geometry.Contour{Start: n.Add(right.Mul(q)), Closed: true}
	from, to := m.Add(right.Mul(r)), m.Add(left.Mul(r))
	out.Segments = append(out.Segments, geometry.LineTo(from))
	if r > 0 {
		out.Segments = append(out.Segments, geometry.ArcTo(from, r, r, 0, cos > 0, true, to)...)
	}
	if q > 0 {
		out.Segments = append(out.Segments, geometry.LineTo(n.Add(left.Mul(q))))
	}
	return out
}

func corners(r geometry.Rect) [4]geometry.Point {
	return [4]geometry.Point{r.Min, r.Max, geometry.Pt(r.Min.X, r.Max.Y), geometry.Pt(r.Max.X, r.Min.Y)}
}
