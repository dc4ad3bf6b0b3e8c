package fit

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

var art, palette = sketch.Art, sketch.Palette

func mustPlan(t testing.TB, j job.Job) *Plan {
	t.Helper()
	p, err := Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// computeCurves is the plan with curves of a job that nothing is remembered of.
func computeCurves(ctx context.Context, j job.Job) (*Plan, error) {
	return new(Cache).ComputeCurves(ctx, j)
}

func knockAll(t testing.TB, j job.Job) job.Job { t.Helper(); return must(t)(job.KnockOutAll(j)) }

// scaled returns the job with its picture at a scale.
func scaled(j job.Job, k float64) job.Job {
	j.Items = slices.Clone(j.Items)
	j.Items[0].Placement = geometry.Scale(k, k)
	return j
}

// must returns a function that unwraps an edit.
func must(t testing.TB) func(job.Job, error) job.Job {
	return func(j job.Job, err error) job.Job {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
}

// separation finds a separation by its art colour's word.
func separation(t testing.TB, p *Plan, colour string) Separation {
	t.Helper()
	for _, s := range p.Separations {
		if s.Colour == palette[colour] {
			return s
		}
	}
	t.Fatalf("no %s separation among %v", colour, summary(p))
	return Separation{}
}

// summary is a plan in a line a separation: name, pieces, area.
func summary(p *Plan) []string {
	var out []string
	for _, s := range p.Separations {
		out = append(out, fmt.Sprintf("%s: %d pieces, %.4f mm²", s.Name, len(s.Pieces), s.AreaMM2))
	}
	return out
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

func warned(p *Plan, id string) bool {
	for _, w := range p.Warnings {
		if w.ID == id {
			return true
		}
	}
	return false
}
