package mend

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// What a bar leaves of a disc, half a millimetre high, grows away from the bar, whose edge
// stays straight; and it turns as little as before, for its corners there are upright.
func TestAll_WhatABarLeavesOfADiscGrowsAwayFromIt(t *testing.T) {
	at, listed := mended(t, "#f5f8fa rect 0 0 40 40 knock", "#101010 circle 20 20 3.3 knock", "#dd2e44 rect 0 0 40 22.8 knock")
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	for y, want := range map[float64]string{22.7: "#dd2e44", 22.9: "#101010", 23.7: "#101010", 24.1: "#f5f8fa"} {
		if got := at(20, y); got != want {
			t.Errorf("at 20, %g: %s, want %s", y, got, want)
		}
	}
	for x := 1.0; x < 40; x++ {
		if got := at(x, 22.75); got != "#dd2e44" {
			t.Errorf("the bar is %s at %g", got, x)
		}
	}
}

// A leaning dash grows by the same all around, and its corners stay those of a dash.
func TestWholeLarger_KeepsCorners(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 20 20 knock", "red rect 9 9 1 1 knock")
	dash := geometry.Polygon(geometry.Pt(9.3, 9), geometry.Pt(10.3, 9), geometry.Pt(9.9, 10.6), geometry.Pt(8.9, 10.6))
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{dash}}}}
	m, spot := spotOf(t, j)
	mend := m.about(&spot, 0)
	mend.Do, mend.Whole = job.Widen, true
	layers, err := m.layersOf(context.Background(), &spot, mend, j.Settings)
	if err != nil || len(layers) != 1 {
		t.Fatalf("%v, %d layers", err, len(layers))
	}
	grown := layers[0].path
	if corners := len(grown.Simplified(0.01)[0].Segments); corners != 4 && corners != 3 {
		t.Errorf("%d sides", corners)
	}
	if b := grown.Bounds(); b.Longer() < j.Settings.Speck() {
		t.Errorf("%g × %g mm", b.Width(), b.Height())
	}
	turn := turning(grown.Simplified(0.01), func(geometry.Point) bool { return true })
	if math.Abs(turn-2*math.Pi) > 0.01 {
		t.Errorf("it turns %g", turn)
	}
}

// A freckle half a millimetre from another one would become one with it.
func TestWholeLarger_StaysApartFromWhatIsAlike(t *testing.T) {
	for x, want := range map[float64]int{12.2: 0, 15: 1} {
		j := sketch.Art(t, "green rect 0 0 20 20 knock", "red rect 9 9 1 1 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{
			geometry.Ellipse(geometry.Pt(10, 10), 0.5, 0.5), geometry.Ellipse(geometry.Pt(x, 10), 1.2, 1.2),
		}}}}
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(context.Background(), j.Settings, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range spots {
			if spots[i].Kind != weak.Speck {
				continue
			}
			mend := m.about(&spots[i], 0)
			mend.Do, mend.Whole = job.Widen, true
			if layers, err := m.layersOf(context.Background(), &spots[i], mend, j.Settings); err != nil || len(layers) != want {
				t.Errorf("beside one at %g: %v, %d layers, want %d", x, err, len(layers), want)
			}
		}
	}
}

// Three small dashes of one colour are a row, and stay alike; two are not.
func TestRows_SmallThingsOfOneKindStayAlike(t *testing.T) {
	for n, want := range map[int]int{2: 0, 3: 1} {
		layers := []string{"green rect 0 0 40 20 knock"}
		for i := range n {
			layers = append(layers, "red rect "+[...]string{"5", "15", "25"}[i]+" 9 1.2 1.6 knock")
		}
		j := sketch.Art(t, layers...)
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(context.Background(), j.Settings, nil)
		if err != nil || len(spots) != n {
			t.Fatalf("%v, %d spots", err, len(spots))
		}
		s := &settler{mending: m, settings: j.Settings}
		for i := range spots {
			s.open = append(s.open, &openSpot{Spot: spots[i]})
		}
		if got := s.rows(); len(got) != want || want > 0 && (len(got[0].areas) != n || got[0].of != sheet("red")) {
			t.Errorf("of %d: %+v", n, got)
		}
	}
}

// What hangs on a hairline shows when that is gone: it was there before.
func TestReveals_WhatAHairlineHid(t *testing.T) {
	at := func(x float64, area float64) *openSpot {
		s := Spot{Spot: weak.Spot{Kind: weak.Point, LengthMM: 9, AreaMM2: area}, Of: own.Bare}
		s.Bounds = geometry.RectXYWH(x, 0, 9, 1)
		return &openSpot{Spot: s}
	}
	thread, point := at(0, 0.015), at(0, 0.9)
	for i, c := range []struct {
		of   *openSpot
		now  []*openSpot
		want bool
	}{
		{thread, []*openSpot{point}, true},
		{thread, []*openSpot{at(0, 0.01)}, false},
		{thread, []*openSpot{at(20, 0.01)}, true},
		{point, nil, false},
	} {
		if got := reveals(&solution{spot: c.of}, c.now); got != c.want {
			t.Errorf("%d: %v", i, got)
		}
	}
}

// A ring of 0.4 mm just beneath the edge of a wave becomes broad, rises out of that, and stays a ring: the ends of the wave beside it go to
// the sky, or stay, and to the ring they would be thorns.
func TestAll_ALineDrawnAnewGetsNoThorns(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 40 knock", "blue rect 0 20 40 20 knock", "black rect 0 0 1 1 knock")
	j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Rule: geometry.EvenOdd, Path: geometry.Path{
		geometry.Ellipse(geometry.Pt(20, 25.4), 5.2, 5.2), geometry.Ellipse(geometry.Pt(20, 25.4), 4.8, 4.8)}}}}
	laid, _ := allMended(t, j)
	for angle := 0; angle < 360; angle++ {
		sin, cos := math.Sincos(float64(angle) / 180 * math.Pi)
		for r, black := range map[float64]bool{5: true, 5.6: false} {
			of, _ := laid.Owner(laid.Fresh[laid.Map.Locate(geometry.Pt(20+r*cos, 25.4+r*sin))])
			if (of == sheet("black")) != black {
				t.Errorf("at %d°, %g mm from its middle, it is %v", angle, r, of)
			}
		}
	}
}

// What a bar leaves of a small disc, 0.5 mm² of it, would be a new shape if it were large enough. A larger
// rest may be broader, and so may a dot that someone drew as small; but not what is seen of a wave between two discs, for it
// would stick out of that.
func TestAllowed_NoCrumbThatNobodyDrewGrows(t *testing.T) {
	bar := "blue rect 0 0 40 %g knock"
	for _, c := range []struct {
		layers []string
		grows  bool
	}{
		{[]string{"red circle 20 20 1.5 knock", fmt.Sprintf(bar, 21.15)}, false},
		{[]string{"red circle 20 20 3.3 knock", fmt.Sprintf(bar, 22.8)}, true},
		{[]string{"red circle 20 20 0.4 knock"}, true},
		{[]string{"blue rect 0 20 40 20 knock", "red circle 17.4 22.4 3 + circle 22.6 22.4 3 + rect 18 21.5 4 4 knock"}, false},
	} {
		j := sketch.Art(t, append([]string{"green rect 0 0 40 40 knock"}, c.layers...)...)
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(t.Context(), j.Settings, nil)
		k := slices.IndexFunc(spots, func(s Spot) bool { return s.Kind == weak.Speck || s.Whole })
		if err != nil || k < 0 {
			t.Fatal(err, len(spots))
		}
		s := &settler{mending: m, settings: j.Settings}
		options, _ := s.allowed(t.Context(), &problem{spot: &spots[k], clean: s.clean(&spots[k])})
		if got := slices.ContainsFunc(options, func(o job.Mend) bool { return o.Do == job.Widen }); got != c.grows {
			t.Errorf("%v may grow: %t", c.layers, got)
		}
	}
}
