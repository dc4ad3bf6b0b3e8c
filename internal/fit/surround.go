package fit

import (
	"context"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// mitreLimit is how far a surround's sharp corners may reach, in its widths.
const mitreLimit = 2

// bands remembers the outlines of surrounds as long as what they are around
// stays as it is. The zero value is ready; it may be used from several
// goroutines.
type bands struct {
	mu   sync.Mutex
	made map[job.LayerID]band
}

type band struct {
	of     []layerKey
	width  float64
	sharp  bool
	filled bool
	shapes []job.Shape
}

// surround gives the surrounds among the placed layers their outlines, on the
// board. Layers that are left out are not surrounded.
func (b *bands) surround(ctx context.Context, j job.Job, placed []placedLayer) error {
	at := map[job.LayerID]int{}
	some := false
	for i, p := range placed {
		at[p.layer.ID] = i
		_, is := p.layer.Content.(job.Surround)
		some = some || is
	}
	if !some {
		return nil
	}
	b.mu.Lock()
	old := b.made
	b.mu.Unlock()
	fresh := map[job.LayerID]band{}
	open := map[job.LayerID]bool{}
	var visit func(i int) error
	visit = func(i int) error {
		p := &placed[i]
		s, is := p.layer.Content.(job.Surround)
		if _, done := fresh[p.layer.ID]; !is || done || open[p.layer.ID] {
			return nil
		}
		open[p.layer.ID] = true
		defer delete(open, p.layer.ID)
		p.transform = geometry.Identity()
		made := band{width: s.WidthMM, sharp: s.Sharp, filled: s.Filled}
		var inner []placedLayer
		for _, id := range job.Inner(j, *p.layer) {
			k, ok := at[id]
			if !ok || open[id] {
				continue
			}
			if err := visit(k); err != nil {
				return err
			}
			inner = append(inner, placed[k])
			made.of = append(made.of, keyOf(placed[k]))
		}
		if o, ok := old[p.layer.ID]; ok && o.width == made.width && o.sharp == made.sharp && o.filled == made.filled && slices.Equal(o.of, made.of) {
			made.shapes = o.shapes
		} else {
			var err error
			if made.shapes, err = bandOf(ctx, inner, s); err != nil {
				return explain(err, []placedLayer{*p})
			}
		}
		p.shapes = made.shapes
		fresh[p.layer.ID] = made
		return nil
	}
	for i := range placed {
		if err := visit(i); err != nil {
			return err
		}
	}
	b.mu.Lock()
	b.made = fresh
	b.mu.Unlock()
	return nil
}

// bandOf returns all that lies within the surround's width of the layers: chords
// within a hundredth of a millimetre.
func bandOf(ctx context.Context, inner []placedLayer, s job.Surround) ([]job.Shape, error) {
	var all planar.Layer
	conv := converter{clips: map[clipKey]boundedClip{}}
	for _, p := range inner {
		figures, _ := conv.figures(p.shapes, p.transform)
		all.Figures = append(all.Figures, figures...)
	}
	if len(all.Figures) == 0 {
		return nil, nil
	}
	var join geometry.Join
	if s.Sharp {
		join.MitreLimit = mitreLimit
	}
	path, err := planar.Offset(ctx, all, s.WidthMM, join, planar.Options{})
	if err != nil || len(path) == 0 {
		return nil, err
	}
	rule := geometry.EvenOdd
	if s.Filled {
		// Outer contours run clockwise; one within a hole of another stays.
		path = slices.DeleteFunc(path, func(c geometry.Contour) bool { return geometry.Path{c}.SignedArea() <= 0 })
		rule = geometry.NonZero
	}
	return []job.Shape{{Path: path, Rule: rule, Element: "surround"}}, nil
}

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
	var b bands
	placed, _, err := b.place(ctx, j)
	if err != nil {
		return nil, err
	}
	back, ok := it.Placement.Invert()
	for _, p := range placed {
		if p.layer.ID != id || !ok {
			continue
		}
		out := []job.Shape{}
		for _, s := range p.shapes {
			s.Path, s.Centre = s.Path.Transform(back), s.Centre.Transform(back)
			out = append(out, s)
		}
		return out, nil
	}
	return []job.Shape{}, nil
}

// place is the function place with the surrounds' outlines.
func (b *bands) place(ctx context.Context, j job.Job) ([]placedLayer, []string, error) {
	placed, leftOut := place(j)
	return placed, leftOut, b.surround(ctx, j, placed)
}

func surroundsOf(placed []placedLayer) map[job.LayerID][]job.Shape {
	var out map[job.LayerID][]job.Shape
	for _, p := range placed {
		if _, is := p.layer.Content.(job.Surround); is {
			if out == nil {
				out = map[job.LayerID][]job.Shape{}
			}
			out[p.layer.ID] = p.shapes
		}
	}
	return out
}
