package mend

import (
	"context"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// window returns a part of the map by itself: what lies within a rectangle, all
// outlines cut off at its sides. Things are tried there, which costs a
// hundredth of trying them on the whole picture.
func (m *mending) window(ctx context.Context, r geometry.Rect) (*mending, error) {
	w := &mending{placed: make([]own.Placed, len(m.placed)), page: m.page, part: r, whole: m.whole, answers: new(weak.Memory), known: new(asDrawn)}
	c := cropper{r: r, clips: map[clipKey]*job.Clip{}}
	for i, p := range m.placed {
		w.units = append(w.units, p.Transform)
		w.placed[i] = own.Placed{Item: p.Item, Layer: p.Layer, Transform: geometry.Identity()}
		if !m.Bounds[i].Intersect(r).Empty() {
			w.placed[i].Shapes = c.shapes(p.Shapes, p.Transform)
		}
	}
	for _, l := range m.layers {
		w.layers = append(w.layers, l.within(r))
	}
	o, err := own.Under(ctx, w.placed)
	if err != nil {
		return nil, err
	}
	w.Places = &own.Places{Overlay: o, Rules: m.Rules}
	return w, w.lay(ctx)
}

// within returns the mend's part inside a rectangle.
func (l layer) within(r geometry.Rect) layer {
	l.path = crop(l.path, r)
	return l
}

// cropper cuts shapes off at the sides of a rectangle. A clip that shapes share
// stays shared.
type cropper struct {
	r     geometry.Rect
	clips map[clipKey]*job.Clip
}

type clipKey struct {
	clip      *job.Clip
	transform geometry.Affine
}

func (c *cropper) shapes(shapes []job.Shape, m geometry.Affine) []job.Shape {
	var out []job.Shape
	for i := range shapes {
		s := &shapes[i]
		path := crop(s.Path.Transform(m), c.r)
		if len(path) == 0 {
			continue
		}
		cropped := job.Shape{Path: path, Rule: s.Rule}
		for _, clip := range s.Clips {
			k := clipKey{clip, m}
			if c.clips[k] == nil {
				c.clips[k] = &job.Clip{Shapes: c.shapes(clip.Shapes, m)}
			}
			cropped.Clips = append(cropped.Clips, c.clips[k])
		}
		out = append(out, cropped)
	}
	return out
}
