package layout

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// quarters are the turns that keep a grid a grid.
var quarters = []float64{0, math.Pi / 2, math.Pi, 3 * math.Pi / 2}

// turnsOf returns the turns that a loose piece is tried with: by quarters as it is
// and, unless that is the same, from where the rectangle around it is smallest. More
// turns hardly save sheet and take their time each.
func turnsOf(outline geometry.Path) []float64 {
	lean := leanOf(outline)
	turns := slices.Clone(quarters)
	// Under a degree nothing is gained.
	if lean > math.Pi/180 && lean < math.Pi/2-math.Pi/180 {
		for _, q := range quarters {
			turns = append(turns, q+lean)
		}
	}
	return turns
}

// leanOf returns the turn, from 0 to a quarter, after which the bounds of an outline
// are smallest: then one of its hull's sides lies along them (Freeman and Shapira,
// Determining the minimum-area encasing rectangle for an arbitrary closed curve,
// 1975).
func leanOf(outline geometry.Path) float64 {
	var points []geometry.Point
	for _, c := range outline {
		points = append(points, c.Start)
		for _, s := range c.Segments {
			points = append(points, s.End)
		}
	}
	hull := hullOf(points)
	best, least := 0.0, math.Inf(1)
	try := func(turn float64) {
		m, b := geometry.Rotate(turn), geometry.EmptyRect()
		for _, p := range hull {
			b = b.Include(m.Apply(p))
		}
		// Of turns that are as good the smallest is as good as any.
		if a := b.Area(); a < least*(1-1e-9) {
			best, least = turn, a
		}
	}
	try(0)
	for i, a := range hull {
		d := hull[(i+1)%len(hull)].Sub(a)
		turn := math.Mod(-math.Atan2(d.Y, d.X), math.Pi/2)
		if turn < 0 {
			turn += math.Pi / 2
		}
		try(turn)
	}
	return best
}

// hullOf returns the corners of the convex hull (Andrew's monotone chain, 1979).
func hullOf(points []geometry.Point) []geometry.Point {
	slices.SortFunc(points, func(a, b geometry.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	half := func(at func(int) geometry.Point) (out []geometry.Point) {
		for i := range points {
			p := at(i)
			for n := len(out); n > 1 && out[n-1].Sub(out[n-2]).Cross(p.Sub(out[n-2])) <= 0; n = len(out) {
				out = out[:n-1]
			}
			out = append(out, p)
		}
		return out[:max(0, len(out)-1)]
	}
	return append(half(func(i int) geometry.Point { return points[i] }), half(func(i int) geometry.Point { return points[len(points)-1-i] })...)
}
