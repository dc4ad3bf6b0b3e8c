package mend

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A hairline across the picture is found whole from a small area.
func TestSpotsIn_FindsAllOfAHairline(t *testing.T) {
	j, err := job.KnockOutAll(sketch.Art(t, "green rect 0 0 400 300", "blue rect 10 20 380 0.4"))
	if err != nil {
		t.Fatal(err)
	}
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, []geometry.Rect{geometry.RectXYWH(15, 19, 1, 2)})
	if err != nil || len(spots) != 1 || spots[0].Of != own.OwnSheet(sketch.Palette["blue"]) {
		t.Fatalf("%v, %+v", err, spots)
	}
	if b := spots[0].Bounds; b.Width() < 379.9 || b.Width() > 380.1 {
		t.Errorf("the spot is %g mm long", b.Width())
	}
}

// What a map without any mends makes of a job is what the plan's own division is.
func TestMake_WithoutMendsNothingChanges(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 30 knock", "blue rect 10 20 20 0.4 knock")
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	var c Cache
	made, err := c.Make(context.Background(), j, m.placed, m.Places, false)
	if err != nil {
		t.Fatal(err)
	}
	if made.Division != m.Division || len(made.Made) != 0 || made.ChangedMM2 != 0 || made.GivenAway != nil {
		t.Errorf("%+v", made)
	}
}
