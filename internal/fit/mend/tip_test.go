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

// A horn of 12 mm becomes a millimetre broad up to its tip and ends there in a straight line across it, in
// whichever way it goes: a disc at its end would stick out beyond it.
func TestUpright_AHornEndsStraightAtItsTip(t *testing.T) {
	for _, turn := range []float64{0, 0.4, 1, 2} {
		j := sketch.Art(t, "green rect 0 0 40 40 knock", "red rect 9 9 1 1 knock")
		at := geometry.Translate(20, 20).Mul(geometry.Rotate(turn))
		horn := geometry.Path{geometry.Polygon(geometry.Pt(-6, -1), geometry.Pt(6, 0), geometry.Pt(-6, 1))}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: horn.Transform(at)}}}
		m, spot := spotOf(t, j)
		mend := m.about(&spot, 0)
		mend.Do, mend.To, mend.Chosen = job.Widen, spot.Neighbours[0].Of.Colour, turn == 1
		layers, err := m.layersOf(context.Background(), &spot, mend, j.Settings)
		if err != nil || len(layers) != 1 {
			t.Fatalf("%v, %d layers", err, len(layers))
		}
		back, _ := at.Invert()
		far, up, down := math.Inf(-1), math.Inf(-1), math.Inf(1)
		for _, c := range layers[0].path.Transform(back) {
			for p := range c.Sides() {
				far = math.Max(far, p.X)
				if p.X > 6-0.02 {
					up, down = math.Max(up, p.Y), math.Min(down, p.Y)
				}
			}
		}
		if math.Abs(far-6) > 0.02 || math.Abs(up-down-1) > 0.05 {
			t.Errorf("turned by %g: up to %.3f mm, %.3f mm broad there", turn, far, up-down)
		}
	}
}

// The end of a shade that is nearly as light as the blank, between that and the dark line around it, is left to the blank: nobody
// sees where it ends, and the line would have a thorn.
func TestAll_APaleShadeEndsOnTheBlank(t *testing.T) {
	j := sketch.Art(t, "#191919 rect 0 0 34 50 knock", "white rect 2 2 30 46 bare knock", "#e3e3e3 rect 0 0 1 1 knock")
	var curve []geometry.Point
	for k := range 41 {
		x := float64(k-20) / 20
		curve = append(curve, geometry.Pt(17+15*x, 40-16*x*x*x*x))
	}
	j = shaped(j, 2, append(curve, geometry.Pt(32, 48), geometry.Pt(2, 48))...)
	laid, spots := allMended(t, j)
	line := laid.Separations[slices.Index(laid.Materials, own.OwnSheet(rgbOf(t, "#191919")))]
	if len(spots) > 0 || math.Abs(line.AreaMM2-(34*50-30*46)) > 0.02 {
		t.Errorf("left: %v; the line has %.2f mm² more", spots, line.AreaMM2-(34*50-30*46))
	}
}

// What shows of a shadow behind a disc is a crescent: its ends are left to the blank, for the disc would have two warts.
func TestAll_AShadowEndsBesideWhatCastsIt(t *testing.T) {
	j := sketch.Art(t, "blue circle 24 24 10 knock", "orange circle 20 20 10 knock")
	drawn, err := layOut(context.Background(), j, &memory{surrounds: new(own.Surrounds)})
	if err != nil {
		t.Fatal(err)
	}
	laid, spots := allMended(t, j)
	orange := func(l *laidOut) float64 { return l.Separations[slices.Index(l.Materials, sheet("orange"))].AreaMM2 }
	if was, is := orange(drawn), orange(laid); len(spots) > 0 || len(laid.made) != 2 || math.Abs(is-was) > 0.01 {
		t.Errorf("%d left, %d mended; the disc has %.3f mm², and had %.3f", len(spots), len(laid.made), is, was)
	}
}

// The end of a sea between a coast and the rim of its globe is no shadow, though the globe lies beneath the land: the rim runs on.
func TestPeeks_NotWhereTheEdgeRunsOn(t *testing.T) {
	var coast []geometry.Point
	for k := range 61 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 180)
		coast = append(coast, geometry.Pt(24+10*cos, 24+10*sin))
	}
	sea := shaped(sketch.Art(t, "blue circle 24 24 10 knock", "orange rect 0 0 1 1 knock"), 1, append(coast, geometry.Pt(24, 24), geometry.Pt(31, 20))...)
	for name, c := range map[string]struct {
		job  job.Job
		ends int
		want bool
	}{"a shadow": {sketch.Art(t, "blue circle 24 24 10 knock", "orange circle 20 20 10 knock"), 2, true}, "a sea": {sea, 1, false}} {
		m, err := start(context.Background(), c.job)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(context.Background(), c.job.Settings, nil)
		if err != nil || len(spots) != c.ends {
			t.Errorf("%s: %v, %d ends", name, err, len(spots))
		}
		for i := range spots {
			if got := m.peeks(&spots[i], 1); got != c.want {
				t.Errorf("%s: %t at %v", name, got, spots[i].At)
			}
		}
	}
}

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
