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
	m, gap := spotOf(t, j)
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
