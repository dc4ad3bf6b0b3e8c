package thing

import (
	"math"

	"abut/geometry"
)

const (
	// straightMM is how far the corners of a straight side may lie from it.
	straightMM = 0.01
	// leastCorner is by how much an outline turns at least, in degrees, at both ends of a straight
	// side that can be moved by itself, and back at most: along a flatter corner its end would
	// run far.
	leastCorner = 25
	// farTimes is how far an end runs at most, in times how far the side moves.
	farTimes = 4
)

// Edge is a straight side of a thing between two corners.
type Edge struct {
	A, B geometry.Point
	// Out is outwards, of length 1.
	Out geometry.Point
}

// EdgeAt returns the straight side of a thing that is nearest to a place, no further than a
// distance; false where there is none, or no real corner at an end of it. It remembers the thing's
// corners: one goroutine at a time.
func (t *Thing) EdgeAt(at geometry.Point, within float64) (Edge, bool) {
	if t.rings == nil {
		t.rings = ringsOf(t.Outline)
	}
	c, first, last, ok := edgeAt(t.rings, at, within)
	if !ok {
		return Edge{}, false
	}
	e := Edge{A: c.at(first), B: c.at(last)}
	way := e.B.Sub(e.A)
	e.Out = geometry.Pt(way.Y, -way.X).Mul(1 / way.Len()) // outer contours turn clockwise on screen
	return e, true
}

// ring is the corners of a closed polygon.
type ring []geometry.Point

func ringOf(c geometry.Contour) (out ring) {
	for a, b := range c.Sides() {
		if a != b {
			out = append(out, a)
		}
	}
	return out
}

func ringsOf(outline geometry.Path) (out []ring) {
	for _, c := range outline {
		out = append(out, ringOf(c))
	}
	return out
}

func (r ring) at(i int) geometry.Point { return r[((i%len(r))+len(r))%len(r)] }

// edgeAt finds the straight side by the corners at its ends, of which the last may count on beyond the
// last of the ring.
func edgeAt(rings []ring, at geometry.Point, within float64) (c ring, first, last int, ok bool) {
	for _, pts := range rings {
		if len(pts) < 3 {
			continue
		}
		a := pts[len(pts)-1]
		for i, b := range pts {
			if geometry.Near(a, b, at, within) {
				if d := geometry.Nearest(a, b, at).Sub(at).Len(); d < within || c == nil {
					c, first, within = pts, i-1, d
				}
			}
			a = b
		}
	}
	if c == nil {
		return nil, 0, 0, false
	}
	last = first + 1
	for last-first < len(c) && c.straight(first, last, 1) {
		last++
	}
	for last-first < len(c) && c.straight(last, first, -1) {
		first--
	}
	return c, first, last, last-first < len(c)-1 && c.corner(first) && c.corner(last)
}

// straight reports whether a side goes on straight beyond an end of it.
func (r ring) straight(from, end, step int) bool {
	a, b, next := r.at(from), r.at(end), r.at(end+step)
	way, on := b.Sub(a), next.Sub(b)
	return way.Dot(on) > 0 && math.Abs(way.Cross(next.Sub(a))) <= straightMM*way.Len()
}

// corner reports whether there is a real corner.
func (r ring) corner(i int) bool {
	u, v := r.at(i).Sub(r.at(i-1)), r.at(i+1).Sub(r.at(i))
	turn := math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) * 180 / math.Pi
	return turn >= leastCorner && turn <= 180-leastCorner
}

// moveEdge returns an outline of which the straight side at a place has moved across itself, by that part
// of a way; those beside it go on, or end, where it comes to lie. False where there is no such side,
// or where they do not reach there.
func moveEdge(outline geometry.Path, at, way geometry.Point) (geometry.Path, bool) {
	c, first, last, ok := edgeAt(ringsOf(outline), at, foundMM)
	if !ok {
		return outline, false
	}
	along := c.at(last).Sub(c.at(first))
	across := geometry.Pt(-along.Y, along.X).Mul(1 / along.Len())
	by := across.Mul(way.Dot(across))
	a, before, okA := c.meets(first, -1, by, along)
	b, after, okB := c.meets(last, 1, by, along)
	if !okA || !okB || after-before >= len(c) || b.Sub(a).Dot(along) <= 0 {
		return outline, false
	}
	pts := []geometry.Point{a, b}
	for i := after; i <= before+len(c); i++ {
		pts = append(pts, c.at(i))
	}
	var all geometry.Path
	for _, contour := range outline {
		if other := ringOf(contour); len(other) == len(c) && other[0] == c[0] {
			all = append(all, geometry.Polygon(pts...))
			continue
		}
		all = append(all, contour)
	}
	return all, true
}

// meets returns where the outline beyond an end of a side meets that side when it has moved, and the
// next corner there.
func (r ring) meets(end, step int, by, along geometry.Point) (geometry.Point, int, bool) {
	from := r.at(end).Add(by)
	far := farTimes * by.Len()
	for i := end; i != end+step*len(r); i += step {
		a, b := r.at(i), r.at(i+step)
		way := b.Sub(a)
		if d := way.Cross(along); d != 0 {
			t := from.Sub(a).Cross(along) / d
			p := a.Add(way.Mul(t))
			if p.Sub(r.at(end)).Len() > far {
				return p, 0, false
			}
			if t <= 1 && (t >= 0 || i == end) {
				return p, i + step, true
			}
		}
		if b.Sub(r.at(end)).Len() > far {
			break
		}
	}
	return from, 0, false
}
