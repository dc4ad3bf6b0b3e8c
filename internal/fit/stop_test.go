package fit

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/motif"
	"abut/internal/watched"
)

// inTurns is art of these paths, in five colours one after the other.
func inTurns(t testing.TB, paths []geometry.Path) job.Job {
	t.Helper()
	j := art(t, "red knock", "blue knock", "orange knock", "purple knock", "yellow knock")
	layers := j.Items[0].Layers
	for i, p := range paths {
		l := &layers[i%len(layers)]
		l.Content = job.Outlines{Shapes: append(job.Shapes(l.Content), job.Shape{Path: p})}
	}
	return j
}

func TestEverything_StopsWheneverItIsAsked(t *testing.T) {
	const (
		tries = 3
		// Each worker may look once more, and so may those that called them.
		moreLooks = 32
		// What may be made between two looks. The lists of a map are made in one
		// go: a hundred thousand segments have a few of a megabyte each.
		mostBytes = 24 << 20
	)
	mostLooks, rings := 3000, 60 // what looks more often is not waited for
	if testing.Short() {
		mostLooks, rings = 600, 25
	}
	shades := make([]colour.Shade, 400)
	candidates := make([]colour.RGB, len(shades))
	for i := range shades {
		candidates[i] = colour.RGB{R: uint8(i * 83), G: uint8(i * 57), B: uint8(i * 29)}
		shades[i] = colour.Shade{Colour: candidates[i], AreaMM2: float64(1 + i%7)}
	}
	check := func(name string, work func(context.Context) error) {
		t.Helper()
		w := watched.New(mostLooks)
		_ = work(w)
		all := w.Looks()
		if most := w.MostBytes(); most > mostBytes {
			t.Errorf("%s: %d MiB were made between two looks", name, most>>20)
		}
		for range tries {
			n := 1 + rand.IntN(min(all, mostLooks))
			w := watched.New(n)
			if err := work(w); !errors.Is(err, context.Canceled) || w.Looks() > n+moreLooks {
				t.Errorf("%s, stopped at look %d of %d: %v after %d more", name, n, all, err, w.Looks()-n)
			}
		}
	}
	check("merging", func(ctx context.Context) error {
		_, err := colour.Merge(ctx, colour.Merging{Shades: shades, Candidates: candidates, Most: 6})
		return err
	})
	for name, paths := range map[string][]geometry.Path{
		"sunburst": motif.Sunburst(300, 50, 1), "rings": motif.Rings(rings, 30), "lines": motif.Hatch(rings, 50, true), "letters": motif.Lettering(4, 4),
	} {
		j := inTurns(t, paths)
		p := mustPlan(t, j)
		check(name+": compute", func(ctx context.Context) error { _, err := Compute(ctx, j); return err })
		check(name+": curves", func(ctx context.Context) error { _, err := computeCurves(ctx, j); return err })
		check(name+": weak", func(ctx context.Context) error { _, err := new(Cache).Weak(ctx, p, j); return err })
		check(name+": mend", func(ctx context.Context) error { _, err := mend.All(ctx, j, nil); return err })
		s := j.Settings
		s.ClearanceMM = 0.2
		check(name+": cut", func(ctx context.Context) error { _, err := Cut(ctx, p, s); return err })
	}
}
