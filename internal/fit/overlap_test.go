package fit

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Three rectangles, each over the ones before: what lies over what is told apart, and
// areas are those of rectangles.
func TestOverlaps_TellApartWhatLiesOverWhat(t *testing.T) {
	j := sketch.Art(t, "red rect 0 0 30 10", "blue rect 10 0 20 10", "green rect 20 0 10 5")
	got, err := new(Cache).Overlaps(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	want := map[int][]job.LayerID{150: {1, 2}, 50: {1, 2, 3}}
	if len(got) != len(want) {
		t.Fatalf("%d overlaps, want %d", len(got), len(want))
	}
	for _, x := range got {
		if layers := want[int(math.Round(x.AreaMM2))]; !slices.Equal(x.Layers, layers) || len(x.Of) != len(layers) {
			t.Errorf("%.2f mm² of %v from %v", x.AreaMM2, x.Layers, x.Of)
		}
		if a := math.Abs(x.Outline.SignedArea()); math.Abs(a-x.AreaMM2) > 1e-6 {
			t.Errorf("an outline of %.4f mm² for %.4f", a, x.AreaMM2)
		}
	}
}

// Together they are what the plan says stacks, on any picture; shades of one sheet, what
// is knocked out and what stays bare do not count.
func TestOverlaps_AreWhatThePlanSaysStacks(t *testing.T) {
	for _, lines := range [][]string{
		{"red rect 0 0 30 10", "red rect 10 0 20 10"},
		{"red rect 0 0 30 10", "blue rect 10 0 20 10 knock"},
		{"red rect 0 0 30 10", "white rect 10 0 5 10", "blue circle 12 5 4"},
		{"red circle 10 10 8", "blue circle 15 10 8", "green circle 12 14 8", "red circle 11 11 3"},
		{"red rect 0 0 30 10", "blue rect 10 0 20 10 alpha=0.5"},
	} {
		j := sketch.Art(t, lines...)
		p, err := Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		got, err := new(Cache).Overlaps(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, x := range got {
			sum += x.AreaMM2
		}
		if math.Abs(sum-p.Stacked.AreaMM2) > 1e-6 {
			t.Errorf("%v: overlaps of %.6f mm², the plan says %.6f", lines, sum, p.Stacked.AreaMM2)
		}
	}
}
