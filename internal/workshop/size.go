package workshop

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/job"
)

// Size scales the job's pictures together so that their art (what its layers
// cover, not its pages) becomes widthMM wide or heightMM high; the other is 0.
// Surrounds keep their widths. The art's top left corner lands on the cut files'
// grid, so that a length that the grid can hold comes out exactly. Art that is all
// left out stays as it is.
func Size(ctx context.Context, j job.Job, widthMM, heightMM float64) (job.Job, error) {
	out, extent, err := scale(ctx, j, func(j job.Job, extent geometry.Rect) (job.Job, error) {
		if extent.Empty() && widthMM+heightMM > 0 {
			return j, nil
		}
		return job.Resize(j, extent, widthMM, heightMM)
	})
	if err != nil || extent.Empty() {
		return out, err
	}
	snap := func(mm float64) float64 { return math.Round(mm*cutfile.StepsPerMM) / cutfile.StepsPerMM }
	c := extent.Min
	return job.Shift(out, geometry.Pt(snap(c.X), snap(c.Y)).Sub(c)), nil
}

// FillBlank chooses the thing that is decorated, puts it under the middle of the
// art, and makes the art as large as its safe area lets it. Art that is all left
// out stays as it is.
func FillBlank(ctx context.Context, j job.Job, b job.Blank) (job.Job, error) {
	out, err := OnBlank(ctx, j, b)
	if err != nil {
		return j, err
	}
	out, err = FitBlank(ctx, out)
	if err != nil {
		return j, err
	}
	return out, nil
}

// FitBlank makes the art as large as the safe area of the job's blank lets it, in
// its middle. Art that is all left out stays as it is.
func FitBlank(ctx context.Context, j job.Job) (job.Job, error) {
	out, _, err := scale(ctx, j, func(j job.Job, extent geometry.Rect) (job.Job, error) {
		if extent.Empty() {
			return j, nil
		}
		return job.FillBlank(j, extent)
	})
	return out, err
}

// remeasured is how often art with surrounds is measured and scaled. The first
// time is right but for what follows neither the art nor the surrounds' widths,
// such as the tips of sharp corners; each further time leaves a small share of
// what was wrong before.
const remeasured = 3

// scale scales a job by the exact extent of its art on the board, and returns it
// with the extent that the art has then.
func scale(ctx context.Context, j job.Job, by func(job.Job, geometry.Rect) (job.Job, error)) (job.Job, geometry.Rect, error) {
	if len(j.Items) == 0 {
		return j, geometry.EmptyRect(), nil
	}
	surrounded := slices.ContainsFunc(j.Items, func(it job.Item) bool { return slices.ContainsFunc(it.Layers, isSurround) })
	out := j
	extent, err := fit.Extent(ctx, j)
	for n := 0; err == nil && (n == 0 || surrounded && n < remeasured); n++ {
		out, err = by(out, out.Items[0].Placement.MapRect(extent))
		if err == nil && surrounded {
			extent, err = fit.Extent(ctx, out)
		}
	}
	if err != nil {
		return j, geometry.EmptyRect(), err
	}
	return out, out.Items[0].Placement.MapRect(extent), nil
}

func isSurround(l job.Layer) bool {
	_, is := l.Content.(job.Surround)
	return is
}
