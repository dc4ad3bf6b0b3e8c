//go:build oracle

package oracle

import (
	"time"

	"github.com/twpayne/go-geos"

	"abut/geometry"
)

// Visible returns, of every layer (bottom first), the part that no later one
// covers, and the time that the engine took for it: making clean areas of the
// raw figures counts, handing them over does not. Curves are flattened within
// sagitta.
func (g *Geos) Visible(layers [][]Figure, sagitta float64) ([]Part, time.Duration, error) {
	flat := make([][]Figure, len(layers))
	for i, l := range layers {
		flat[i] = flattened(l, sagitta)
	}
	a, err := g.ask(request{Do: "visible", Layers: flat})
	return a.Visible, a.Took, err
}

func flattened(figures []Figure, sagitta float64) []Figure {
	out := make([]Figure, len(figures))
	for i, f := range figures {
		out[i] = Figure{Path: f.Path.Flatten(sagitta), Rule: f.Rule}
		for _, c := range f.Clips {
			out[i].Clips = append(out[i].Clips, flattened(c, sagitta))
		}
	}
	return out
}

// visible goes from the top down: what a layer adds to all above it.
func visible(ctx *geos.Context, layers [][]Figure) []Part {
	parts := make([]Part, len(layers))
	above := ctx.NewEmptyPolygon()
	for i := len(layers) - 1; i >= 0; i-- {
		l := coverage(ctx, layers[i])
		rest := l.Difference(above)
		parts[i] = Part{rest.Area(), rest.Length()}
		above = above.Union(l)
	}
	return parts
}

func coverage(ctx *geos.Context, figures []Figure) *geos.Geom {
	var all []*geos.Geom
	for _, f := range figures {
		g := clean(ctx, f.Path, f.Rule)
		for _, c := range f.Clips {
			g = g.Intersection(coverage(ctx, c))
		}
		all = append(all, g)
	}
	if len(all) == 1 {
		return all[0]
	}
	return ctx.NewCollection(geos.TypeIDGeometryCollection, all).UnaryUnion()
}

// clean returns the area that a path of straight lines encloses. A single
// valid ring is its own area; anything else is noded, and of the polygons
// between the lines those stay whose inside is wound as the rule asks.
func clean(ctx *geos.Context, p geometry.Path, rule geometry.FillRule) *geos.Geom {
	var lines []*geos.Geom
	var only [][]float64
	for _, c := range p {
		coords := closed(c)
		if len(coords) < 4 {
			continue
		}
		only = coords
		lines = append(lines, ctx.NewLineString(coords))
	}
	switch len(lines) {
	case 0:
		return ctx.NewEmptyPolygon()
	case 1:
		if g := ctx.NewPolygon([][][]float64{only}); g.IsValid() {
			return g
		}
	}
	noded := ctx.NewCollection(geos.TypeIDMultiLineString, lines).UnaryUnion()
	cells := ctx.Polygonize([]*geos.Geom{noded})
	var kept []*geos.Geom
	for i := range cells.NumGeometries() {
		cell := cells.Geometry(i)
		at := cell.PointOnSurface()
		if rule.Encloses(winding(p, geometry.Pt(at.X(), at.Y()))) {
			kept = append(kept, cell.Clone())
		}
	}
	return ctx.NewCollection(geos.TypeIDGeometryCollection, kept).UnaryUnion()
}

// closed returns the contour's corners, the first again at the end, without
// repetitions.
func closed(c geometry.Contour) [][]float64 {
	coords := [][]float64{{c.Start.X, c.Start.Y}}
	add := func(p geometry.Point) {
		if last := coords[len(coords)-1]; last[0] != p.X || last[1] != p.Y {
			coords = append(coords, []float64{p.X, p.Y})
		}
	}
	for _, s := range c.Segments {
		add(s.End)
	}
	add(c.Start)
	return coords
}

// winding returns how often a path of straight lines goes round a point.
func winding(p geometry.Path, at geometry.Point) int {
	n := 0
	for _, c := range p {
		for a, b := range c.Sides() {
			if (a.Y <= at.Y) != (b.Y <= at.Y) && (a.X+(at.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) > at.X) {
				if b.Y > a.Y {
					n++
				} else {
					n--
				}
			}
		}
	}
	return n
}
