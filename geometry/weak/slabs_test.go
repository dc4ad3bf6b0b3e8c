package weak

import (
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
)

// crossings is the even-odd rule over all edges: slow, and plainly right.
func crossings(path geometry.Path, p geometry.Point) bool {
	in := false
	for _, c := range path {
		a := c.Start
		for _, s := range append(c.Segments[:len(c.Segments):len(c.Segments)], geometry.LineTo(c.Start)) {
			b := s.End
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
			a = b
		}
	}
	return in
}

func TestSlabs_EncloseWhatAllEdgesSay(t *testing.T) {
	const seed = 5
	r := rand.New(rand.NewPCG(seed, 0))
	for round := range 200 {
		var path geometry.Path
		for range 1 + r.IntN(4) {
			var points []geometry.Point
			for range 3 + r.IntN(60) {
				// On few heights, so that edges are level and points lie at vertices' heights.
				points = append(points, geometry.Pt(r.Float64()*100, math.Floor(r.Float64()*40)))
			}
			path = append(path, geometry.Polygon(points...))
		}
		s := newSlabs(path)
		for range 200 {
			p := geometry.Pt(r.Float64()*120-10, math.Floor(r.Float64()*100)/2-5)
			if got, want := s.enclose(p), crossings(path, p); got != want {
				t.Fatalf("seed %d, round %d: %v is %v, want %v, in %v", seed, round, p, got, want, path)
			}
		}
	}
	if newSlabs(nil).enclose(geometry.Pt(0, 0)) || newSlabs(geometry.Path{geometry.Polygon(geometry.Pt(0, 1), geometry.Pt(5, 1))}).enclose(geometry.Pt(2, 1)) {
		t.Error("what has no area encloses something")
	}
}
