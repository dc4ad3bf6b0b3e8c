package svgimport

import (
	"abut/geometry"
	"abut/internal/job"
)

// userBounds returns the bounding box of an element's fills in its own user
// space, without strokes and clips (SVG 2, 8.10: the object bounding box). It
// draws the element aside and looks.
func (im *importer) userBounds(n *node, in scope) geometry.Rect {
	if im.boxOnly { // a box within a box: clips do not count there
		return geometry.EmptyRect()
	}
	side := im.aside()
	side.boxOnly = true
	in.ctm = geometry.Identity()
	in.copied = true // drawn once more than written
	in.clips = []*job.Clip{}
	err := side.content(n, in.style, in)
	im.account(side)
	r := geometry.EmptyRect()
	if err != nil {
		return r // it comes up again when the element is drawn
	}
	for i := range side.out {
		r = r.Union(side.out[i].bounds)
	}
	return r
}
