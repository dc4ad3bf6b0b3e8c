package fit

import (
	"context"
	"slices"

	"abut/internal/fit/own"
	"abut/internal/job"
)

// Outlined returns the job with every surround as the outlines that the plan
// has for it, for looking at and for measuring. A nil plan has none.
func (p *Plan) Outlined(j job.Job) job.Job {
	if p == nil || len(p.Surrounds) == 0 {
		return j
	}
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		it := &j.Items[i]
		var layers []job.Layer
		for k := range it.Layers {
			shapes, ok := p.Surrounds[it.Layers[k].ID]
			if _, is := it.Layers[k].Content.(job.Surround); !is || !ok {
				continue
			}
			back, ok := it.Placement.Invert()
			if !ok {
				continue
			}
			if layers == nil {
				layers = slices.Clone(it.Layers)
			}
			layers[k].Content, layers[k].Transform = job.Outlines{Shapes: shapes}, back
		}
		if layers != nil {
			it.Layers = layers
		}
	}
	return j
}

// SurroundShapes returns a surround's outlines in its item's units, nil for a
// layer that is none. Errors as Compute.
func SurroundShapes(ctx context.Context, j job.Job, id job.LayerID) ([]job.Shape, error) {
	l, it, ok := j.Layer(id)
	if _, is := l.Content.(job.Surround); !ok || !is {
		return nil, nil
	}
	j, err := job.SetUse(j, []job.LayerID{id}, job.Cut) // left out, it would not be placed
	if err != nil {
		return nil, err
	}
	placed, _, err := new(own.Surrounds).Place(ctx, j)
	if err != nil {
		return nil, err
	}
	back, ok := it.Placement.Invert()
	for _, p := range placed {
		if p.Layer.ID != id || !ok {
			continue
		}
		return append([]job.Shape{}, job.TransformShapes(p.Shapes, back)...), nil
	}
	return []job.Shape{}, nil
}
