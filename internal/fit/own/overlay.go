package own

import (
	"context"
	"math"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/planar"
)

// Overlay is the planar map of a job's layers, which does not depend on
// colours, flags or uses.
type Overlay struct {
	Map *planar.Map
	// Bounds of each layer's curves, within their clips: no smaller than what
	// the layer covers.
	Bounds []geometry.Rect
	// Extent of all that is covered; its corners lie on the grid.
	Extent geometry.Rect

	placed []Placed
	keys   []layerKey
	art    *art
}

// art is the layers on the board, for who lays more over them: nothing holds a copy of all
// paths before.
type art struct {
	once   sync.Once
	layers []planar.Layer
}

func (a *art) of(placed []Placed) []planar.Layer {
	a.once.Do(func() {
		var figures Figures
		a.layers = make([]planar.Layer, len(placed))
		for i, p := range placed {
			a.layers[i].Figures, _ = figures.Of(p.Shapes, p.Transform)
		}
	})
	return a.layers
}

// Lay lays the layers over each other. Errors: *Error, or the context's.
func Lay(ctx context.Context, placed []Placed) (*Overlay, error) {
	o, layers, err := begin(ctx, placed)
	if err != nil {
		return nil, err
	}
	if err := o.build(ctx, layers); err != nil {
		return nil, err
	}
	all := geometry.EmptyRect()
	for _, b := range o.Bounds {
		all = all.Union(b)
	}
	o.Extent = planar.OnGrid(Sharpen(o.Map.Bounds(), all, ReachMM))
	return o, nil
}

// Under returns the overlay of layers over which others come at once (see Over): it has no map yet,
// and no extent. Its only error is the context's.
func Under(ctx context.Context, placed []Placed) (*Overlay, error) {
	o, layers, err := begin(ctx, placed)
	if err == nil {
		o.art.once.Do(func() { o.art.layers = layers })
	}
	return o, err
}

// begin returns an overlay without a map, and the layers that it is of.
func begin(ctx context.Context, placed []Placed) (*Overlay, []planar.Layer, error) {
	o := &Overlay{
		placed: placed, keys: keysOf(placed),
		Bounds: make([]geometry.Rect, len(placed)), art: new(art),
	}
	var figures Figures
	layers := make([]planar.Layer, len(placed))
	for i, p := range placed {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		layers[i].Figures, o.Bounds[i] = figures.Of(p.Shapes, p.Transform)
	}
	return o, layers, nil
}

// Over returns the overlay with more layers on top of the art. Its extent stays
// that of the art.
func (o *Overlay) Over(ctx context.Context, layers []planar.Layer) (*Overlay, error) {
	out := *o
	return &out, out.build(ctx, slices.Concat(o.art.of(o.placed), layers))
}

func (o *Overlay) build(ctx context.Context, layers []planar.Layer) (err error) {
	o.Map, err = planar.Build(ctx, layers, planar.Options{})
	return Explain(err, o.placed)
}

// IsOf reports whether the overlay is that of these layers. A nil one is of none.
func (o *Overlay) IsOf(placed []Placed) bool {
	return o != nil && slices.Equal(o.keys, keysOf(placed))
}

// ReachMM is how far the bounds of chords may lie inside those of their
// curves: the map's sagitta, and rounding at both ends.
const ReachMM = 0.01 + 2.0/planar.StepsPerMM

// Sharpen moves each side of r, the bounds of chords, to that of the curves
// themselves where they differ by no more than reach. A side that lies further
// in is right as it is: there a clip or a fill rule keeps the curve from
// covering.
func Sharpen(r, curves geometry.Rect, reach float64) geometry.Rect {
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
