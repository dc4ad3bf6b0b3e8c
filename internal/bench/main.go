// Command bench does one pass of Abut's work on one picture and prints how long
// that took, for ./run bench, which pairs two revisions.
//
//	bench PASS FILE
//
// The picture is 90 mm wide and knocked out, which is not part of the time. A pass
// is done over again until a tenth of a second has gone by, and the median of its
// times in nanoseconds is printed.
package main

import (
	"context"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"abut/geometry/planar"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/workshop"
	"abut/ui/paint"
)

const (
	widthMM     = 90
	clearanceMM = 0.2
	colours     = 6
	// enough is how long a pass is done over again, at most most times.
	enough = time.Second / 10
	most   = 100
	// pixelsPerMM shows the picture as large as a window of 1440 × 900 has room for.
	pixelsPerMM = 8
)

// passes are what can be timed: each prepares, and returns what is timed.
var passes = map[string]func(ctx context.Context, path string, j job.Job) (func() error, error){
	"open": func(ctx context.Context, path string, _ job.Job) (func() error, error) {
		return func() error { _, err := workshop.Open(ctx, path); return err }, nil
	},
	// What is on screen first: red is counted pixel by pixel, before the map is made.
	"picture": func(ctx context.Context, path string, _ job.Job) (func() error, error) {
		return func() error {
			j, err := workshop.Open(ctx, path)
			if err == nil {
				j, err = workshop.Size(ctx, j, widthMM, 0)
			}
			if err != nil {
				return err
			}
			box := job.BoundsOf(j, j.LayerIDs())
			view := image.Rect(int(pixelsPerMM*box.Min.X), int(pixelsPerMM*box.Min.Y), int(pixelsPerMM*box.Max.X)+1, int(pixelsPerMM*box.Max.Y)+1)
			scene, img := new(paint.Builder).Scene(j, pixelsPerMM, view), image.NewRGBA(view)
			scene.Compose(img)
			var red paint.Counter
			red.Count(scene, view)
			red.Paint(img, 1, image.Point{})
			return nil
		}, nil
	},
	"map": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		layers := layersOf(j)
		return func() error { _, err := planar.Build(ctx, layers, planar.Options{}); return err }, nil
	},
	"fit": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		return func() error { _, err := fit.Compute(ctx, j); return err }, nil
	},
	"weak": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		p, err := fit.Compute(ctx, j)
		return func() error { _, err := new(fit.Cache).Weak(ctx, p, j); return err }, err
	},
	"mend": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		return func() error { _, err := mend.All(ctx, j, nil); return err }, nil
	},
	"clearance": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		p, err := fit.Compute(ctx, j)
		s := j.Settings
		s.ClearanceMM = clearanceMM
		return func() error { _, err := fit.Cut(ctx, p, s); return err }, err
	},
	"colours": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		return func() error { _, _, err := workshop.MergeColours(ctx, j, colours, nil); return err }, nil
	},
	"write": func(ctx context.Context, _ string, j job.Job) (func() error, error) {
		p, err := fit.Compute(ctx, j)
		if err != nil {
			return nil, err
		}
		dir, err := os.MkdirTemp("", "bench")
		out := filepath.Join(dir, "out")
		return func() error {
			_, err := workshop.Write(ctx, new(fit.Cache), j, p, out, workshop.WriteOptions{Overwrite: true})
			if last := os.RemoveAll(out); err == nil {
				err = last
			}
			return err
		}, err
	},
}

// layersOf are the shapes of a job as they are drawn, without their clips.
func layersOf(j job.Job) []planar.Layer {
	var out []planar.Layer
	for _, it := range j.Items {
		for i := range it.Layers {
			l := &it.Layers[i]
			var figures []planar.Figure
			for _, s := range job.Shapes(l.Content) {
				figures = append(figures, planar.Figure{Path: s.Path.Transform(it.Placement.Mul(l.Transform)), Rule: s.Rule})
			}
			out = append(out, planar.Layer{Figures: figures})
		}
	}
	return out
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 2 || passes[args[0]] == nil {
		var names []string
		for name := range passes {
			names = append(names, name)
		}
		slices.Sort(names)
		return fmt.Errorf("want a pass (%s) and a file", strings.Join(names, ", "))
	}
	ctx := context.Background()
	j, err := workshop.Open(ctx, args[1])
	if err != nil {
		return err
	}
	if j, err = workshop.Size(ctx, j, widthMM, 0); err != nil {
		return err
	}
	if j, err = job.KnockOutAll(j); err != nil {
		return err
	}
	work, err := passes[args[0]](ctx, args[1], j)
	if err != nil {
		return err
	}
	var times []time.Duration
	for begun := time.Now(); len(times) == 0 || time.Since(begun) < enough && len(times) < most; {
		start := time.Now()
		if err := work(); err != nil {
			return err
		}
		times = append(times, time.Since(start))
	}
	slices.Sort(times)
	fmt.Println(times[len(times)/2].Nanoseconds())
	return nil
}
