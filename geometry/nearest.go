package geometry

import "math"

// Nearest returns the place nearest to p on the straight way from a to b; a
// where the two are the same.
func Nearest(a, b, p Point) Point {
	d := b.Sub(a)
	switch t := p.Sub(a).Dot(d) / d.Dot(d); {
	case t >= 1:
		return b
	case t > 0:
		return a.Lerp(b, t)
	}
	return a // t is no number where a and b are the same
}

// Nears reports whether the outline of a path of straight lines, contours closed, comes nearer
// to a place than a distance.
func (p Path) Nears(to Point, within float64) bool {
	for _, c := range p {
		for a, b := range c.Sides() {
			if Near(a, b, to, within) {
				return true
			}
		}
	}
	return false
}

// Near reports whether the segment from a to b comes nearer to p than a distance.
func Near(a, b, p Point, within float64) bool {
	if min(a.X, b.X)-within > p.X || max(a.X, b.X)+within < p.X || min(a.Y, b.Y)-within > p.Y || max(a.Y, b.Y)+within < p.Y {
		return false // most are far off
	}
	return Nearest(a, b, p).Sub(p).Len() < within
}

// Distance returns how far p lies from the outline of a path of straight lines,
// contours closed: +Inf for an empty path. It looks at every side.
func (p Path) Distance(from Point) float64 {
	best, squared := math.Inf(1), math.Inf(1)
	for _, c := range p {
		for a, b := range c.Sides() {
			d := Nearest(a, b, from).Sub(from)
			if q := d.Dot(d); q <= squared { // a length takes longer
				if l := d.Len(); l < best {
					best, squared = l, q*(1+1e-9) // for both are rounded
				}
			}
		}
	}
	return best
}
