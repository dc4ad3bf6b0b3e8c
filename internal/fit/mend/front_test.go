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

// shaped replaces what a layer shows by a polygon.
func shaped(j job.Job, layer int, corners ...geometry.Point) job.Job {
	j.Items[0].Layers[layer].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(corners...)}}}}
	return j
}

// allMended lays out what mending all makes of a job.
func allMended(t *testing.T, j job.Job) (*laidOut, []Spot) {
	t.Helper()
	k, err := All(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	laid, err := layOut(context.Background(), k, &memory{surrounds: new(own.Surrounds)})
	if err != nil {
		t.Fatal(err)
	}
	spots, err := laid.spots(context.Background(), j.Settings, nil)
	if err != nil {
		t.Fatal(err)
	}
	return laid, spots
}

// crossed is a green field on yellow that a red band crosses at 60°: two of the field's corners lie
// between the band's edge and its own.
func crossed(t *testing.T) job.Job {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "green rect 10 5 20 20 knock", "red rect 0 0 1 1 knock")
	lean := 40 / math.Sqrt(3)
	return shaped(j, 2, geometry.Pt(12, 30), geometry.Pt(12+lean/40*30, 0), geometry.Pt(18+lean/40*30, 0), geometry.Pt(18, 30))
}

func TestInFront_IsWhoLiesOverWhatTheSpotIsPartOf(t *testing.T) {
	j := crossed(t)
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	// Beside a spot at the field's corner: the band, and the ground beneath.
	s := &Spot{Of: sheet("green"), Neighbours: []Neighbour{{sheet("yellow"), 1}, {sheet("red"), 1}}}
	x := 12 + 25/math.Sqrt(3) // of the band's left edge at y = 5
	a, b, c := geometry.Pt(x-0.8, 5), geometry.Pt(x, 5), geometry.Pt(x-0.6/math.Sqrt(3), 5.6)
	s.Spot = weak.Spot{Kind: weak.Point, At: geometry.Pt(x-0.4, 5.2), LengthMM: 0.8, Outline: geometry.Path{geometry.Polygon(a, b, c)}}
	s.Bounds = s.Outline.Bounds()
	if got := m.inFront(s); !slices.Equal(got, []own.Material{sheet("red")}) {
		t.Errorf("in front: %v", got)
	}
	// Nothing lies over what the band is part of.
	s.Of, s.At, s.Neighbours = sheet("red"), geometry.Pt(x+0.2, 5.3), []Neighbour{{sheet("yellow"), 1}, {sheet("green"), 1}}
	s.Outline = geometry.Path{geometry.Polygon(b, c, geometry.Pt(x+0.6, 5.3))}
	s.Bounds = s.Outline.Bounds()
	if got := m.inFront(s); len(got) > 0 {
		t.Errorf("in front of the band: %v", got)
	}
}

// What ends at a band that lies over it is cut back along the band, whose edges stay straight.
func TestAll_LeavesTheEdgesOfWhatLiesInFront(t *testing.T) {
	j := crossed(t)
	laid, spots := allMended(t, j)
	if len(laid.made) == 0 || len(spots) > 0 {
		t.Fatalf("%d mends, %d spots left", len(laid.made), len(spots))
	}
	i := slices.Index(laid.Materials, sheet("red"))
	if p := laid.Separations[i].Pieces; len(p) != 1 || math.Abs(p[0].Outline.SignedArea()) < 179.99 || turning(p[0].Outline.Flatten(0.01).Simplified(seenMM), func(geometry.Point) bool { return true }) > 2*math.Pi+0.01 {
		t.Errorf("the band is %v", p)
	}
}

// A dark vein that runs out at the edge of a light leaf ends before it: the leaf's edge stays as it
// was drawn, and is all light.
func TestAll_ShortensWhatRunsOutAtAnEdge(t *testing.T) {
	j := sketch.Art(t, "yellow circle 20 20 20 knock", "red rect 0 0 1 1 knock")
	j = shaped(j, 1, geometry.Pt(20, 17), geometry.Pt(20, 23), geometry.Pt(0.05, 20))
	laid, spots := allMended(t, j)
	if len(spots) > 0 {
		t.Errorf("left: %v", spots)
	}
	i := slices.Index(laid.Materials, sheet("yellow"))
	all := laid.Separations[i].Outline
	for k := range 72 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 36)
		if d := all.Distance(geometry.Pt(20+20*cos, 20+20*sin)); d > 0.02 {
			t.Errorf("at %d° the leaf's edge is %.2f mm away", 5*k, d)
		}
	}
	if b := laid.Separations[slices.Index(laid.Materials, sheet("red"))].Bounds; b.Min.X < 1 || b.Min.X > 5 {
		t.Errorf("the vein ends at %.2f", b.Min.X)
	}
}

// A strip of 0.5 mm between a corner and the round edge of the picture takes from the corner: the picture
// keeps its outline.
func TestAll_ThePicturesOutlineStays(t *testing.T) {
	r := 3.7 / math.Sqrt2
	j := sketch.Art(t, "blue rect 0 0 35.8 40 + rect 0 0 40 35.8 + circle 35.8 35.8 4.2 knock", "red rect 0 0 1 1 knock")
	j = shaped(j, 1, geometry.Pt(35.8+r, 35.8+r), geometry.Pt(10, 35.8+r), geometry.Pt(10, 32.6+r), geometry.Pt(34+r, 32.6+r))
	laid, spots := allMended(t, j)
	if moved := laid.edgeMoved(j.Settings.BlankColour()); len(spots) > 0 || moved > 0.02 {
		t.Errorf("%d spots are left, and %.2f mm² of the picture's edge moved", len(spots), moved)
	}
}
