package svgimport

import (
	"abut/geometry"
	"abut/internal/job"
)

// boxMode says what is drawn when only its bounds are looked for.
type boxMode uint8

const (
	// boxOfFill: fills, whatever they are painted with, and no strokes.
	boxOfFill boxMode = iota + 1
	// boxOfStroke: strokes too, where there are any.
	boxOfStroke
)

// userBounds returns the bounding box of an element's fills in its own user
// space, without strokes and clips (SVG 2, 8.10: the object bounding box). It
// draws the element aside and looks.
func (im *importer) userBounds(n *node, in scope) geometry.Rect {
	return im.boundsOf(n, in, boxOfFill)
}

// strokeBounds is userBounds with the strokes.
func (im *importer) strokeBounds(n *node, in scope) geometry.Rect {
	return im.boundsOf(n, in, boxOfStroke)
}

func (im *importer) boundsOf(n *node, in scope, box boxMode) geometry.Rect {
	if im.boxOnly != 0 { // a box within a box: clips do not count there
		return geometry.EmptyRect()
	}
	side := im.aside()
	side.boxOnly = box
	in.ctm = geometry.Identity()
	in.copied = true // drawn once more than written
	in.clips = []*job.Clip{}
	var err error
	if n == im.doc.root {
		err = side.children(n, in) // its viewport is the canvas, not a box of its own
	} else {
		err = side.content(n, in.style, in)
	}
	im.account(side)
	r := geometry.EmptyRect()
	if err != nil {
		return r // it comes up again when the element is drawn
	}
	for i := range side.out {
		r = r.Union(side.out[i].Bounds)
	}
	return r
}
