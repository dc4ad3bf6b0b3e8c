package svgimport

import (
	"abut/geometry"
	"abut/internal/job"
)

// maxTile bounds the shapes of a pattern's tile that are looked at for its
// average; what is beyond hardly shows.
const maxTile = 500

// A pattern is drawn tile by tile (tiles.go). Where its tiles are too many it is its mean colour.

// pattern is the mean colour of the pattern's tile, its opacity the share of
// the tile that is painted. Always with a warning, unless the tile is one even
// colour.
func (im *importer) pattern(s, n *node, a area, sc *scope) (f flat, why string) {
	t, why := im.tilingOf(s, a, sc)
	if why != "" {
		return f, why
	}
	side, err := im.drawTile(s, t, *sc, func(side *importer) { side.quiet, side.onlyMean = im.quiet, true })
	if err != nil {
		return flat{none: true, err: err}, ""
	}
	mean := side.average(t.tile)
	c := mean.colour()
	if c.a == 0 {
		return f, WarnNoPaint
	}
	if !mean.even() {
		im.warn(WarnPattern, n, "colour", c.colour().String())
	}
	return flat{colour: c}, ""
}

// contentSpace maps what is in a pattern to where its tile is: the tile stands still, the
// content moves into it. box is the element's bounds.
func (im *importer) contentSpace(s *node, tile geometry.Rect, box geometry.Affine) geometry.Affine {
	corner := geometry.Translate(tile.Min.X, tile.Min.Y)
	if vb, ok := im.viewBoxInChain(s); ok {
		v, _ := im.inChain(s, "preserveAspectRatio")
		return corner.Mul(parseAspect(v).fit(vb, tile.Width(), tile.Height()))
	}
	if content, _ := im.inChain(s, "patternContentUnits"); content == "objectBoundingBox" {
		return corner.Mul(geometry.Scale(box.A, box.D))
	}
	if units, _ := im.inChain(s, "patternUnits"); units == "userSpaceOnUse" {
		return geometry.Identity()
	}
	return corner
}

// tile returns a pattern's tile as it is written, shares being those of a view.
func (im *importer) tile(s *node, view viewport) geometry.Rect {
	num := func(name string, ax axis) float64 {
		v, _ := im.inChain(s, name)
		l, _ := parseLength(v)
		return l.user(view, ax, 16)
	}
	return geometry.RectXYWH(num("x", alongX), num("y", alongY), num("width", alongX), num("height", alongY))
}

// filled returns the pattern or, when it has no children, the first of those that its
// href names in turn that has; nil when there is none.
func (im *importer) filled(s *node) *node {
	for hops := 0; s != nil && len(s.children) == 0 && hops < maxChain; hops++ {
		s = im.next(s)
	}
	return s
}

// drawTile draws the children of a pattern apart from the picture, in the pattern's space.
func (im *importer) drawTile(s *node, t tiling, sc scope, set func(side *importer)) (*importer, error) {
	im.using[s] = true
	defer delete(im.using, s)
	side := im.aside()
	set(side)
	err := side.children(t.holder, scope{ctm: t.content, style: side.styleOf(t.holder), view: sc.view, depth: sc.depth, copied: true, clips: []*job.Clip{}})
	im.account(side)
	return side, err
}

func (im *importer) viewBoxInChain(s *node) (geometry.Rect, bool) {
	for hops := 0; s != nil && hops < maxChain; hops++ {
		if _, has := s.attr("viewBox"); has {
			return parseViewBox(s)
		}
		s = im.next(s)
	}
	return geometry.Rect{}, false
}

// aside returns an importer that draws definitions apart from the picture,
// within what is left of the limits.
func (im *importer) aside() *importer {
	side := newImporter(im.ctx, im.opt, im.doc)
	side.sheet, side.styles, side.using, side.spent = im.sheet, im.styles, im.using, im.spent
	side.tolerance, side.pixels, side.pictures = im.tolerance, im.pixels, im.pictures
	side.drawings, side.inside = im.drawings, im.inside
	side.warned, side.warnings, side.unlisted = im.warned, im.warnings, im.unlisted
	side.quiet = 1
	return side
}

// account takes over what an importer aside has told, and the fonts that it
// found.
func (im *importer) account(side *importer) {
	im.warnings, im.unlisted = side.warnings, side.unlisted
	if im.opt.Fonts == nil {
		im.opt.Fonts = side.opt.Fonts
	}
}

// average composites what was painted at places spread over a rectangle.
func (im *importer) average(r geometry.Rect) mean {
	const lines = 40
	items := im.out
	if len(items) > maxTile {
		items = items[len(items)-maxTile:]
	}
	grid := make([]rgba, lines*lines) // premultiplied
	for _, it := range items {
		flat := it.Shape.Path.Flatten(max(r.Width(), r.Height()) / 500)
		for i := 0; i < lines; i++ {
			y := r.Min.Y + r.Height()*(float64(i)+0.5)/lines
			if y < it.Bounds.Min.Y || y > it.Bounds.Max.Y {
				continue
			}
			w, k := 0, 0
			hits := flat.ScanLine(y)
			for j := 0; j < lines; j++ {
				x := r.Min.X + r.Width()*(float64(j)+0.5)/lines
				for k < len(hits) && hits[k].X <= x {
					w += hits[k].Winding
					k++
				}
				if it.Shape.Rule.Encloses(w) {
					over(&grid[i*lines+j], fromColour(it.Colour), it.Alpha)
				}
			}
		}
	}
	var m mean
	for _, c := range grid {
		if c.a > 0 {
			c.r, c.g, c.b = c.r/c.a, c.g/c.a, c.b/c.a
		}
		m.add(c)
	}
	return m
}

// over paints c at an opacity over a premultiplied colour.
func over(under *rgba, c rgba, alpha float64) {
	under.r = c.r*alpha + under.r*(1-alpha)
	under.g = c.g*alpha + under.g*(1-alpha)
	under.b = c.b*alpha + under.b*(1-alpha)
	under.a = alpha + under.a*(1-alpha)
}
