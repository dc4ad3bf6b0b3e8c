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
	"abut/geometry/parallel"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/svgimport"
	"abut/internal/whole"
	"abut/internal/words"
)

// UnsizedMM is the longer side of art whose file states no physical size, until
// someone gives it one.
const UnsizedMM = 100

// Open reads the art in a file and returns a job with it as its one item: at
// the size that the file states or, when it states none (Item.PhysicalMM is
// zero), UnsizedMM on the longer side. The file is only read.
func Open(ctx context.Context, path string) (job.Job, error) {
	// A pipe that nobody writes to keeps those waiting that open it.
	f, err := parallel.Aside(ctx, func() (*os.File, error) { return os.Open(path) })
	switch {
	case err == nil:
	case errors.Is(err, fs.ErrNotExist):
		return job.Job{}, fail("file-missing", err, "path", path)
	case fit.IsCancelled(err):
		return job.Job{}, err
	default:
		return job.Job{}, fail("file-unreadable", err, "path", path, "detail", whole.Cause(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return job.Job{}, fail("file-is-folder", nil, "path", path)
	}
	return OpenSVG(ctx, filepath.Base(path), f)
}

// OpenSVG is Open for art that is not in a file; name says where it is from.
func OpenSVG(ctx context.Context, name string, r io.Reader) (job.Job, error) {
	art, err := svgimport.Import(ctx, r, svgimport.Options{ColourName: words.Colour})
	if err != nil {
		return job.Job{}, err
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
