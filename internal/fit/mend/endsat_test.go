package mend

import (
	"context"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// shaded is a yellow neck under a yellow chin, and between them a blue shade that runs out to nothing
// just at the neck's left edge, at 10, 10: it lies over the neck and under the chin.
func shaded(t *testing.T) (*mending, *Spot, job.Settings) {
	t.Helper()
	j := sketch.Art(t, "yellow rect 10 5 20 20 knock", "blue rect 0 0 1 1 knock", "yellow rect 0 0 1 1 knock")
	draw := func(layer int, corners ...geometry.Point) {
		j.Items[0].Layers[layer].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(corners...)}}}}
	}
	draw(1, geometry.Pt(10, 10), geometry.Pt(30, 18), geometry.Pt(30, 5), geometry.Pt(10, 5))
	draw(2, geometry.Pt(5, 9), geometry.Pt(35, 15), geometry.Pt(35, 0), geometry.Pt(5, 0))
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(spots, func(s Spot) bool { return s.Of == sheet("blue") && s.Kind == weak.Point })
	if i < 0 {
		t.Fatalf("no point of the shade: %+v", spots)
	}
	return m, &spots[i], j.Settings
}

// A shade that ends at an edge becomes a band along what lies in front of it, up to that edge: it has
// no step there, nothing beyond gives way, and the chin's outline stays.
func TestGrown_IsABandUpToTheEdgeAtWhichItEnds(t *testing.T) {
	m, spot, settings := shaded(t)
	widen := m.about(spot, 0)
	widen.Do, widen.To, widen.Chosen = job.Widen, sketch.Palette["yellow"], true
	at := given(t, m, spot, widen, settings)
	for _, c := range []struct {
		x, y float64
		want own.Material
	}{
		{10.1, 10.95, sheet("blue")}, {10.1, 11.2, sheet("yellow")}, {12, 11.3, sheet("blue")}, {12, 11.6, sheet("yellow")}, // 1 mm under the chin
		{12, 10.3, sheet("yellow")}, {9.9, 10.5, own.Bare},
	} {
		if got := at(c.x, c.y); got != c.want {
			t.Errorf("at %v: %v, want %v", geometry.Pt(c.x, c.y), got, c.want)
		}
	}
}

// Nor does it stick out over the edge that its tip meets when it is made broad on all sides.
func TestEndsAt_IsWhoIsMetAtATip(t *testing.T) {
	m, spot, settings := shaded(t)
	if got := m.endsAt(spot, settings.Narrowest()); len(got) != 1 || got[0] != own.Bare {
		t.Errorf("it ends at %v", got)
	}
	widen := m.about(spot, 0)
	widen.Do = job.Widen
	if got := given(t, m, spot, widen, settings)(9.8, 10.2); got != own.Bare {
		t.Errorf("beyond the edge is %v", got)
	}
	in, wedge := spotOf(t, spiked(t, 25)) // it ends within one colour
	if got := in.endsAt(&wedge, settings.Narrowest()); len(got) != 0 {
		t.Errorf("a spike ends at %v", got)
	}
}

// What ends beside a shade waits until that is broad, and nothing else does.
func TestWaits_IsWhatIsGivenToWhoIsMadeBroad(t *testing.T) {
	green, blue := sheet("green"), sheet("blue")
	spot := func(of own.Material, x float64, beside own.Material) *openSpot {
		return &openSpot{Spot: Spot{Spot: weak.Spot{Kind: weak.Point, Bounds: geometry.RectXYWH(x, 0, 2, 2)}, Of: of, Neighbours: []Neighbour{{beside, 1}, {own.Bare, 1}}}}
	}
	corner, shade := spot(green, 0, blue), spot(blue, 1, green)
	shade.AreaMM2 = 1
	give := solution{spot: corner, mends: []job.Mend{{Do: job.Give}}}
	broad := solution{spot: shade, mends: []job.Mend{{Do: job.Widen}}}
	other := solution{spot: corner, mends: []job.Mend{{Do: job.Give, To: sketch.Palette["red"], Chosen: true}}}
	large := solution{spot: spot(green, 0, blue), mends: give.mends}
	large.spot.AreaMM2 = 2
	far := solution{spot: spot(green, 9, blue), mends: give.mends}
	for name, c := range map[string]struct {
		of   solution
		want bool
	}{"an end beside a shade": {give, true}, "the shade": {broad, false}, "what goes to another": {other, false}, "an end elsewhere": {far, false}, "a larger one": {large, false}} {
		if got := waits(&c.of, []solution{give, broad, other, far, large}); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Of two that mend as much that one follows by which outlines turn less, and of others that which
// leaves less to do.
func TestCleaner_TurnsLess(t *testing.T) {
	rough, clean, part := &state{left: 0, bends: 6}, &state{left: 0, bends: 2}, &state{left: 1, bends: 0}
	for _, c := range []struct{ best, next, want *state }{
		{nil, part, part}, {part, nil, part}, {part, rough, rough}, {rough, part, rough}, {rough, clean, clean}, {clean, rough, clean},
	} {
		if got := cleaner(c.best, c.next, 0.5); got != c.want {
			t.Errorf("of %+v and %+v: %+v", c.best, c.next, got)
		}
	}
}
