// Package motif draws what everyday art is full of and geometry finds hard:
// sunbursts, stars, rings, hatching, lettering. It is for tests and benchmarks,
// which say how many of each. Everything lies around the origin, in millimetres;
// outlines are closed polygons, outer ones clockwise on screen and holes
// anticlockwise.
package motif

import (
	"math"
	"math/rand/v2"

	"abut/geometry"
)

func polar(radius, turn float64) geometry.Point {
	sin, cos := math.Sincos(2 * math.Pi * turn)
	return geometry.Pt(radius*cos, radius*sin)
}

// Sunburst returns n rays: triangles that all begin at the origin and together
// cover that share of the turn. With 1 they touch along their sides.
func Sunburst(n int, radius, share float64) []geometry.Path {
	out := make([]geometry.Path, n)
	for i := range out {
		from := float64(i) / float64(n)
		// One that ends where the next begins does so to the last bit.
		to := float64(i+1) / float64(n)
		if share < 1 {
			to = from + share/float64(n)
		}
		out[i] = geometry.Path{geometry.Polygon(geometry.Pt(0, 0), polar(radius, from), polar(radius, to))}
	}
	return out
}

// Windmill returns n slender triangles, half of a sunburst, that all begin so far
// behind the origin that they lie over each other around it.
func Windmill(n int, radius, behind float64) []geometry.Path {
	half := math.Pi * radius / float64(n) / 2
	ray := geometry.Path{geometry.Polygon(geometry.Pt(-behind, 0), geometry.Pt(radius, -half), geometry.Pt(radius, half))}
	out := make([]geometry.Path, n)
	for i := range out {
		out[i] = ray.Transform(geometry.Rotate(2 * math.Pi * float64(i) / float64(n)))
	}
	return out
}

// Star returns a polygon of so many spikes, which reach from the inner radius to
// the outer one.
func Star(spikes int, inner, outer float64) geometry.Path {
	pts := make([]geometry.Point, 0, 2*spikes)
	for i := range spikes {
		pts = append(pts, polar(outer, float64(i)/float64(spikes)), polar(inner, (float64(i)+0.5)/float64(spikes)))
	}
	return geometry.Path{geometry.Polygon(pts...)}
}

// Rings returns n rings, one within the other and equally broad, the innermost a
// disc; curves.
func Rings(n int, radius float64) []geometry.Path {
	out := make([]geometry.Path, n)
	circle := func(i int) geometry.Contour {
		r := radius * float64(i) / float64(n)
		return geometry.Ellipse(geometry.Pt(0, 0), r, r)
	}
	for i := range out {
		out[i] = geometry.Path{circle(i + 1)}
		if i > 0 {
			out[i] = append(out[i], geometry.Path{circle(i)}.Reverse()...)
		}
	}
	return out
}

// Hatch returns n lines side by side across a square, half of it covered; aslant
// leans them over by a tenth of its side, so that no line runs along an axis.
func Hatch(n int, side float64, aslant bool) []geometry.Path {
	lean := 0.0
	if aslant {
		lean = side / 10
	}
	out := make([]geometry.Path, n)
	for i := range out {
		x := side * float64(i) / float64(n)
		w := side / float64(n) / 2
		out[i] = geometry.Path{geometry.Polygon(geometry.Pt(x, 0), geometry.Pt(x+w, 0), geometry.Pt(x+w+lean, side), geometry.Pt(x+lean, side))}
	}
	return out
}

// Lettering returns rows of as many glyphs, each a bowl with a counter, a stem
// and a dot: curves, with counters as holes. Neighbours differ, every run is the
// same.
func Lettering(rows int, size float64) []geometry.Path {
	rng := rand.New(rand.NewPCG(11, 8))
	var out []geometry.Path
	for row := range rows {
		for column := range rows {
			x, y := 1.5*size*float64(column), 2*size*float64(row)
			bowl := size * (0.25 + 0.1*rng.Float64())
			stem := size * (0.06 + 0.1*rng.Float64())
			centre := geometry.Pt(x+bowl, y+size)
			counter := geometry.Ellipse(centre, 0.6*bowl, 0.7*bowl)
			dot := size * (0.05 + 0.05*rng.Float64())
			out = append(out,
				geometry.Path{geometry.Ellipse(centre, bowl, bowl), geometry.Path{counter}.Reverse()[0]},
				geometry.RectXYWH(x+2*bowl, y, stem, size+bowl).Path(),
				geometry.Path{geometry.Ellipse(geometry.Pt(x+bowl, y+size-1.5*bowl), dot, dot)})
		}
	}
	return out
}
