package mend

import (
	"context"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// window returns a part of the map by itself: what lies within a rectangle, all
// outlines cut off at its sides. Things are tried there, which costs a
// hundredth of trying them on the whole picture.
func (m *mending) window(ctx context.Context, r geometry.Rect) (*mending, error) {
	w := &mending{placed: make([]own.Placed, len(m.placed)), page: m.page}
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
	o, err := own.Lay(ctx, w.placed)
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

// crop returns polygons that wind around each place within a rectangle as the
// path does (Sutherland and Hodgman, Reentrant Polygon Clipping, 1974). Sides
// along those of the rectangle may lie on each other.
func crop(path geometry.Path, r geometry.Rect) geometry.Path {
	b := path.Bounds()
	if b.Intersect(r).Empty() {
		return nil
	}
	path = path.Flatten(spotSagittaMM)
	if r.Encloses(b) {
		return path
	}
	var out geometry.Path
	var from, to []geometry.Point
	for _, c := range path {
		from = append(from[:0], c.Start)
		for _, s := range c.Segments {
			from = append(from, s.End)
		}
		for side := range 4 {
			to = to[:0]
			for i, q := range from {
				p := from[(i+len(from)-1)%len(from)]
				dp, dq := depth(p, r, side), depth(q, r, side)
				if dp < 0 != (dq < 0) {
					to = append(to, p.Lerp(q, dp/(dp-dq)))
				}
				if dq >= 0 {
					to = append(to, q)
				}
			}
			from, to = to, from
		}
		if len(from) > 2 {
			out = append(out, geometry.Polygon(from...))
		}
	}
	return out
}

// depth is how far p lies inside one side of a rectangle.
func depth(p geometry.Point, r geometry.Rect, side int) float64 {
	switch side {
	case 0:
		return p.X - r.Min.X
	case 1:
		return r.Max.X - p.X
	case 2:
		return p.Y - r.Min.Y
	}
	return r.Max.Y - p.Y
}
