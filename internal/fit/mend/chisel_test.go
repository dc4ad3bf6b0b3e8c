package mend

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// wedged is red above and blue below, with what of green lies between them from nothing at 10 to 2 mm at 30.
func wedged(t *testing.T) job.Job {
	t.Helper()
	j := sketch.Art(t, "green rect 0 0 40 30 knock", "red rect 0 0 40 15 knock", "blue rect 0 15 40 15 knock")
	half := func(foot float64) job.Outlines {
		return job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(0, 15), geometry.Pt(0, foot), geometry.Pt(40, foot),
			geometry.Pt(40, 15+math.Copysign(1, foot-15)), geometry.Pt(30, 15+math.Copysign(1, foot-15)), geometry.Pt(10, 15))}}}}
	}
	j.Items[0].Layers[1].Content, j.Items[0].Layers[2].Content = half(0), half(30)
	return j
}

// The end of a wedge of 1 in 10 is cut off in a straight line across it where it is broad enough: all of
// it goes to the one who is asked, up to that line and on both sides of its middle, and nothing thin is left.
// As a disc leaves it the wedge would be round there.
func TestChiselled_IsStraightAcrossThePoint(t *testing.T) {
	j := wedged(t)
	m, spot := spotOf(t, j)
	if spot.Kind != weak.Point {
		t.Fatal(spot.Kind)
	}
	mend := m.about(&spot, 0)
	mend.Do, mend.To, mend.Chosen, mend.WidthMM = job.Give, sketch.Palette["red"], true, spot.chiselMM(1)
	at := given(t, m, &spot, mend, j.Settings)
	// It is a millimetre broad at 20.
	for _, y := range []float64{-0.4, 0, 0.4} {
		if before, after := at(19.8, 15+y), at(20.2, 15+y); before != sheet("red") || after != sheet("green") {
			t.Errorf("%g mm off its middle: %v before the line, %v after it", y, before, after)
		}
	}
	if of := at(15, 15.2); of != sheet("red") {
		t.Errorf("beside blue its tip went to %v", of)
	}
	spots, err := m.spots(t.Context(), j.Settings, nil)
	if err != nil || len(spots) != 0 {
		t.Errorf("%v, %d spots are left", err, len(spots))
	}
}

// A point is cut off straight for either of two who lie along it, not for one at whom it only ends, and not where
// three lie beside it.
func TestRemedies_CutStraightForWhoLiesAlong(t *testing.T) {
	red, blue, green, yellow := sheet("red"), sheet("blue"), sheet("green"), sheet("yellow")
	for name, c := range map[string]struct {
		beside []Neighbour
		want   []own.Material
	}{
		"between two":      {[]Neighbour{{blue, 2}, {green, 2}}, []own.Material{blue, green}},
		"within one":       {[]Neighbour{{blue, 4}}, []own.Material{blue}},
		"ends at one":      {[]Neighbour{{blue, 3.9}, {green, 0.1}}, []own.Material{blue}},
		"in a corner of 3": {[]Neighbour{{blue, 2}, {green, 2}, {yellow, 1}}, nil},
	} {
		spot := &Spot{Spot: weak.Spot{Kind: weak.Point, LengthMM: 2, WidthMM: 0.5, AreaMM2: 1}, Of: red,
			Neighbours: c.beside, whole: geometry.RectXYWH(0, 0, 30, 30).Path()}
		r := &remedies{spot: spot, w: 1, about: job.Mend{Spot: job.Tip}, beside: c.beside}
		r.end()
		var got []own.Material
		for _, m := range r.list {
			if straightCut(m, 1) {
				got = append(got, own.OwnSheet(m.To))
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: cut off for %v, want %v", name, got, c.want)
		}
	}
}

// The end of a space that narrows to a point between two legs is filled in up to a straight line where it
// loses 2 mm by that, and left alone where it would be 4 mm.
func TestRemedies_FillNoLongBay(t *testing.T) {
	for length, want := range map[float64]bool{2.2: true, 4: false} {
		spot := &Spot{Spot: weak.Spot{Kind: weak.Point, LengthMM: length, WidthMM: 0.5, AreaMM2: length / 2}, Of: sheet("red"),
			Neighbours: []Neighbour{{sheet("blue"), 2 * length}}, whole: geometry.RectXYWH(0, 0, 30, 30).Path()}
		r := &remedies{spot: spot, w: 1, about: job.Mend{Spot: job.Tip}, beside: spot.Neighbours, bay: true}
		r.end()
		if got := slices.ContainsFunc(r.list, func(m job.Mend) bool { return m.Do == job.Give }); got != want {
			t.Errorf("%g mm: filled in: %t", length, got)
		}
	}
}

// What is left of green between two others becomes broad up to its tip as a band does, with a straight end,
// which is no drip. A horn that someone drew so would be a club.
func TestWidened_AShadeEndsStraight(t *testing.T) {
	horn := sketch.Art(t, "green rect 0 0 40 40 knock", "red rect 9 9 1 1 knock")
	horn.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(14, 19), geometry.Pt(26, 20), geometry.Pt(14, 21))}}}}
	for name, c := range map[string]struct {
		job  job.Job
		want bool
	}{"shade": {wedged(t), true}, "horn": {horn, false}} {
		m, spot := spotOf(t, c.job)
		mend := m.about(&spot, 0)
		mend.Do = job.Widen
		l, err := m.layersOf(t.Context(), &spot, mend, c.job.Settings)
		if err != nil || len(l) != 1 || l[0].straight != c.want {
			t.Errorf("%s: %v, %+v", name, err, l)
		}
	}
}

// Of a leg of 6.8 mm² whose point is thin over 0.85 mm² less than half of that goes: little enough to be
// blunted before it is listed. Of one of 3 mm² it would be too much.
func TestBlunting_CountsWhatGoes(t *testing.T) {
	for area, want := range map[float64]int{6.8: 1, 3: 0} {
		j := sketch.Art(t, "red rect 0 0 40 30 knock")
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		o := &openSpot{Spot: Spot{Spot: weak.Spot{Kind: weak.Point, LengthMM: 1.82, WidthMM: 0.47, AreaMM2: 0.85}, Of: sheet("red"),
			Neighbours: []Neighbour{{own.Bare, 3.6}}, whole: geometry.RectXYWH(10, 10, 1, area).Path()}}
		s := &settler{mending: m, settings: j.Settings, open: []*openSpot{o}}
		if got := s.blunting(&o.Spot); len(got) != want {
			t.Errorf("of %g mm²: %d mends", area, len(got))
		}
	}
}

// A point of 26° loses 1.7 mm with a round end, which is more than it can spare, and 1.4 mm with a straight one:
// cut off so, it is a wedge still.
func TestRemedies_CutStraightWhatCannotSpareARoundEnd(t *testing.T) {
	spot := &Spot{Spot: weak.Spot{Kind: weak.Point, LengthMM: 2.16, WidthMM: 0.5, AreaMM2: 1.02}, Of: sheet("red"),
		Neighbours: []Neighbour{{sheet("blue"), 4.3}}, whole: geometry.RectXYWH(0, 0, 5, 5).Path()}
	if loses := spot.bluntLengthMM(1); blunts(spot, 1) || loses < 1.6 {
		t.Errorf("with a round end it loses %.2f mm", loses)
	}
	r := &remedies{spot: spot, w: 1, about: job.Mend{Spot: job.Tip}, beside: spot.Neighbours}
	r.end()
	if len(r.list) == 0 || !straightCut(r.list[0], 1) {
		t.Errorf("%+v", r.list)
	}
}
