package fit

import (
	"bytes"
	"context"
	"math"
	"reflect"
	"testing"

	"abut/geometry"
	"abut/internal/abutfile"
	"abut/internal/fit/mend"
	"abut/internal/job"
)

// rays are eight bars of 0.5 mm on a red ground, away from its edges.
func rays(t *testing.T) job.Job {
	return knockAll(t, art(t, "red rect 0 0 60 40", "blue rect 5 5 20 0.5 + rect 5 15 20 0.5 + rect 5 25 20 0.5 + rect 35 5 20 0.5"))
}

// broadened returns the mends of things.
func broadened(j job.Job) (out []job.Mend) {
	for _, it := range j.Items {
		for _, m := range it.Mends {
			if m.Do.OfThing() {
				out = append(out, m)
			}
		}
	}
	return out
}

func TestMendAll_DrawsLinesEvenlyBroader(t *testing.T) {
	k := mendAll(t, rays(t))
	p := mustPlan(t, k)
	if n := len(weakSpots(t, k)); n != 0 || len(broadened(k)) != 1 {
		t.Fatalf("%d spots left, mends %+v", n, k.Items[0].Mends)
	}
	for i := range p.Separations {
		for _, q := range p.Separations[i].Pieces {
			if h := q.Bounds.Height(); h < 10 && (h < 1 || h > 1.05) {
				t.Errorf("a line %.3f mm broad", h)
			}
		}
	}
	if len(p.GivenAway) != 0 || p.Proof.MendedMM2 < 38 || p.Proof.MendedMM2 > 44 {
		t.Errorf("%.2f mm² changed, %v given away", p.Proof.MendedMM2, p.GivenAway)
	}
}

// A mend finds its things again after they were moved, copied and saved, and is taken
// back to the last bit.
func TestMendsOfThings_FollowAndAreTakenBack(t *testing.T) {
	ctx := context.Background()
	plain := rays(t)
	k := mendAll(t, plain)
	id := broadened(k)[0].Layer
	moved := must(t)(job.MoveLayers(k, []job.LayerID{id}, 2, 3))
	if p := mustPlan(t, moved); p.Mends[0].State != mend.Done || len(weakSpots(t, moved)) != 0 {
		t.Errorf("after moving: %+v", p.Mends)
	}
	copied, _, err := job.Duplicate(k, []job.LayerID{id}, 0, 4)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(broadened(copied)); n != 2 || len(weakSpots(t, copied)) != 0 {
		t.Errorf("%d mends, %d spots after copying", n, len(weakSpots(t, copied)))
	}
	var file bytes.Buffer
	if err := abutfile.Write(&file, abutfile.Document{Job: k}); err != nil {
		t.Fatal(err)
	}
	read, err := abutfile.Read(&file)
	if err != nil || !reflect.DeepEqual(read.Job.Items[0].Mends, k.Items[0].Mends) {
		t.Errorf("%v, %+v", err, read.Job.Items)
	}
	back := must(t)(job.RemoveMend(k, broadened(k)[0]))
	a, err := Compute(ctx, plain)
	if err != nil {
		t.Fatal(err)
	}
	if b := mustPlan(t, back); !reflect.DeepEqual(a.Separations, b.Separations) {
		t.Error("taken back, the pieces are others than before")
	}
}

// A larger picture needs less of it.
func TestMendsOfThings_DoNoMoreThanTheSizeNeeds(t *testing.T) {
	k := mendAll(t, rays(t))
	for i := range k.Items {
		k.Items[i].Placement = geometry.Scale(3, 3).Mul(k.Items[i].Placement)
	}
	p := mustPlan(t, k)
	for i := range p.Separations {
		for _, q := range p.Separations[i].Pieces {
			if h := q.Bounds.Height(); h < 10 && math.Abs(h-1.5) > 0.01 {
				t.Errorf("a line %.3f mm broad, drawn 1.5", h)
			}
		}
	}
	if p.Mends[0].State != mend.Done {
		t.Errorf("%+v", p.Mends[0])
	}
}

// A mend whose thing is gone lapses, and is listed.
func TestMendsOfThings_LapseWithTheirThing(t *testing.T) {
	k := mendAll(t, rays(t))
	k = must(t)(job.SetContent(k, broadened(k)[0].Layer, job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(50, 30, 5, 5).Path()}}}))
	if p := mustPlan(t, k); p.Mends[0].State != mend.Lapsed {
		t.Errorf("%+v", p.Mends[0])
	}
}

// Layers that only touch, such as those of a traced picture, are not knocked out of each
// other: none becomes so broad that it lies over its neighbour.
func TestMendAll_StacksNothingThatOnlyTouches(t *testing.T) {
	j := art(t, "red rect 0 0 40 10", "blue rect 0 10 40 0.5", "green rect 0 10.5 40 10")
	if p := mustPlan(t, j); p.Stacked.AreaMM2 != 0 {
		t.Fatalf("%g mm² stack as drawn", p.Stacked.AreaMM2)
	}
	if p := mustPlan(t, mendAll(t, j)); p.Stacked.AreaMM2 != 0 {
		t.Errorf("%g mm² stack after mending", p.Stacked.AreaMM2)
	}
}
