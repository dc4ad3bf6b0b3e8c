package mend

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// star returns a disc with points around it, each as broad as far from the next one.
func star(n int, radius, length float64) geometry.Path {
	var out []geometry.Point
	at := func(r, turn float64) geometry.Point {
		sin, cos := math.Sincos(2 * math.Pi * turn / float64(n))
		return geometry.Pt(20+r*cos, 20+r*sin)
	}
	for i := range n {
		out = append(out, at(radius, float64(i)), at(radius, float64(i)+0.3), at(radius+length, float64(i)+0.5), at(radius, float64(i)+0.7))
	}
	return geometry.Path{geometry.Polygon(out...)}
}

// Cut off, 24 rays of 3 mm would leave a cog wheel of a sun. Each by itself is a hundredth of it.
func TestAll_CutsNoRaysOffASun(t *testing.T) {
	sun := star(24, 7, 3)
	j := sketch.Art(t, "blue rect 0 0 40 40 knock", "yellow rect 0 0 1 1 knock")
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: sun}}}
	out, err := All(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	m, err := start(context.Background(), out)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.run(context.Background(), out); err != nil {
		t.Fatal(err)
	}
	for i := range m.Separations {
		if m.Materials[i] == sheet("yellow") {
			if got, want := m.Separations[i].Outline.SignedArea(), sun.SignedArea(); math.Abs(got-want) > 0.01*want {
				t.Errorf("%.2f mm² of the sun are left of %.2f", got, want)
			}
		}
	}
}

// Three pegs beside a straight edge, 0.5 mm from it and from each other, stay three pegs, and the
// edge stays straight.
func TestAll_LeavesTheSpacesBesideARowOfDots(t *testing.T) {
	j := sketch.Art(t, "red rect 0 10 20 20 knock", "blue circle 4 8.25 1.25 + circle 7 8.25 1.25 + circle 10 8.25 1.25 knock")
	out, err := All(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range out.Items[0].Mends {
		if m.Do != job.Keep {
			t.Errorf("%+v", m)
		}
	}
	if len(out.Items[0].Mends) == 0 {
		t.Error("nothing is listed")
	}
}

// The points of a star of 4 mm are a tenth of it and more: blunt, it would be a flower. One of 10 mm
// is a star all the same, and its points get blunt.
func TestRays_ASmallStarStaysAStar(t *testing.T) {
	five := func(radius float64) geometry.Path {
		var out []geometry.Point
		for i := range 10 {
			sin, cos := math.Sincos(math.Pi * float64(i) / 5)
			r := radius
			if i%2 == 1 {
				r *= 0.382 // where the sides of a pentagram cross: 1/φ²
			}
			out = append(out, geometry.Pt(20+r*cos, 20+r*sin))
		}
		return geometry.Path{geometry.Polygon(out...)}
	}
	for radius, kept := range map[float64]int{2.2: 1, 5: 0} {
		j := sketch.Art(t, "blue rect 0 0 40 40 knock", "yellow rect 0 0 1 1 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: five(radius)}}}
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(t.Context(), j.Settings, nil)
		if err != nil || len(spots) != 5 {
			t.Fatalf("%v, %d spots", err, len(spots))
		}
		var open []*openSpot
		for i := range spots {
			open = append(open, &openSpot{Spot: spots[i]})
		}
		got := rays(open, j.Settings.Narrowest())
		if len(got) != 1 || got[0].star != (kept == 0) {
			t.Fatalf("of %g mm: %+v", radius, got)
		}
		s := &settler{mending: m, settings: j.Settings, things: filed(got)}
		if got[0].spares(&spots[0], 1) != (kept == 1) {
			t.Errorf("of %g mm: its points are left as they are: %t", radius, kept == 0)
		}
		options, _ := s.allowed(t.Context(), &problem{spot: &spots[0]})
		if len(options) == 0 || slices.ContainsFunc(options, func(o job.Mend) bool { return o.Do == job.Widen || o.WidthMM >= 1 }) && kept == 0 {
			t.Errorf("of %g mm: %+v", radius, options)
		}
	}
}

// A shade that ends at the corners of four spaces parts none of them as a peg does.
func TestBeads_LieAlongTheirSpaces(t *testing.T) {
	w := 1.0
	for share, want := range map[float64]int{0.2: 0, 0.5: 1} {
		var spots []*openSpot
		for i := range 4 {
			spots = append(spots, &openSpot{Spot: Spot{Spot: weak.Spot{Kind: weak.Gap, AreaMM2: 1, LengthMM: 1, Bounds: geometry.RectXYWH(float64(2*i), 0, 1, 1)}, Neighbours: []Neighbour{{sheet("red"), 1 - share}, {sheet("blue"), share}}}})
		}
		pieces := []Piece{{Of: sheet("blue"), Outline: geometry.RectXYWH(0, 1, 8, 1).Path(), Bounds: geometry.RectXYWH(0, 1, 8, 1)}}
		if got := beads(spots, pieces, w); len(got) != want {
			t.Errorf("with %.1f of their border: %+v", share, got)
		}
	}
}

// Sixteen long rays of a sun all become a millimetre broad at their tips, or all stay: where a bar lies 0.4 mm beside one of them
// there is no room for that.
func TestAll_RaysBecomeBroaderAllOrNone(t *testing.T) {
	var points []geometry.Point
	for k := range 32 {
		sin, cos := math.Sincos(math.Pi * float64(k) / 16)
		r := []float64{17.8, 7.1}[k%2]
		points = append(points, geometry.Pt(20+r*sin, 20-r*cos))
	}
	sun := geometry.Path{geometry.Polygon(points...)}
	for name, bar := range map[string]string{"all": "red rect 0 0 1 1 knock", "none": "red rect 20.7 0 5 5 knock"} {
		j := sketch.Art(t, "blue rect 0 0 40 40 knock", bar, "yellow rect 0 0 1 1 knock")
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: sun}}}
		laid, spots := allMended(t, j)
		left := 0
		for _, s := range spots {
			if s.Of == sheet("yellow") && s.Kind == weak.Point {
				left++
			}
		}
		broad := 0
		for k := range 16 {
			sin, cos := math.Sincos(math.Pi * float64(k) / 8)
			in := func(off float64) bool { // beside the tip, a little within
				of, _ := laid.Owner(laid.Fresh[laid.Map.Locate(geometry.Pt(20+17.7*sin+off*cos, 20-17.7*cos+off*sin))])
				return of == sheet("yellow")
			}
			if in(0.48) && in(-0.48) {
				broad++
			}
		}
		if want := map[string]int{"all": 16}[name]; broad != want || left != 16-want {
			t.Errorf("%s: %d rays are broad, %d points are left", name, broad, left)
		}
	}
}
