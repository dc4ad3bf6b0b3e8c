package mend

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A disc leaves a band of which a hundredth is left on either side: the band is cut apart there,
// and the picture's edge stays as straight as it is.
func TestAll_PartsWhatHardlyHangsTogether(t *testing.T) {
	at, listed := mended(t, "#99aab5 rect 10 5 10 30 knock", "#292f33 circle 15 20 4.97 knock", "#ffcc4d rect 22 5 6 30 knock")
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	for y := 18.5; y < 21.6; y += 0.5 {
		if out, in := at(9.9, y), at(10.02, y); out != "bare" || in != "#292f33" {
			t.Errorf("at %g mm: %s, %s", y, out, in)
		}
	}
	if got := at(10.5, 12); got != "#99aab5" {
		t.Errorf("the band is %s", got)
	}
}

// The tip of a wing is a tenth of it: it is cut off rather than listed. All three of a
// caltrop's would be most of that.
func TestBlunting_AnEndButNotAStar(t *testing.T) {
	wing := geometry.Polygon(geometry.Pt(5, 5.5), geometry.Pt(11, 7), geometry.Pt(5, 8.5))
	star := geometry.Polygon(geometry.Pt(3, 2), geometry.Pt(6.4, 6.2), geometry.Pt(12, 7), geometry.Pt(6.4, 7.8), geometry.Pt(3, 12), geometry.Pt(4.8, 7))
	for want, c := range map[int]geometry.Contour{1: wing, 0: star} {
		j := sketch.Art(t, "#ffe51e rect 5 5 4 4 knock", "#99aab5 rect 20 5 6 6 knock")
		j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{c}}}}
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(t.Context(), j.Settings, nil)
		if err != nil || len(spots) == 0 {
			t.Fatalf("%v, %d spots", err, len(spots))
		}
		s := &settler{mending: m, settings: j.Settings}
		for i := range spots {
			s.open = append(s.open, &openSpot{Spot: spots[i]})
		}
		for _, o := range s.open {
			if got := s.blunting(&o.Spot); len(got) != want {
				t.Errorf("%v of %.2f mm² of %.2f: %d mends, want %d", o.Kind, o.AreaMM2, o.whole.SignedArea(), len(got), want)
			}
		}
	}
}

// What runs out to nothing is thinnest at its end: nothing parts there. A waist is thinnest in between.
func TestParted_IsThinnestBetween(t *testing.T) {
	for name, c := range map[string]struct {
		at   geometry.Point
		want bool
	}{"at its end": {geometry.Pt(21.9, 10), false}, "between": {geometry.Pt(20.5, 10), true}} {
		s := Spot{Spot: weak.Spot{
			Kind: weak.Sliver, WidthMM: 0.05, LengthMM: 2, AreaMM2: 1, At: c.at,
			Outline: geometry.RectXYWH(20, 9.8, 2, 0.4).Path(),
		}, Of: sheet("red"), Neighbours: []Neighbour{{sheet("blue"), 2}, {sheet("green"), 2}}, whole: geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(20, 0), geometry.Pt(20, 9.8), geometry.Pt(22, 9.8), geometry.Pt(22, 10.2), geometry.Pt(20, 10.2), geometry.Pt(20, 20), geometry.Pt(0, 20))}}
		if got := new(mending).parted(&s, 1); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Between a chin and the coat under it a strip of a third of a millimetre is left of what lies beneath, which goes down
// to nothing: each end of it is blunted, however long it is. So broad a line that someone drew is one, and what is
// broader on average is no strip.
func TestParted_ALongStripThatNobodyDrew(t *testing.T) {
	for name, c := range map[string]struct {
		areaMM2     float64
		drawn, want bool
	}{"left over": {4.3, false, true}, "a line": {4.3, true, false}, "broader": {6, false, false}} {
		s := Spot{Spot: weak.Spot{Kind: weak.Neck, WidthMM: 0.04, LengthMM: 13, AreaMM2: c.areaMM2, At: geometry.Pt(20, 10)},
			Of: sheet("red"), Neighbours: []Neighbour{{sheet("blue"), 13}, {sheet("green"), 13}}}
		m := &mending{known: &asDrawn{spots: map[spotKey]bool{{s.Of, s.Kind, s.At, s.AreaMM2}: c.drawn}}}
		if got := m.parted(&s, 1); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
		if most := m.mostTurning(&s, job.Mend{Do: job.Give, Spot: job.Neck, Chosen: true}, 1); (most == 2*moreTurning) != c.want {
			t.Errorf("%s: outlines may turn %.2f more", name, most)
		}
	}
}

// Where a coat meets a chin beside the neck, the corner of the blank between them is 0.6 mm high: it is
// closed by the coat, which may turn once more by it, where neither can move aside.
func TestRemedies_ClosesTheCornerBetweenTwoOutlines(t *testing.T) {
	ctx := context.Background()
	j := sketch.Art(t, "red rect 0 0 1 1 knock", "blue rect 0 10 20 12 knock", "yellow rect 20 0 10 22 knock")
	chin := geometry.Polygon(geometry.Pt(20, 9.4), geometry.Pt(6, 1.4), geometry.Pt(6, 0), geometry.Pt(20, 0))
	j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{chin}}}}
	m, spot := spotOf(t, j)
	if spot.Kind != weak.Gap || !m.deadEnd(&spot, 1) || narrow(&spot, 1) {
		t.Fatalf("%v, %+v", spot.Kind, spot)
	}
	spent := 0
	s := &settler{mending: m, settings: j.Settings, spent: &spent, sparing: true}
	o := &openSpot{Spot: spot}
	c, ok, err := s.solve(ctx, o, s.areaOf(o))
	if err != nil || !ok || c.mends[0].Do != job.Give || len(c.spots) > 0 {
		t.Errorf("%t, %v, %+v, %d spots left", ok, err, c.mends, len(c.spots))
	}
}

// A red, a blue and a yellow sheet leave a corner of 1.2 mm between them, beside edges of red and blue that were drawn anew: any of the three
// may close it. The corner of 1.5 mm is too large, and closed by nobody.
func TestClosing_ACornerIsClosedByAnyOfThoseThatLeaveIt(t *testing.T) {
	for leg, want := range map[float64]int{1.2: 3, 1.5: 0} {
		j := sketch.Art(t, "red rect 0 0 10 30 knock", "blue rect 10 15 30 15 knock", "yellow rect 0 0 1 1 knock")
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(
			geometry.Pt(10+leg, 15), geometry.Pt(10, 15-leg), geometry.Pt(10, 0), geometry.Pt(40, 0), geometry.Pt(40, 15))}}}}
		m, spot := spotOf(t, j)
		around := []geometry.Rect{spot.Bounds.Grow(3)}
		s := &settler{mending: m, settings: j.Settings, anew: filed([]keptThing{{of: sheet("red"), areas: around, anew: true}, {of: sheet("blue"), areas: around, anew: true}})}
		if got := s.closing(&spot); spot.Kind != weak.Gap || narrow(&spot, 1) || len(got) != want {
			t.Errorf("%g mm: %v of %g mm², %+v", leg, spot.Kind, spot.AreaMM2, got)
		}
	}
}
