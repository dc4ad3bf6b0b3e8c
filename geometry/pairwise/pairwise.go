// Package pairwise puts an independent engine, polyclip-go (Martínez, Rueda and
// Feito's sweep), behind this project's paths: a second opinion on what package
// planar finds, region against region.
//
// It works on floats and on clean regions: closed contours that do not cross
// themselves or each other, filled even-odd. It has no nonzero rule, drops what
// a region covers twice, slows down with the square of very large inputs, and
// is known to return nothing for some pairs of slivers (a test documents one).
// So it checks and never decides.
package pairwise

import (
	"context"
	"fmt"
	"math"

	"abut/geometry"
	"abut/geometry/parallel"

	polyclip "github.com/ctessum/polyclip-go"
)

// Region is an even-odd set of closed contours of straight lines, in
// millimetres. Curves count as their chords' ends only: flatten first.
type Region geometry.Path

// Union returns what either region covers.
func Union(ctx context.Context, a, b Region) (Region, error) {
	return construct(ctx, polyclip.UNION, a, b)
}

// Intersect returns what both regions cover.
func Intersect(ctx context.Context, a, b Region) (Region, error) {
	return construct(ctx, polyclip.INTERSECTION, a, b)
}

// Difference returns what a covers and b does not.
func Difference(ctx context.Context, a, b Region) (Region, error) {
	return construct(ctx, polyclip.DIFFERENCE, a, b)
}

// XOR returns what exactly one of the regions covers.
func XOR(ctx context.Context, a, b Region) (Region, error) {
	return construct(ctx, polyclip.XOR, a, b)
}

// construct runs one operation, giving up when the context ends. The engine
// cannot be interrupted: a run that was given up on goes on in the background
// until it is done, so keep inputs to some 20,000 vertices. A panic in the
// engine comes back as an error.
func construct(ctx context.Context, op polyclip.Op, a, b Region) (region Region, err error) {
	defer func() {
		if r := recover(); r != nil {
			region, err = nil, fmt.Errorf("pairwise engine: %v", r)
		}
	}()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return parallel.Aside(ctx, func() (Region, error) {
		return fromPolygon(a.polygon().Construct(op, b.polygon())), nil
	})
}

func (r Region) polygon() polyclip.Polygon {
	out := make(polyclip.Polygon, 0, len(r))
	for _, c := range r {
		contour := make(polyclip.Contour, 0, len(c.Segments)+1)
		contour.Add(polyclip.Point(c.Start))
		for _, s := range c.Segments {
			contour.Add(polyclip.Point(s.End))
		}
		out.Add(contour)
	}
	return out
}

func fromPolygon(p polyclip.Polygon) Region {
	out := make(Region, 0, len(p))
	for _, c := range p {
		pts := make([]geometry.Point, len(c))
		for i, q := range c {
			pts[i] = geometry.Point(q)
		}
		out = append(out, geometry.Polygon(pts...))
	}
	return out
}

// Vertices returns the number of vertices.
func (r Region) Vertices() int {
	n := 0
	for _, c := range r {
		n += len(c.Segments) + 1
	}
	return n
}

// AreaMM2 returns the area of a region whose contours do not cross: each
// contour counts for or against by how many others hold it, which takes a look
// at every vertex for each contour.
func (r Region) AreaMM2() float64 {
	sum := 0.0
	for i, c := range r {
		depth := 0
		for k, other := range r {
			if k != i && holds(other, inner(c)) {
				depth++
			}
		}
		a := math.Abs(geometry.Path{c}.SignedArea())
		if depth%2 == 1 {
			a = -a
		}
		sum += a
	}
	return sum
}

// inner returns a point just inside a simple contour: beside the middle of its
// longest edge, on the side that its orientation says.
func inner(c geometry.Contour) geometry.Point {
	var from, to geometry.Point
	length := -1.0
	for a, b := range c.Sides() {
		if l := b.Sub(a).Len(); l > length {
			length, from, to = l, a, b
		}
	}
	d := to.Sub(from).Mul(1e-9)
	if (geometry.Path{c}).SignedArea() < 0 {
		d = d.Mul(-1)
	}
	// Clockwise on screen, the inside lies on the right hand.
	return from.Lerp(to, 0.5).Add(geometry.Pt(-d.Y, d.X))
}

// holds reports whether p lies within a contour of straight lines.
func holds(c geometry.Contour, p geometry.Point) bool {
	in := false
	for a, b := range c.Sides() {
		if (a.Y <= p.Y) != (b.Y <= p.Y) && a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) > p.X {
			in = !in
		}
	}
	return in
}
