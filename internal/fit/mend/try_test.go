package mend

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// The ground runs out in a long point between two leaves: filled in, there would be a web between
// them.
func TestRemedies_ABayIsNotFilled(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "green rect 0 0 1 1 knock")
	leaf := func(up float64) geometry.Contour {
		return geometry.Polygon(geometry.Pt(32, 15), geometry.Pt(30, 15), geometry.Pt(10, 15+up), geometry.Pt(10, 15+3*up), geometry.Pt(32, 15+3*up))
	}
	for up, filled := range map[float64]bool{2: false, 7: true} {
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{leaf(up), leaf(-up)}, Rule: geometry.NonZero}}}
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(t.Context(), j.Settings, nil)
		k := slices.IndexFunc(spots, func(s Spot) bool { return s.Kind == weak.Point && s.Of == sheet("yellow") && math.Abs(s.At.Y-15) < 1 })
		if err != nil || k < 0 {
			t.Fatalf("%v, %+v", err, spots)
		}
		all, _ := m.remedies(&spots[k], j.Settings)
		if got := slices.ContainsFunc(all, func(x job.Mend) bool { return x.Do == job.Give }); got != filled {
			t.Errorf("%g mm high: filled %t, %+v", up, got, spots[k].LengthMM)
		}
	}
}

// Two green leaves end beside each other, and the ground runs out in a point between them. Made
// broad it would go through the black edges of 0.4 mm that they have, or have not.
func TestErases_ALineThatAnotherGoesThrough(t *testing.T) {
	leaf := func(up, in float64) geometry.Contour {
		return geometry.Polygon(geometry.Pt(32, 15), geometry.Pt(30-5*math.Abs(in), 15+in), geometry.Pt(10, 15+2*up+in), geometry.Pt(10, 15+5*up-in), geometry.Pt(32, 15+5*up-in))
	}
	for edge, want := range map[string]bool{"black": true, "green": false} {
		j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "green rect 0 0 1 1 knock", edge+" rect 0 0 1 1 knock")
		outer := geometry.Path{leaf(1, 0), leaf(-1, 0)}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: outer, Rule: geometry.NonZero}}}
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: append(outer, leaf(1, 0.4), leaf(-1, -0.4)), Rule: geometry.EvenOdd}}}
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(t.Context(), j.Settings, nil)
		k := slices.IndexFunc(spots, func(s Spot) bool { return s.Kind == weak.Point && s.Of == sheet("yellow") })
		if err != nil || k < 0 {
			t.Fatalf("%v, %d spots", err, len(spots))
		}
		spent := 0
		s := &settler{mending: m, settings: j.Settings, spent: &spent}
		o := &openSpot{Spot: spots[k]}
		v, err := s.solver(t.Context(), o, s.areaOf(o))
		if err != nil {
			t.Fatal(err)
		}
		widen := m.about(&o.Spot, 0)
		widen.Do = job.Widen
		l, err := m.layersOf(t.Context(), &o.Spot, widen, j.Settings)
		if err == nil {
			_, err = v.layOn(t.Context(), &v.start, widen, l)
		}
		if err != nil {
			t.Fatal(err)
		}
		if got := v.erases(widen, &o.Spot, l); got != want {
			t.Errorf("%s edges: %t", edge, got)
		}
	}
}
