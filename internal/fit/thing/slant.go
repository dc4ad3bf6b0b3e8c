package thing

import (
	"math"

	"abut/geometry"
)

// upright returns how long and how broad polygons are along the axes about which they turn most
// and least easily (of their second moments of area), and as large as they are: so a short
// line is long however it is turned.
func upright(p geometry.Path) (length, breadth float64) {
	_, _, length, breadth = axis(p)
	return length, breadth
}

// axis returns, besides, the middle of the rectangle around polygons that lies along those axes, and which way
// it is long.
func axis(p geometry.Path) (middle, way geometry.Point, length, breadth float64) {
	var area, sx, sy, xx, yy, xy float64
	at := p.Bounds().Centre() // sums of large numbers would round
	for _, c := range p {
		for a, b := range c.Sides() {
			a, b = a.Sub(at), b.Sub(at)
			k := a.Cross(b)
			area += k / 2
			sx += k * (a.X + b.X) / 6
			sy += k * (a.Y + b.Y) / 6
			xx += k * (a.X*a.X + a.X*b.X + b.X*b.X) / 12
			yy += k * (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) / 12
			xy += k * (a.X*b.Y + 2*a.X*a.Y + 2*b.X*b.Y + b.X*a.Y) / 24
		}
	}
	if area == 0 {
		return middle, way, 0, 0
	}
	x, y := sx/area, sy/area
	angle := math.Atan2(2*(xy/area-x*y), xx/area-x*x-yy/area+y*y) / 2
	back := geometry.Rotate(angle)
	turned := p.Transform(geometry.Rotate(-angle)).Bounds()
	middle, way = back.Apply(turned.Centre()), back.Apply(geometry.Pt(1, 0))
	if length, breadth = turned.Width(), turned.Height(); length < breadth {
		return middle, back.Apply(geometry.Pt(0, 1)), breadth, length
	}
	return middle, way, length, breadth
}
