package svgimport

import (
	"abut/geometry"
	"abut/internal/job"
)

// userBounds returns the bounding box of an element's fills in its own user
// space, without strokes and clips (SVG 2, 8.10: the object bounding box). It
// draws the element aside and looks.
func (im *importer) userBounds(n *node, in scope) geometry.Rect {
	side := newImporter(im.ctx, im.opt, im.doc)
	side.sheet = im.sheet
	side.segments, side.visits, side.copied = im.segments, im.visits, im.copied
	side.quiet = 1
	side.boxOnly = true
	in.ctm = geometry.Identity()
	in.clips = []*job.Clip{}
	if err := side.content(n, in.style, in); err != nil {
		return geometry.EmptyRect()
	}
	im.visits, im.copied = side.visits, side.copied
	r := geometry.EmptyRect()
	for i := range side.out {
		r = r.Union(side.out[i].bounds)
	}
	return r
}
