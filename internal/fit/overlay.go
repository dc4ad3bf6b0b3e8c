package fit

import (
	"context"
	"errors"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
	"abut/internal/message"
)

// placedLayer is a layer that is on the map, with where it lies on the board.
type placedLayer struct {
	item  int // index into Job.Items
	layer *job.Layer
	// shapes are what it draws, in units that transform takes to the board.
	shapes    []job.Shape
	transform geometry.Affine
}

// place lists the job's layers that are not left out, bottom first, and the
// names of those that are. Surrounds draw nothing yet: see bands.
func place(j job.Job) (placed []placedLayer, leftOut []string) {
	for i := range j.Items {
		it := &j.Items[i]
		for k := range it.Layers {
			l := &it.Layers[k]
			if l.Use == job.LeftOut {
				leftOut = append(leftOut, l.Name)
				continue
			}
			placed = append(placed, placedLayer{i, l, job.Shapes(l.Content), it.Placement.Mul(l.Transform)})
		}
	}
	return placed, leftOut
}

// layerKey says what a layer contributes to the map: two with equal keys
// contribute the same. Content is never changed once it is in a job, so its
// identity stands for it; holding the pointer keeps it from being reused.
type layerKey struct {
	shapes    *job.Shape
	count     int
	transform geometry.Affine
}

func keyOf(p placedLayer) layerKey {
	k := layerKey{transform: p.transform}
	if len(p.shapes) > 0 {
		k.shapes, k.count = &p.shapes[0], len(p.shapes)
	}
	return k
}

// overlay is the planar map of a job's layers, which does not depend on
// colours, flags or uses.
type overlay struct {
	keys []layerKey
	m    *planar.Map
	// bounds of each layer's curves, within their clips: no smaller than what
	// the layer covers.
	bounds []geometry.Rect
	// extent of all that is covered.
	extent geometry.Rect
}

// lay builds the map of the placed layers.
func lay(ctx context.Context, placed []placedLayer, keys []layerKey) (*overlay, error) {
	o := &overlay{keys: keys, bounds: make([]geometry.Rect, len(placed))}
	layers := make([]planar.Layer, len(placed))
	conv := converter{clips: map[clipKey]boundedClip{}}
	all := geometry.EmptyRect()
	for i, p := range placed {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		layers[i].Figures, o.bounds[i] = conv.figures(p.shapes, p.transform)
		all = all.Union(o.bounds[i])
	}
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return nil, explain(err, placed)
	}
	o.m = m
	o.extent = onGrid(sharpen(m.Bounds(), all, reachMM))
	return o, nil
}

// reachMM is how far the bounds of chords may lie inside those of their
// curves: the map's sagitta, and rounding at both ends.
const reachMM = 0.01 + 2.0/planar.StepsPerMM

// sharpen moves each side of r, the bounds of chords, to that of the curves
// themselves where they differ by no more than reach. A side that lies further
// in is right as it is: there a clip or a fill rule keeps the curve from
// covering.
func sharpen(r, curves geometry.Rect, reach float64) geometry.Rect {
	side := func(chord, curve float64) float64 {
		if math.Abs(chord-curve) <= reach {
			return curve
		}
		return chord
	}
	if r.Empty() {
		return r
	}
	return geometry.Rect{
		Min: geometry.Pt(side(r.Min.X, curves.Min.X), side(r.Min.Y, curves.Min.Y)),
		Max: geometry.Pt(side(r.Max.X, curves.Max.X), side(r.Max.Y, curves.Max.Y)),
	}
}

// onGrid rounds r's corners to the grid, so that coordinates measured from
// them stay exact with four decimals.
func onGrid(r geometry.Rect) geometry.Rect {
	if r.Empty() {
		return geometry.EmptyRect()
	}
	round := func(v float64) float64 { return math.Round(v*planar.StepsPerMM) / planar.StepsPerMM }
	return geometry.Rect{
		Min: geometry.Pt(round(r.Min.X), round(r.Min.Y)),
		Max: geometry.Pt(round(r.Max.X), round(r.Max.Y)),
	}
}

// converter turns shapes into figures on the board. A clip that shapes share
// stays shared.
type converter struct{ clips map[clipKey]boundedClip }

type clipKey struct {
	clip      *job.Clip
	transform geometry.Affine
}

type boundedClip struct {
	clip   *planar.Clip
	bounds geometry.Rect
}

func (c *converter) figures(shapes []job.Shape, m geometry.Affine) ([]planar.Figure, geometry.Rect) {
	figures := make([]planar.Figure, len(shapes))
	all := geometry.EmptyRect()
	for i := range shapes {
		s := &shapes[i]
		f := planar.Figure{Path: s.Path, Rule: s.Rule}
		if m != geometry.Identity() {
			f.Path = s.Path.Transform(m)
		}
		r := f.Path.Bounds()
		for _, clip := range s.Clips {
			b := c.clip(clip, m)
			f.Clips = append(f.Clips, b.clip)
			r = r.Intersect(b.bounds)
		}
		figures[i] = f
		if !r.Empty() {
			all = all.Union(r)
		}
	}
	return figures, all
}

func (c *converter) clip(clip *job.Clip, m geometry.Affine) boundedClip {
	k := clipKey{clip, m}
	b, ok := c.clips[k]
	if !ok {
		b.clip = &planar.Clip{}
		b.clip.Figures, b.bounds = c.figures(clip.Shapes, m)
		c.clips[k] = b
	}
	return b
}

// Error says why no plan could be made, in a message for people.
type Error struct {
	message.Message
	// Layer is the layer that the trouble lies in, 0 when it is not known.
	Layer job.LayerID
	// At is the place on the board, when there is one.
	At  *geometry.Point
	Err error
}

func (e *Error) Error() string { return e.ID + ": " + e.Err.Error() }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// explain turns the planar map's errors into messages; a cancelled context's
// error stays as it is.
func explain(err error, placed []placedLayer) error {
	var crowded *planar.ComplexityError
	var far *planar.RangeError
	switch {
	case errors.As(err, &crowded):
		at := crowded.At
		return &Error{Message: message.Message{ID: "art-too-complex", Values: map[string]any{"x": message.MM(at.X), "y": message.MM(at.Y)}}, At: &at, Err: err}
	case errors.As(err, &far):
		e := &Error{Message: message.Message{ID: "art-out-of-range", Args: map[string]string{"layer": ""}}, Err: err}
		if far.Layer >= 0 && far.Layer < len(placed) {
			l := placed[far.Layer].layer
			e.Layer, e.Args["layer"] = l.ID, l.Name
		}
		return e
	}
	return err
}
