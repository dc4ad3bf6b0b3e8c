package workshop

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"abut/assets"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
)

func demoJob(t *testing.T, id string) job.Job {
	t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			j, err := OpenSVG(context.Background(), d.Name, bytes.NewReader(d.SVG))
			if err != nil {
				t.Fatal(err)
			}
			j, err = job.KnockOutAll(j)
			if err != nil {
				t.Fatal(err)
			}
			return j
		}
	}
	t.Fatal("no demo ", id)
	return job.Job{}
}

// Two pictures side by side are cut as one job: every colour has one sheet with
// the pieces of both, at the size that each has alone.
func TestFit_TwoPicturesShareTheirSheets(t *testing.T) {
	ctx := context.Background()
	a, b := demoJob(t, "pair"), demoJob(t, "nested")
	both, _ := job.AddBeside(a, b)
	alone := map[colour.RGB]float64{}
	pieces := 0
	for _, j := range []job.Job{a, b} {
		p, err := fit.Compute(ctx, j)
		if err != nil {
			t.Fatal(err)
		}
		pieces += p.NumPieces()
		for _, s := range p.Separations {
			alone[s.Colour] += s.AreaMM2
		}
	}
	p, err := fit.Compute(ctx, both)
	if err != nil {
		t.Fatal(err)
	}
	if p.Stacked.AreaMM2 != 0 || len(p.Separations) != len(alone) || p.NumPieces() != pieces {
		t.Errorf("%d sheets and %d pieces, %g mm² stacked; of %d colours and %d pieces", len(p.Separations), p.NumPieces(), p.Stacked.AreaMM2, len(alone), pieces)
	}
	for _, s := range p.Separations {
		// Another place on the grid rounds to another step: 0.1 µm along the edge.
		if want := alone[s.Colour]; math.Abs(s.AreaMM2-want) > 1e-3*want {
			t.Errorf("%s: %.4f mm², alone %.4f", s.Name, s.AreaMM2, want)
		}
	}
	if p.Frame == nil {
		t.Error("two pictures that lie apart need something that holds them together")
	}
	dir := filepath.Join(t.TempDir(), "both")
	r, err := Write(ctx, new(fit.Cache), both, p, dir, WriteOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range r.Manifest.Separations {
		if _, err := os.Stat(filepath.Join(dir, s.File)); err != nil {
			t.Error(err)
		}
	}
	if math.Abs(r.Manifest.WidthMM-p.Extent.Width()) > 1e-6 {
		t.Errorf("the manifest says %g mm, the art is %g", r.Manifest.WidthMM, p.Extent.Width())
	}
}
