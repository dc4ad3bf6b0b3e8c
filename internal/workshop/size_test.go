package workshop

import (
	"context"
	"math"
	"reflect"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
)

// sizes are jobs of one picture and of two, with surrounds of all kinds.
func sizes(t *testing.T) map[string]job.Job {
	t.Helper()
	around := func(j job.Job, s job.Surround, ids ...job.LayerID) (job.Job, job.LayerID) {
		j, id, err := job.AddSurround(j, ids, s, "band", colour.RGB{B: 200})
		if err != nil {
			t.Fatal(err)
		}
		return j, id
	}
	one := demoJob(t, "pair")
	both, added := job.AddBeside(one, demoJob(t, "nested"))
	star, err := job.NewPrimitive(job.Primitive{Form: job.Star, Width: 40, Height: 40, Points: 5, Inner: 0.4})
	if err != nil {
		t.Fatal(err)
	}
	starred, tip, err := job.Add(both, job.Added{Name: "star", Content: star, Colour: colour.RGB{R: 200}}, geometry.Pt(-30, 20))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]job.Job{"one": one, "several": both}
	out["one, surrounded"], _ = around(one, job.Surround{WidthMM: 5}, one.LayerIDs()...)
	out["surround around one"], _ = around(both, job.Surround{WidthMM: 5}, added...)
	out["surround around both"], _ = around(both, job.Surround{WidthMM: 10}, both.LayerIDs()...)
	j, first := around(both, job.Surround{WidthMM: 4}, one.LayerIDs()...)
	out["surround of a surround"], _ = around(j, job.Surround{WidthMM: 8}, first)
	out["sharp tips"], _ = around(starred, job.Surround{WidthMM: 8, Sharp: true}, tip)
	// Clipped so that the bounds of the curves say nothing of what is covered.
	half := geometry.Path{geometry.Polygon(geometry.Pt(-60, -60), geometry.Pt(0, -60), geometry.Pt(-60, 60))}
	clipped := job.Outlines{Shapes: []job.Shape{{
		Path:  geometry.Path{geometry.Ellipse(geometry.Pt(-40, 0), 50, 50)},
		Clips: []*job.Clip{{Shapes: []job.Shape{{Path: half}}}},
	}}}
	if j, err = job.SetContent(starred, tip, clipped); err != nil {
		t.Fatal(err)
	}
	out["a clip"], _ = around(j, job.Surround{WidthMM: 8}, tip)
	return out
}

// What is asked for is what is cut: of art with surrounds, too, around one
// picture or several.
func TestSize_IsThatOfThePlan(t *testing.T) {
	ctx := context.Background()
	for name, j := range sizes(t) {
		for _, size := range [][2]float64{{440, 0}, {60, 0}, {0, 200}} {
			sized, err := Size(ctx, j, size[0], size[1])
			if err != nil {
				t.Fatal(name, err)
			}
			p, err := fit.Compute(ctx, sized)
			if err != nil {
				t.Fatal(name, err)
			}
			got := [2]float64{p.Extent.Width(), p.Extent.Height()}
			i := 0
			if size[0] == 0 {
				i = 1
			}
			// Half a hundredth: chords of a surround's round corners.
			if math.Abs(got[i]-size[i]) > 0.005 {
				t.Errorf("%s: %.4f × %.4f mm, asked for %v", name, got[0], got[1], size)
			}
		}
	}
}

func TestFillBlank_FillsTheSafeAreaUnderTheArt(t *testing.T) {
	ctx := context.Background()
	for name, j := range sizes(t) {
		for _, b := range []job.Blank{{Name: "tile", WidthMM: 150, HeightMM: 90, SafeMM: 3}, {Name: "coaster", WidthMM: 90, HeightMM: 90, Round: true, SafeMM: 3}} {
			before, err := fit.Compute(ctx, j)
			if err != nil {
				t.Fatal(err)
			}
			filled, err := FillBlank(ctx, j, b)
			if err != nil {
				t.Fatal(name, err)
			}
			p, err := fit.Compute(ctx, filled)
			if err != nil {
				t.Fatal(err)
			}
			got := *filled.Settings.BlankShape
			if d := got.At.Sub(before.Extent.Centre()).Len() + got.At.Sub(p.Extent.Centre()).Len(); d > 0.01 {
				t.Errorf("%s on a %s: in the middle of %v, the art was at %v and is at %v", name, b.Name, got.At, before.Extent, p.Extent)
			}
			if !got.Holds(p.Extent.Path(), b.SafeMM-0.01) || got.Holds(p.Extent.Grow(0.05).Path(), b.SafeMM) {
				t.Errorf("%s on a %s: %v is not the most that fits", name, b.Name, p.Extent)
			}
		}
	}
}

func TestSize_LeavesAJobAloneThatCannotBeSized(t *testing.T) {
	ctx := context.Background()
	j := sizes(t)["surround around both"]
	for _, w := range []float64{19, -1, math.NaN(), math.Inf(1)} {
		if got, err := Size(ctx, j, w, 0); err == nil || got.Items[0].Placement != j.Items[0].Placement {
			t.Errorf("%g mm: %v", w, err)
		}
	}
	if got, err := Size(ctx, job.Job{}, 10, 0); err != nil || got.Items != nil {
		t.Error("nothing to size is no error:", err)
	}
}

// What is left bare or left out has no size, and none is asked for: so the cut
// says that there is nothing, and not that the size is wrong.
func TestSize_LeavesArtWithoutExtentAlone(t *testing.T) {
	j := demoJob(t, "pair")
	for _, id := range j.LayerIDs() {
		var err error
		if j, err = job.SetUse(j, []job.LayerID{id}, job.LeftOut); err != nil {
			t.Fatal(err)
		}
	}
	got, err := Size(t.Context(), j, 90, 0)
	if err != nil || !reflect.DeepEqual(got, j) {
		t.Errorf("%v: %+v", err, got)
	}
	if _, err := Size(t.Context(), j, 0, -1); err == nil {
		t.Error("a height below 0 is taken")
	}
}
