package mend

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A strip of sea of 0.3 mm over a hull closes, and the space of 0.7 mm between a window and a stripe opens,
// by a straight side that moves all along: no outline gets a step.
func TestAll_MovesAStraightSideAllAlong(t *testing.T) {
	for name, c := range map[string]struct {
		lines []string
		edge  float64 // how long the side is that moves, 0 for none
	}{
		"sea over a hull":       {[]string{"yellow rect 0 0 40 30 knock", "blue rect 0 14 40 16 knock", "red rect 10 14.3 12 6 knock"}, 12},
		"sea over three hulls":  {[]string{"yellow rect 0 0 40 30 knock", "blue rect 0 14 40 16 knock", "red rect 3 14.3 9 6 + rect 15 14.3 9 6 + rect 27 14.3 9 6 knock"}, 40},
		"window over a stripe":  {[]string{"yellow rect 0 0 40 30 knock", "red rect 0 14 40 6 knock", "black rect 18 9.3 4 4 knock"}, 4},
		"window over a far one": {[]string{"yellow rect 0 0 40 30 knock", "red rect 0 14 40 6 knock", "black rect 18 8 4 4 knock"}, 0},
	} {
		j := sketch.Art(t, c.lines...)
		bare, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		laid, spots := allMended(t, j)
		if len(spots) > 0 {
			t.Errorf("%s: %d spots are left", name, len(spots))
		}
		if bends := bendsOf(t, laid.mending) - bendsOf(t, bare); bends > 0.01 {
			t.Errorf("%s: outlines turn %.2f more", name, bends)
		}
		moved := 0.0
		for _, m := range laid.made {
			if m.Do != job.Displace || !m.Edge || m.State != Done {
				t.Fatalf("%s: %+v", name, m)
			}
			moved += m.AreaMM2 / m.Moved.Len()
		}
		if math.Abs(moved-c.edge) > 0.1 {
			t.Errorf("%s: a side of %.2f mm moves, want %g", name, moved, c.edge)
		}
	}
}

// bendsOf returns how much all outlines turn, in radians.
func bendsOf(t *testing.T, m *mending) float64 {
	t.Helper()
	all, err := m.outlines(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return turning(all, func(geometry.Point) bool { return true })
}

// A ball that is 0.6 mm away from the edge of what lies over all else moves away from it and stays a ball; two
// alike ones stay where they are, for one alone would look like a mistake.
func TestAll_MovesAsAWholeWhatIsFree(t *testing.T) {
	hill := job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Ellipse(geometry.Pt(20, 34), 18, 18)}}}}
	for name, c := range map[string]struct {
		balls string
		up    float64
	}{"one": {"red circle 20 12.4 3", 0.42}, "two": {"red circle 20 12.4 3 + circle 32 6 3", 0}} {
		j := sketch.Art(t, "yellow rect 0 0 40 40 knock", c.balls+" knock", "green rect 0 0 1 1 knock", "black circle 20 34 14 knock")
		j.Items[0].Layers[2].Content = hill
		laid, _ := allMended(t, j)
		of := laid.Separations[slices.Index(laid.Materials, sheet("red"))]
		for i := range of.Pieces {
			if b := of.Pieces[i].Bounds; b.Centre().X < 22 && math.Abs(b.Min.Y-(9.4-c.up)) > 0.03 {
				t.Errorf("%s: %v, want it %g mm further up", name, b, c.up)
			} else if c.up > 0 && math.Abs(b.Height()-6) > 0.03 {
				t.Errorf("%s: no ball any more, %v", name, b)
			}
		}
	}
}

// The four holes of a button lie 0.84 mm apart: all of them move away from each other, and stay round.
func TestAll_WhatIsAlikeMovesTogether(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "blue circle 20 15 8 knock", "black circle 18.58 13.58 1 + circle 21.42 13.58 1 + circle 18.58 16.42 1 + circle 21.42 16.42 1 knock")
	bare, err := start(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	laid, spots := allMended(t, j)
	if len(spots) > 0 || len(laid.made) != 4 {
		t.Errorf("%d spots are left, %+v", len(spots), laid.made)
	}
	if bends := bendsOf(t, laid.mending) - bendsOf(t, bare); math.Abs(bends) > 0.01 {
		t.Errorf("outlines turn %.2f more", bends)
	}
	holes := laid.Separations[slices.Index(laid.Materials, sheet("black"))].Pieces
	for i := range holes {
		if c := holes[i].Bounds.Centre(); math.Abs(math.Abs(c.X-20)-1.51) > 0.01 || math.Abs(math.Abs(c.Y-15)-1.51) > 0.01 {
			t.Errorf("a hole is at %v", c)
		}
	}
}

// The middle one of a row can move to neither side.
func TestAllOf_WaysThatLeadApartAreNone(t *testing.T) {
	for _, c := range []struct {
		x, y float64
		ok   bool
	}{{0, 0.2, true}, {0.2, 0.1, true}, {-0.2, 0, false}} {
		got, ok := allOf([]shift{{by: geometry.Pt(0.3, 0), gapMM: 0.7}, {by: geometry.Pt(c.x, c.y), gapMM: 0.6}})
		if ok != c.ok || ok && (got.by.X < 0.3-1e-9 || got.by.Dot(geometry.Pt(c.x, c.y)) < c.x*c.x+c.y*c.y-1e-9 || got.gapMM != 0.6) {
			t.Errorf("%+v: %t, %+v", c, ok, got)
		}
	}
}

// No side of a letter moves by itself: an H whose stems were closed, being thin, would be none.
func TestAll_LettersKeepTheirSides(t *testing.T) {
	letter := func(x float64, points ...geometry.Point) job.Shape {
		return job.Shape{Path: geometry.Path{geometry.Polygon(points...)}.Transform(geometry.Translate(x, 5).Mul(geometry.Scale(0.7, 1)))}
	}
	aitch := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(0.3, 0), geometry.Pt(0.3, 1.3), geometry.Pt(1.5, 1.3), geometry.Pt(1.5, 0), geometry.Pt(1.8, 0),
		geometry.Pt(1.8, 3), geometry.Pt(1.5, 3), geometry.Pt(1.5, 1.6), geometry.Pt(0.3, 1.6), geometry.Pt(0.3, 3), geometry.Pt(0, 3)}
	ell := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(0.3, 0), geometry.Pt(0.3, 2.7), geometry.Pt(1.5, 2.7), geometry.Pt(1.5, 3), geometry.Pt(0, 3)}
	bar := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(0.3, 0), geometry.Pt(0.3, 3), geometry.Pt(0, 3)}
	j := sketch.Art(t, "yellow rect 0 0 20 12 knock", "black rect 0 0 1 1 knock")
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{letter(5, aitch...), letter(7.3, bar...), letter(8.1, ell...), letter(10, aitch...)}}
	laid, _ := allMended(t, j)
	for _, m := range laid.made {
		if m.Do == job.Displace {
			t.Errorf("%+v", m)
		}
	}
}

// Who looks at the space between a window and a stripe is offered to move one of them aside.
func TestNewOfThing_OffersToMoveAside(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "red rect 0 14 40 6 knock", "black rect 18 9.3 4 4 knock")
	_, spot := spotOf(t, j)
	got, err := NewOfThing(t.Context(), j, spot.At, job.SpotKind(spot.Kind), spot.Of)
	if err != nil || !slices.ContainsFunc(got, func(m job.Mend) bool { return m.Do == job.Displace && m.ByHand }) {
		t.Fatalf("%v, %+v", err, got)
	}
	out, err := job.AddMend(j, got[0])
	if err != nil {
		t.Fatal(err)
	}
	laid, err := layOut(t.Context(), out, &memory{surrounds: new(own.Surrounds)})
	if err != nil {
		t.Fatal(err)
	}
	if left, err := laid.spots(t.Context(), j.Settings, nil); err != nil || len(left) > 0 {
		t.Errorf("%v, %d spots are left", err, len(left))
	}
}
