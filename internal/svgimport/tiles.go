package svgimport

import (
	"math"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/layering"
)

const (
	// maxTiles bounds the tiles of one area, since all their shapes are looked at and mended: on a mug that is
	// wrapped, 200 × 90 mm, they are 5.5 mm large then. A pattern of more is its mean colour, and that is told.
	maxTiles = 600
	// maxTiled bounds the shapes in all the tiles of one area, maxAllTiled those of a picture.
	maxTiled, maxAllTiled = 3000, 20_000
)

// tiling is how the tiles of a pattern lie.
type tiling struct {
	// holder is the pattern that has the children.
	holder *node
	// tile is the one that the content is drawn in, in the pattern's own space; all others
	// are this one moved by its width and height.
	tile geometry.Rect
	// content maps the children to the pattern's space, and that by turned to user space.
	content, turned geometry.Affine
}

// tilingOf reads a pattern, as it is for element n; or says why it paints nothing.
func (im *importer) tilingOf(s *node, a area, sc *scope) (t tiling, why string) {
	t.holder = im.filled(s)
	switch {
	case t.holder == nil:
		return t, WarnNoPaint
	case im.using[s]:
		return t, WarnRecursive
	}
	units, _ := im.inChain(s, "patternUnits")
	content, _ := im.inChain(s, "patternContentUnits")
	box := geometry.Affine{A: a.box.Width(), D: a.box.Height(), E: a.box.Min.X, F: a.box.Min.Y}
	im.checkLengths(s)
	_, hasBox := im.viewBoxInChain(s)
	if flatBox(a.box) && (units != "userSpaceOnUse" || content == "objectBoundingBox" && !hasBox) {
		return t, WarnNoRoom
	}
	t.tile = im.tile(s, sc.view)
	if units != "userSpaceOnUse" {
		t.tile = box.MapRect(im.tile(s, viewport{1, 1}))
	}
	if flatBox(t.tile) || !t.tile.Min.Finite() || !t.tile.Max.Finite() {
		return t, WarnNoPaint
	}
	t.content = im.contentSpace(s, t.tile, box)
	t.turned = geometry.Identity()
	if v, ok := im.inChain(s, "patternTransform"); ok {
		if m, ok := parseTransform(v); ok && m.Finite() && m.Det() != 0 {
			t.turned = m
		}
	}
	return t, ""
}

// tiled paints an area with the shapes that a pattern draws, tile by tile. It is false,
// with nothing painted, where the pattern is better one colour, or paints nothing.
func (im *importer) tiled(p paint, opacity float64, n *node, a area, in scope) (bool, error) {
	s := im.patternOf(p)
	if s == nil || im.onlyMean {
		return false, nil
	}
	t, why := im.tilingOf(s, a, &in)
	if why != "" {
		return false, nil
	}
	places := t.places(a, in.ctm, im.canvas)
	if len(places) == 0 || len(places) > maxTiles {
		return false, nil
	}
	drawn, err := im.oneTile(s, t, in)
	if err != nil || len(drawn) == 0 || len(drawn)*len(places) > min(maxTiled, maxAllTiled-im.laid) {
		return false, err
	}
	from := len(im.out)
	im.lay(drawn, t, places, n, a, in)
	im.fade(from, opacity, n)
	return true, im.checkSegments(0)
}

// patternOf is the pattern that a paint refers to; nil for every other paint.
func (im *importer) patternOf(p paint) *node {
	if p.kind != paintReference || len(p.target) < 2 || p.target[0] != '#' {
		return nil
	}
	if s := im.doc.byID[p.target[1:]]; s != nil && s.name == "pattern" {
		return s
	}
	return nil
}

// places are the moves, in the pattern's space, to the tiles that an area reaches into as far
// as it is on the canvas; one more than maxTiles at most.
func (t tiling) places(a area, ctm geometry.Affine, canvas geometry.Rect) []geometry.Point {
	toRoot := ctm.Mul(t.turned)
	back, ok := toRoot.Invert()
	if !ok {
		return nil
	}
	seen := a.path.Transform(back.Mul(ctm)).Bounds()
	if !canvas.Empty() {
		seen = seen.Intersect(back.MapRect(canvas))
	}
	w, h := t.tile.Width(), t.tile.Height()
	// What only touches the next tile, but for rounding, does not reach into it.
	const hair = 1e-6
	first := func(at, from, size float64) float64 { return math.Floor((at-from)/size + hair) }
	last := func(at, from, size float64) float64 { return math.Ceil((at-from)/size-hair) - 1 }
	x0, y0 := first(seen.Min.X, t.tile.Min.X, w), first(seen.Min.Y, t.tile.Min.Y, h)
	x1, y1 := max(x0, last(seen.Max.X, t.tile.Min.X, w)), max(y0, last(seen.Max.Y, t.tile.Min.Y, h))
	var out []geometry.Point
	for y := y0; y <= y1 && len(out) <= maxTiles; y++ {
		for x := x0; x <= x1 && len(out) <= maxTiles; x++ {
			out = append(out, geometry.Pt(x*w, y*h))
		}
	}
	return out
}

// tileKey says which tiles are drawn alike.
type tileKey struct {
	of      *node
	tile    geometry.Rect
	content geometry.Affine
	view    viewport
	scale   float64
}

// oneTile draws what is in a pattern, in its own space; nothing where that is one even
// colour all over the tile. Shapes that are filled alike have it drawn once.
func (im *importer) oneTile(s *node, t tiling, in scope) ([]layering.Area, error) {
	key := tileKey{s, t.tile, t.content, in.view, in.ctm.Mul(t.turned).MaxScale()}
	if drawn, known := im.tiles[key]; known {
		return drawn, nil
	}
	side, err := im.drawTile(s, t, in, func(side *importer) {
		side.quiet = im.quiet
		side.tolerance = im.tolerance / key.scale
	})
	if err != nil {
		return nil, err
	}
	if m := side.average(t.tile); m.even() && m.colour().a > 0 {
		side.out = nil
	}
	im.tiles[key] = side.out
	return side.out, nil
}

// lay paints copies of what is in a tile: all of one shape, then all of the next, which
// looks the same since no tile reaches into another.
func (im *importer) lay(drawn []layering.Area, t tiling, places []geometry.Point, n *node, a area, in scope) {
	toRoot := in.ctm.Mul(t.turned)
	edge := im.rimOf(a, n, in)
	groups := map[groupAt]job.GroupID{}
	for _, d := range drawn {
		if grounds(d, t.tile) {
			whole := d
			whole.Shape = edge.shape
			im.place(whole, n, in, nil)
			continue
		}
		for i, at := range places {
			m := toRoot.Mul(geometry.Translate(at.X, at.Y))
			piece := d
			piece.Shape = job.TransformShapes([]job.Shape{d.Shape}, m)[0]
			if d.Opacity != 0 {
				k := groupAt{d.Opacity, i}
				if groups[k] == 0 {
					im.groups++
					groups[k] = im.groups
				}
				piece.Opacity = groups[k]
			}
			var clips []*job.Clip
			if !t.tile.Encloses(d.Bounds) {
				clips = append(clips, im.rectClip(t.tile, m, t.holder))
			}
			switch within, beyond := edge.around(piece.Shape.Path.Bounds()); {
			case beyond:
				continue
			case !within:
				clips = append(clips, edge.clip)
			}
			im.laid++
			im.place(piece, n, in, clips)
		}
	}
}

// groupAt is an opacity group of a tile at one of its places.
type groupAt struct {
	group job.GroupID
	place int
}

// grounds reports whether an area is the ground of its tile, one colour all over.
func grounds(d layering.Area, tile geometry.Rect) bool {
	const hair = 1e-9 // of what the tile's own numbers are rounded by
	return d.Opacity == 0 && d.Shape.Gradient == nil && len(d.Shape.Clips) == 0 && isRect(d.Shape.Path) &&
		d.Bounds.Grow(hair*max(tile.Width(), tile.Height())).Encloses(tile)
}

// place adds an area in root units that is cut off by what an element is drawn in, and by
// more clips.
func (im *importer) place(d layering.Area, n *node, in scope, more []*job.Clip) {
	d.Bounds, d.Text = d.Shape.Path.Bounds(), nil // copies are outlines
	clips, seen := im.needed(append(append([]*job.Clip{}, in.clips...), more...), d.Bounds)
	if !seen {
		return
	}
	d.Shape.Clips = append(clips, d.Shape.Clips...)
	d.Shape.Element, d.Shape.Line = n.describe(), n.line
	if in.label != "" {
		d.Label = in.label
	}
	d.Group = in.place
	for i := range d.Shape.Path {
		im.segments += len(d.Shape.Path[i].Segments)
	}
	im.out = append(im.out, d)
}

// rim is the outline of an area that is filled with tiles, in root units.
type rim struct {
	shape job.Shape
	clip  *job.Clip
	flat  geometry.Path
}

func (im *importer) rimOf(a area, n *node, in scope) rim {
	e := rim{shape: job.Shape{Path: im.trimmed(a.path.Transform(in.ctm)), Rule: a.rule, Element: n.describe(), Line: n.line}}
	e.clip = &job.Clip{Shapes: []job.Shape{e.shape}}
	b := e.shape.Path.Bounds()
	im.clipped[e.clip] = clipBounds{bounds: b, solid: isRect(e.shape.Path)}
	e.flat = e.shape.Path.Flatten(max(b.Width(), b.Height()) / 1e4)
	return e
}

// around reports whether a rectangle lies wholly within the outline, or wholly beyond it;
// neither where the outline runs through it, or may.
func (e *rim) around(r geometry.Rect) (within, beyond bool) {
	near := r.Grow(1e-3 * max(r.Width(), r.Height()))
	for _, c := range e.flat {
		for p, q := range c.Sides() {
			if !geometry.EmptyRect().Include(p).Include(q).Intersect(near).Empty() {
				return false, false
			}
		}
	}
	at, w := r.Centre(), 0
	for _, hit := range e.flat.ScanLine(at.Y) {
		if hit.X <= at.X {
			w += hit.Winding
		}
	}
	inside := e.shape.Rule.Encloses(w)
	return inside, !inside
}
