package mend

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Near its tip alone a narrow hole looks like a notch, which is none: it is found again all
// the same, and closed.
func TestRun_FindsAHoleAgainThatGoesOnBeyondItsWindow(t *testing.T) {
	j := sketch.Art(t, "blue rect 0 0 20 20 knock", "red rect 0 0 1 1 bare knock")
	hook := geometry.Polygon(geometry.Pt(5, 10), geometry.Pt(10, 9.5), geometry.Pt(10.2, 14), geometry.Pt(9.4, 14), geometry.Pt(9.3, 10.3))
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{hook}}}}
	m, gap := onlySpot(t, j)
	mend := m.about(&gap, 0)
	mend.Do = job.Give
	j, err := job.AddMend(j, mend)
	if err != nil {
		t.Fatal(err)
	}
	made, err := m.run(context.Background(), j)
	if err != nil || len(made) != 1 || made[0].State != Done {
		t.Errorf("%+v, %v", made, err)
	}
}

// onlySpot returns a job's map, and the one spot that is there.
func onlySpot(t *testing.T, j job.Job) (*mending, Spot) {
	t.Helper()
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || len(spots) != 1 {
		t.Fatalf("%v, %v", spots, err)
	}
	return m, spots[0]
}
