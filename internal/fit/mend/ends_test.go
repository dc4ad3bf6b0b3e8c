package mend

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A shade that runs across a neck from edge to edge ends at its edges also when it is made
// broader: what lies beside the neck keeps its place.
func TestWiden_EndsWhereItEnded(t *testing.T) {
	j := sketch.Art(t, "red rect 0 0 40 5 knock + rect 20 5 20 20", "yellow rect 5 5 15 20 knock", "blue rect 5 10 15 0.5 knock")
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || len(spots) != 1 || spots[0].Kind != weak.Sliver {
		t.Fatalf("%v, %+v", err, spots)
	}
	widen := m.about(&spots[0], 0)
	widen.Do = job.Widen
	at := given(t, m, &spots[0], widen, j.Settings)
	for _, c := range []struct {
		x, y float64
		want own.Material
	}{{12, 9.8, sheet("blue")}, {12, 10.7, sheet("blue")}, {20.2, 10.25, sheet("red")}, {4.8, 10.25, own.Bare}} {
		if got := at(c.x, c.y); got != c.want {
			t.Errorf("at %v: %v, want %v", geometry.Pt(c.x, c.y), got, c.want)
		}
	}
}
