package mend

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// given lays a mend over a spot and returns whose a place is then.
func given(t *testing.T, m *mending, s *Spot, mend job.Mend, settings job.Settings) func(x, y float64) own.Material {
	t.Helper()
	layers, err := m.layersOf(context.Background(), s, mend, settings)
	if err != nil || len(layers) == 0 {
		t.Fatalf("%v, %d layers", err, len(layers))
	}
	m.layers = append(m.layers, layers...)
	if err := m.lay(context.Background()); err != nil {
		t.Fatal(err)
	}
	return func(x, y float64) own.Material {
		of, _ := m.Owner(m.Fresh[m.Map.Locate(geometry.Pt(x, y))])
		return of
	}
}

func sheet(name string) own.Material { return own.OwnSheet(sketch.Palette[name]) }

// The tip of a green wedge lies between red and blue: each takes the half that lies
// nearest, divided along the wedge's middle.
func TestGive_SharesATipBetweenThoseBesideIt(t *testing.T) {
	j := sketch.Art(t, "red rect 0 0 20 30 knock", "blue rect 20 0 20 30 knock", "green rect 17 4 6 16 knock")
	j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(20, 4), geometry.Pt(23, 20), geometry.Pt(17, 20))}}}}
	m, spot := spotOf(t, j)
	if spot.Kind != weak.Point || len(spot.Neighbours) != 2 {
		t.Fatalf("%v, %d neighbours", spot.Kind, len(spot.Neighbours))
	}
	give := m.about(&spot, 0)
	give.Do = job.Give
	at := given(t, m, &spot, give, j.Settings)
	y := spot.Bounds.Min.Y + 1
	for _, c := range []struct {
		x    float64
		want string
	}{{20 - 0.05, "red"}, {20 + 0.05, "blue"}} {
		if got := at(c.x, y); got != sheet(c.want) {
			t.Errorf("at %g, %g: %v, want %s", c.x, y, got, c.want)
		}
	}
	if got := at(20, spot.Bounds.Max.Y+0.5); got != sheet("green") {
		t.Errorf("what is broad enough is %v", got)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || len(spots) != 0 {
		t.Errorf("%v, %d spots are left", err, len(spots))
	}
}

// Yellow shows by 0.03 mm beside green that covers it: one does not see that, and who
// gets it gets no horns at the corners in which it ends.
func TestGive_AHairlineGoesWithoutItsCorners(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "green rect 10 0.03 20 10 knock")
	m, spot := spotOf(t, j)
	if !hair(&spot) {
		t.Fatalf("%.2f mm² in %.2f mm", spot.AreaMM2, spot.LengthMM)
	}
	give := m.about(&spot, 0)
	give.Do = job.Give
	at := given(t, m, &spot, give, j.Settings)
	if got := at(20, 0.015); got != sheet("green") {
		t.Errorf("the hairline is %v", got)
	}
	for _, x := range []float64{10 - 0.05, 30 + 0.05} {
		if got := at(x, 0.1); got != sheet("yellow") {
			t.Errorf("the corner at %g is %v", x, got)
		}
	}
	if turns := turning(withoutThorns(m.Separations[0].Outline), func(geometry.Point) bool { return true }); math.Abs(turns-8*math.Pi/2) > 0.2 {
		t.Errorf("it turns by %.2f", turns)
	}
}

func TestWithoutThorns_TakesWhatTurnsBackUnseen(t *testing.T) {
	square := geometry.RectXYWH(0, 0, 10, 10).Path()
	thorn := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(10, 0), geometry.Pt(10, 5), geometry.Pt(14, 5), geometry.Pt(10, 5.05), geometry.Pt(10, 10), geometry.Pt(0, 10))}
	seen := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(10, 0), geometry.Pt(10, 5), geometry.Pt(14, 5.5), geometry.Pt(10, 6), geometry.Pt(10, 10), geometry.Pt(0, 10))}
	all := func(geometry.Point) bool { return true }
	for name, c := range map[string]struct {
		path geometry.Path
		want float64
	}{"a square": {square, 2 * math.Pi}, "a thorn": {thorn, 2 * math.Pi}} {
		if got := turning(withoutThorns(c.path), all); math.Abs(got-c.want) > 0.1 {
			t.Errorf("%s turns by %.2f, want %.2f", name, got, c.want)
		}
	}
	if before, got := turning(seen, all), turning(withoutThorns(seen), all); got != before {
		t.Errorf("a point that one sees turns by %.2f, want %.2f", got, before)
	}
}

// The end of a slit between two legs is closed; a strait between two shapes is none.
func TestDeadEnd_HasOneSideOpen(t *testing.T) {
	for name, c := range map[string]struct {
		art  []string
		want bool
	}{
		"a notch":  {[]string{"red rect 0 0 40 30 knock", "red rect 0 30 18 9 knock", "red rect 22 30 18 9 knock", "red rect 0 29 19.6 2 knock", "red rect 20.4 29 19.6 2 knock"}, true},
		"a strait": {[]string{"red rect 0 0 20 30 knock", "red rect 0 14 19.6 2 knock", "red rect 20.4 14 19.6 2 knock", "red rect 22 0 20 30 knock"}, false},
	} {
		j := sketch.Art(t, c.art...)
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(context.Background(), j.Settings, nil)
		if err != nil || len(spots) != 1 || spots[0].Kind != weak.Gap {
			t.Fatalf("%s: %v, %+v", name, err, spots)
		}
		if got := m.deadEnd(&spots[0], j.Settings.Narrowest()); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// A shade that ends at the picture's edge is cut off there, and the edge stays where it was:
// what lies on its other side takes the rest, which is tried first.
func TestGive_LeavesThePicturesEdgeAsItWas(t *testing.T) {
	j := sketch.Art(t, "red rect 0 10 40 20 knock", "blue rect 0 9 40 1 knock")
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(10, 10), geometry.Pt(30, 10), geometry.Pt(30, 18), geometry.Pt(18, 12.4))}}}}
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	k := slices.IndexFunc(spots, func(s Spot) bool { return s.Kind == weak.Point && s.Bounds.Min.X < 10.1 })
	if err != nil || k < 0 {
		t.Fatalf("%v, %d spots", err, len(spots))
	}
	tip := spots[k]
	options, _ := m.remedies(&tip, j.Settings)
	if k := slices.IndexFunc(options, func(x job.Mend) bool { return x.Do == job.Give }); k < 0 || options[k].To != sketch.Palette["red"] || !options[k].Chosen {
		t.Errorf("what is tried: %+v", options)
	}
	at := given(t, m, &tip, job.Mend{Spot: job.Tip, Do: job.Give, To: sketch.Palette["red"], Chosen: true}, j.Settings)
	if of := at(10.5, 10.02); of != sheet("red") {
		t.Errorf("at the edge is %v", of)
	}
	after, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || slices.ContainsFunc(after, func(s Spot) bool { return s.Bounds.Min.X < 13 }) {
		t.Errorf("%v, %d spots", err, len(after))
	}
}

// A yellow wedge fills a hole of a black sheet but for a micrometre all around, where its outline is bent otherwise: that goes to
// yellow. Its tip, given away, becomes one with the black around it.
func TestGive_WhatIsBareBesideASpotGoesAlong(t *testing.T) {
	ctx := context.Background()
	j := sketch.Art(t, "black rect 0 0 40 32 knock", "yellow rect 0 0 1 1 knock")
	wedge := func(in float64) geometry.Contour {
		return geometry.Polygon(geometry.Pt(28-in, 30-in), geometry.Pt(20, 10+2*in), geometry.Pt(12+in, 30-in))
	}
	j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: append(geometry.RectXYWH(0, 0, 40, 32).Path(), wedge(0)), Rule: geometry.EvenOdd}}}
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{wedge(0.001)}}}}
	m, spot := spotOf(t, j)
	give := m.about(&spot, 0)
	give.Do = job.Give
	l, err := m.layersOf(ctx, &spot, give, j.Settings)
	if err != nil || len(l) != 1 {
		t.Fatalf("%v, %d layers", err, len(l))
	}
	m.layers = l
	if err := m.lay(ctx); err != nil {
		t.Fatal(err)
	}
	for i, of := range m.Materials {
		if n := len(m.Separations[i].Pieces); n != 1 {
			t.Errorf("%d pieces of %v", n, of.Colour)
		}
	}
	spot.touch(own.Bare, 3)
	if from := spot.goes(); from.takes(own.Bare) {
		t.Error("a spot at the picture's edge would take of what is bare")
	}
}
