package fit

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
	"abut/internal/message"
)

// Extent returns the exact extent of the art that the item's layers cover, in
// source units; layers that are left out don't count. It is empty when they
// cover nothing. Surrounds are as wide as the item's placement makes them.
//
// A side that a whole curve reaches is exact. One that a clip cuts out of a
// curve is within 1/40,000 of the art's longer side. Only shapes that stick out
// beyond what is known already are looked at, each by itself, so it costs much
// less than Compute on any usual art. Errors as Compute.
func Extent(ctx context.Context, item job.Item) (geometry.Rect, error) {
	placed, _, err := new(bands).place(ctx, job.Job{Items: []job.Item{item}})
	if err != nil {
		return geometry.EmptyRect(), err
	}
	back, ok := item.Placement.Invert()
	if !ok {
		return geometry.EmptyRect(), nil
	}
	for i := range placed {
		placed[i].transform = placed[i].layer.Transform
		if _, is := placed[i].layer.Content.(job.Surround); is {
			placed[i].transform = back
		}
	}
	type shape struct {
		placed placedLayer
		index  int
		curves geometry.Rect // within its clips: no smaller than what it covers
	}
	var shapes []shape
	conv := converter{clips: map[clipKey]boundedClip{}}
	all := geometry.EmptyRect()
	for i := range placed {
		content := placed[i].shapes
		for k := range content {
			_, r := conv.figures(content[k:k+1], placed[i].transform)
			shapes = append(shapes, shape{placed[i], k, r})
			all = all.Union(r)
		}
	}
	size := math.Max(all.Width(), all.Height())
	if all.Empty() || size == 0 {
		return geometry.EmptyRect(), nil
	}
	// Source units may be of any size; the map wants millimetres.
	const mapSizeMM = 400
	k := mapSizeMM / size
	toMap := geometry.Scale(k, k).Mul(geometry.Translate(-all.Min.X, -all.Min.Y))
	toSource, ok := toMap.Invert()
	if !ok || !toMap.Finite() {
		return geometry.EmptyRect(), explain(&planar.RangeError{Layer: -1, At: all.Max}, nil)
	}
	slices.SortStableFunc(shapes, func(a, b shape) int { return cmp.Compare(rectArea(b.curves), rectArea(a.curves)) })
	known := geometry.EmptyRect()
	for _, s := range shapes {
		if known.Encloses(s.curves) {
			continue
		}
		content := s.placed.shapes
		figures, _ := conv.figures(content[s.index:s.index+1], toMap.Mul(s.placed.transform))
		m, err := planar.Build(ctx, []planar.Layer{{Figures: figures}}, planar.Options{})
		if err != nil {
			return geometry.EmptyRect(), explainInSource(err, s.placed, toSource)
		}
		if r := m.Bounds(); !r.Empty() {
			known = known.Union(sharpen(toSource.MapRect(r), s.curves, reachMM/k))
		}
	}
	return known, nil
}

// explainInSource is explain where no board exists yet: places are said in the
// file's own units.
func explainInSource(err error, p placedLayer, toSource geometry.Affine) error {
	err = explain(err, []placedLayer{p})
	var e *Error
	if errors.As(err, &e) && e.At != nil {
		at := toSource.Apply(*e.At)
		e.ID, e.At = "art-too-complex-in-file", &at
		e.Values = map[string]any{"x": message.Number(at.X), "y": message.Number(at.Y)}
	}
	return err
}
