package fit

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// Extent returns the exact extent of the art that the job's layers cover, with
// its surrounds, in source units of the job's first item, whose placement takes
// it to the board; layers that are left out don't count. It is empty when they
// cover nothing.
//
// A side that a whole curve reaches is exact. One that a clip cuts out of a
// curve is within 1/40,000 of the art's longer side. Only shapes that stick out
// beyond what is known already are looked at, each by itself, so it costs much
// less than Compute on any usual art. Errors as Compute.
func Extent(ctx context.Context, j job.Job) (geometry.Rect, error) {
	placed, err := placedInSource(ctx, j)
	if err != nil || len(placed) == 0 {
		return geometry.EmptyRect(), err
	}
	type shape struct {
		placed own.Placed
		index  int
		curves geometry.Rect // within its clips: no smaller than what it covers
	}
	var shapes []shape
	var conv own.Figures
	all := geometry.EmptyRect()
	for i := range placed {
		content := placed[i].Shapes
		for k := range content {
			_, r := conv.Of(content[k:k+1], placed[i].Transform)
			shapes = append(shapes, shape{placed[i], k, r})
			all = all.Union(r)
		}
	}
	size := all.Longer()
	if all.Empty() || size == 0 {
		return geometry.EmptyRect(), nil
	}
	// Source units may be of any size; the map wants millimetres.
	const mapSizeMM = 400
	k := mapSizeMM / size
	toMap := geometry.Scale(k, k).Mul(geometry.Translate(-all.Min.X, -all.Min.Y))
	toSource, ok := toMap.Invert()
	if !ok || !toMap.Finite() {
		return geometry.EmptyRect(), own.Explain(&planar.RangeError{Layer: -1, At: all.Max}, nil)
	}
	slices.SortStableFunc(shapes, func(a, b shape) int { return cmp.Compare(b.curves.Area(), a.curves.Area()) })
	known := geometry.EmptyRect()
	for _, s := range shapes {
		if known.Encloses(s.curves) {
			continue
		}
		content := s.placed.Shapes
		figures, _ := conv.Of(content[s.index:s.index+1], toMap.Mul(s.placed.Transform))
		m, err := planar.Build(ctx, []planar.Layer{{Figures: figures}}, planar.Options{})
		if err != nil {
			return geometry.EmptyRect(), explainInSource(err, s.placed, toSource)
		}
		if r := m.Bounds(); !r.Empty() {
			known = known.Union(own.Sharpen(toSource.MapRect(r), s.curves, own.ReachMM/k))
		}
	}
	return known, nil
}

// placedInSource returns the job's layers with their transforms to source units of the
// first item, none where its placement cannot be undone.
func placedInSource(ctx context.Context, j job.Job) ([]own.Placed, error) {
	placed, _, err := new(own.Surrounds).Place(ctx, j)
	if err != nil || len(placed) == 0 {
		return nil, err
	}
	back, ok := j.Items[0].Placement.Invert()
	if !ok {
		return nil, nil
	}
	for i := range placed {
		p := &placed[i]
		if _, is := p.Layer.Content.(job.Surround); is || p.Item > 0 {
			p.Transform = back.Mul(p.Transform)
		} else {
			p.Transform = p.Layer.Transform
		}
	}
	return placed, nil
}

// explainInSource is own.Explain where no board exists yet: places are said in the
// file's own units.
func explainInSource(err error, p own.Placed, toSource geometry.Affine) error {
	err = own.Explain(err, []own.Placed{p})
	var e *Error
	if errors.As(err, &e) && e.At != nil {
		at := toSource.Apply(*e.At)
		e.ID, e.At = "art-too-complex-in-file", &at
		e.Values = map[string]any{"x": message.Number(at.X), "y": message.Number(at.Y)}
	}
	return err
}
