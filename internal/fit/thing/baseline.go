package thing

import (
	"math"
	"slices"

	"abut/geometry"
)

// baseline is the line on which letters stand: a straight one, or a circle such as the rim of a coaster.
type baseline struct {
	turn   geometry.Affine // to where a straight line goes to the right
	back   geometry.Affine
	centre geometry.Point // of a circle
	radius float64        // 0 for a straight line
	from   float64        // the angle at which a circle is unrolled
}

// along returns the straight line that goes one way.
func along(way geometry.Point) *baseline {
	angle := math.Atan2(way.Y, way.X)
	return &baseline{turn: geometry.Rotate(-angle), back: geometry.Rotate(angle)}
}

// flat returns outlines as they are where their line goes straight to the right. Chords stay chords.
func (l *baseline) flat(p geometry.Path) geometry.Path {
	if l.radius == 0 {
		return p.Transform(l.turn)
	}
	var out geometry.Path
	for _, c := range p {
		var pts []geometry.Point
		for a := range c.Sides() {
			pts = append(pts, l.unroll(a))
		}
		out = append(out, geometry.Polygon(pts...))
	}
	return out
}

func (l *baseline) unroll(p geometry.Point) geometry.Point {
	d := p.Sub(l.centre)
	angle := math.Mod(math.Atan2(d.Y, d.X)-l.from+4*math.Pi, 2*math.Pi)
	return geometry.Pt(angle*l.radius, -d.Len())
}

// moved returns where something at a place comes to lie that moves on along the line, and across it, as flat has it.
func (l *baseline) moved(at, by geometry.Point) geometry.Affine {
	if by == (geometry.Point{}) {
		return geometry.Identity()
	}
	if l.radius == 0 {
		by = l.back.Apply(by)
		return geometry.Translate(by.X, by.Y)
	}
	c, out := l.centre, at.Sub(l.centre)
	out = out.Mul(-by.Y / out.Len())
	return geometry.Translate(c.X, c.Y).Mul(geometry.Rotate(by.X / l.radius)).Mul(geometry.Translate(out.X-c.X, out.Y-c.Y))
}

const (
	// fewestOnCircle are on a circle: three are always.
	fewestOnCircle = 4
	// smallestRim is how large the radius of a rim is at least, in the height of its letters.
	smallestRim = 1.5
)

// around returns the circle that comes nearest to places, by least squares of its equation (I. Kåsa, A circle fitting procedure
// and its error analysis, 1976), unrolled from where there is most room between them; nil where they lie on none.
func around(places []geometry.Point, high float64) *baseline {
	if len(places) < fewestOnCircle {
		return nil
	}
	mean := geometry.Point{}
	for _, p := range places {
		mean = mean.Add(p.Mul(1 / float64(len(places))))
	}
	// x·u + y·v = r/2 for each, from their middle
	var xx, xy, yy, xr, yr, rr float64
	for _, p := range places {
		p = p.Sub(mean)
		r := p.Dot(p)
		xx, xy, yy, xr, yr, rr = xx+p.X*p.X, xy+p.X*p.Y, yy+p.Y*p.Y, xr+p.X*r, yr+p.Y*r, rr+r
	}
	det := xx*yy - xy*xy
	if det < 1e-9*rr*rr {
		return nil
	}
	c := geometry.Pt(yy*xr-xy*yr, xx*yr-xy*xr).Mul(0.5 / det)
	radius := math.Sqrt(c.Dot(c) + rr/float64(len(places)))
	if radius < smallestRim*high {
		return nil
	}
	l := &baseline{centre: mean.Add(c), radius: radius}
	var angles []float64
	for _, p := range places {
		d := p.Sub(l.centre)
		angles = append(angles, math.Atan2(d.Y, d.X))
	}
	slices.Sort(angles)
	widest := angles[0] + 2*math.Pi - angles[len(angles)-1]
	l.from = angles[0] - widest/2
	for i := 1; i < len(angles); i++ {
		if gap := angles[i] - angles[i-1]; gap > widest {
			widest, l.from = gap, angles[i]-gap/2
		}
	}
	return l
}
