package workshop

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/svgimport"
	"abut/internal/words"
)

// UnsizedMM is the longer side of art whose file states no physical size, until
// someone gives it one.
const UnsizedMM = 100

// Open reads the art in a file and returns a job with it as its one item: at
// the size that the file states or, when it states none (Item.PhysicalMM is
// zero), UnsizedMM on the longer side. The file is only read.
func Open(ctx context.Context, path string) (job.Job, error) {
	f, err := os.Open(path)
	if err == nil {
		defer f.Close()
		if info, e := f.Stat(); e == nil && info.IsDir() {
			return job.Job{}, fail("file-is-folder", nil, "path", path)
		}
		return OpenSVG(ctx, filepath.Base(path), f)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return job.Job{}, fail("file-missing", err, "path", path)
	}
	return job.Job{}, fail("file-unreadable", err, "path", path, "detail", cause(err))
}

// OpenSVG is Open for art that is not in a file; name says where it is from.
func OpenSVG(ctx context.Context, name string, r io.Reader) (job.Job, error) {
	art, err := svgimport.Import(ctx, r, svgimport.Options{ColourName: words.Colour})
	if err != nil {
		return job.Job{}, explain(err)
	}
	return job.Job{Items: []job.Item{{
		ID:         1,
		Name:       strings.TrimSuffix(name, filepath.Ext(name)),
		Source:     name,
		Canvas:     art.Canvas,
		PhysicalMM: art.PhysicalMM,
		Layers:     art.Layers,
		Placement:  placement(art.Canvas, art.PhysicalMM),
		Copies:     1,
		Warnings:   art.Warnings,
	}}}, nil
}

// placement puts the canvas's corner at the board's origin, at the physical
// size or UnsizedMM on the longer side. A physical size of other proportions
// than the canvas holds it whole, as SVG does by default.
func placement(canvas geometry.Rect, physical geometry.Point) geometry.Affine {
	w, h := canvas.Width(), canvas.Height()
	scale := math.Inf(1)
	if physical.X > 0 && w > 0 {
		scale = physical.X / w
	}
	if physical.Y > 0 && h > 0 {
		scale = math.Min(scale, physical.Y/h)
	}
	if longer := math.Max(w, h); math.IsInf(scale, 1) && longer > 0 {
		scale = UnsizedMM / longer
	}
	if math.IsInf(scale, 1) {
		scale = 1
	}
	return geometry.Scale(scale, scale).Mul(geometry.Translate(-canvas.Min.X, -canvas.Min.Y))
}

// Sized reports whether every item's file states how large the art is.
func Sized(j job.Job) bool {
	for _, it := range j.Items {
		if it.PhysicalMM.X <= 0 && it.PhysicalMM.Y <= 0 {
			return false
		}
	}
	return true
}

// Fit works out what is cut.
func Fit(ctx context.Context, j job.Job) (*fit.Plan, error) {
	p, err := fit.Compute(ctx, j)
	return p, explain(err)
}

// FitCached is Fit with a cache that makes the next fit of nearly the same job
// quick.
func FitCached(ctx context.Context, c *fit.Cache, j job.Job) (*fit.Plan, error) {
	p, err := c.Compute(ctx, j)
	return p, explain(err)
}

// cause is what the system says, without the operation and path around it.
func cause(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err.Error()
	}
	return err.Error()
}
