package svgimport

import (
	"bytes"
	"strings"

	"abut/geometry"
)

// maxInside bounds how deep drawings lie in drawings.
const maxInside = 8

// isDrawing reports whether a data URL says that it holds an SVG file.
func isDrawing(ref string) bool {
	head, _, _ := strings.Cut(ref[:min(len(ref), 100)], ",")
	return strings.Contains(strings.ToLower(head), "svg")
}

// innerDrawing is an SVG file that the file holds.
type innerDrawing struct {
	doc   *document
	sheet *styleSheet
	drawn bool
}

// drawing draws an SVG file that the file holds, which knows nothing of what is around it.
func (im *importer) drawing(n *node, ref string, in scope) error {
	d, known := im.drawings[ref]
	if !known {
		d = im.readDrawing(n, ref)
		im.drawings[ref] = d
	}
	if err := im.ctx.Err(); err != nil {
		return err
	}
	if d == nil || im.inside >= maxInside {
		im.warn(WarnImage, n)
		return nil
	}
	defer im.enter(d)()
	doc := d.doc
	pg := readPage(doc.root, im.styleOf(doc.root))
	if pg.canvas.Empty() { // it has no size and takes what it is given
		pg.px = viewport{300, 150} // CSS 2, 10.3.2
	}
	frame, shown := im.imageFrame(n, pg.px, in)
	if !shown {
		return nil
	}
	if im.boxOnly != 0 {
		return im.emit(n, frame.Path(), geometry.NonZero, black, 1, in)
	}
	if pg.canvas.Empty() {
		pg.canvas = geometry.RectXYWH(0, 0, frame.Width(), frame.Height())
		pg.view, pg.px = viewport{frame.Width(), frame.Height()}, viewport{frame.Width(), frame.Height()}
	}
	in.copied = in.copied || d.drawn // what is shown once counts as any part of the file
	d.drawn = true
	how := parseAspect(n.get("preserveAspectRatio"))
	if how.slice {
		in.clips = withClip(in.clips, im.rectClip(frame, in.ctm, n))
	}
	in.ctm = in.ctm.Mul(geometry.Translate(frame.Min.X, frame.Min.Y))
	if back, ok := in.ctm.Invert(); ok {
		im.pixels = back
	}
	in.ctm = in.ctm.Mul(how.fit(pg.canvas, frame.Width(), frame.Height()))
	in.clips = withClip(in.clips, im.rectClip(pg.canvas, in.ctm, doc.root))
	in.ctm = in.ctm.Mul(pg.root)
	in.context, in.box = nil, nil
	return im.page(pg, in)
}

// readDrawing reads a drawing inside the file; nil for one that is damaged.
func (im *importer) readDrawing(n *node, ref string) *innerDrawing {
	file, ok := dataOf(ref)
	if !ok {
		return nil
	}
	data, err := slurp(im.ctx, bytes.NewReader(file), im.opt.MaxBytes)
	if err != nil {
		return nil
	}
	doc, err := readTree(im.ctx, data, im.opt.MaxDepth)
	if err != nil {
		return nil
	}
	doc.root.standAt(n.line)
	d := &innerDrawing{doc: doc, sheet: &styleSheet{}}
	back := im.enter(d)
	im.readSheets()
	back()
	return d
}

// enter has the importer draw out of another document, and returns what leads back.
func (im *importer) enter(d *innerDrawing) (back func()) {
	doc, sheet, pixels := im.doc, im.sheet, im.pixels
	im.doc, im.sheet = d.doc, d.sheet
	im.sheet.steps = sheet.steps
	im.inside++
	return func() {
		sheet.steps = im.sheet.steps
		im.doc, im.sheet, im.pixels = doc, sheet, pixels
		im.inside--
	}
}
