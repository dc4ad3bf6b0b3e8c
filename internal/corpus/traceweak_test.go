package corpus

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/workshop"
)

// What is traced has hardly more weak spots than the drawing itself, 60 mm wide, all
// knocked out: a stair or a sliver that tracing made would be one. The drawing is
// painted on nothing, so that its white is white and what is bare stays bare.
func TestTrace_MakesNoWeakSpots(t *testing.T) {
	names, s := openArt(t, 12, 100, emoji)
	r := oracle.StartRenderer(t)
	ctx := context.Background()
	drawn, traced := 0, 0
	for _, name := range names {
		j, err := emojiJob(ctx, name)
		if err != nil {
			t.Fatal(err)
		}
		art, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		img, err := r.Render(art, 512, false)
		if err != nil {
			t.Fatal(err)
		}
		var file bytes.Buffer
		if err := png.Encode(&file, img); err != nil {
			t.Fatal(err)
		}
		k, err := workshop.OpenPicture(ctx, filepath.Base(name), &file, job.Tracing{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if k, err = workshop.Size(ctx, k, 60, 0); err != nil {
			t.Fatal(err)
		}
		if k, err = job.KnockOutAll(k); err != nil {
			t.Fatal(err)
		}
		was, is := weakSpots(t, j), weakSpots(t, k)
		drawn, traced = drawn+len(was), traced+len(is)
		if len(is) > len(was)+2 {
			t.Logf("%s: %d weak spots, drawn with %d", filepath.Base(name), len(is), len(was))
		}
	}
	ratio := float64(traced) / float64(max(drawn, 1))
	t.Logf("figures: %d weak spots in %d pictures traced, %d as drawn: %.2f times as many", traced, len(names), drawn, ratio)
	if ratio > 1.2 {
		t.Errorf("seed %d: %.2f times as many weak spots as drawn", s, ratio)
	}
}

func weakSpots(t *testing.T, j job.Job) []fit.WeakSpot {
	t.Helper()
	p, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := new(fit.Cache).Weak(context.Background(), p, j)
	if err != nil {
		t.Fatal(err)
	}
	return spots
}
