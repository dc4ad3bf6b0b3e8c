package svgimport

import (
	"encoding/base64"
	"math"
	"net/url"
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/layering"
)

// Picture is a picture of pixels taken apart.
type Picture struct {
	// Canvas is the picture in its own units, pixels.
	Canvas geometry.Rect
	// Layers are bottom first, in pixels, y down; none is moved or see-through.
	Layers []job.Layer
	// Warnings are what is to be told of it; their places are filled in here.
	Warnings []job.Warning
}

// maxPictures bounds the pictures of pixels that are taken apart for one drawing: each
// takes a second or more.
const maxPictures = 16

// image draws what an image element shows (SVG 2, 12.3), as far as the file holds it: another
// drawing, or a picture of pixels as the shapes of flat colour that it is taken apart into.
func (im *importer) image(n *node, st *style, in scope) error {
	ref := n.get("href")
	switch {
	case !st.visible && im.boxOnly == 0 || ref == "":
		return nil
	case !strings.HasPrefix(ref, "data:"):
		im.warn(WarnExternal, n, "target", shorten(ref))
		return nil
	case isDrawing(ref):
		return im.drawing(n, ref, in)
	default:
		return im.pixelPicture(n, ref, in)
	}
}

// pixelPicture draws a picture of pixels.
func (im *importer) pixelPicture(n *node, ref string, in scope) error {
	pic, err := im.picture(n, ref)
	if err != nil || pic == nil || pic.Canvas.Empty() {
		return err
	}
	frame, shown := im.imageFrame(n, viewport{pic.Canvas.Width(), pic.Canvas.Height()}, in)
	if !shown {
		return nil
	}
	if im.boxOnly != 0 {
		return im.emit(n, frame.Path(), geometry.NonZero, black, 1, in)
	}
	how := parseAspect(n.get("preserveAspectRatio"))
	if how.slice {
		in.clips = withClip(in.clips, im.rectClip(frame, in.ctm, n))
	}
	in.ctm = in.ctm.Mul(geometry.Translate(frame.Min.X, frame.Min.Y)).Mul(how.fit(pic.Canvas, frame.Width(), frame.Height()))
	im.shown.of, im.shown.to = pic, in.ctm
	im.shown.count++
	for _, l := range pic.Layers {
		for _, s := range job.Shapes(l.Content) {
			if err := im.emit(n, s.Path, s.Rule, fromColour(l.Colour), 1, in); err != nil {
				return err
			}
		}
	}
	for _, w := range pic.Warnings {
		var args []string
		for name, v := range w.Args {
			args = append(args, name, v)
		}
		im.warn(w.ID, n, args...)
	}
	return nil
}

// findSole looks whether a drawing is no more than a wrapper around a picture of pixels.
func (im *importer) findSole(res *Result) {
	pic, m := im.shown.of, im.shown.to
	if im.shown.count != 1 || len(res.Warnings) != len(pic.Warnings) || m.B != 0 || m.C != 0 || !(m.A > 0) || math.Abs(m.A-m.D) > 1e-3*m.A {
		return
	}
	shapes := 0
	for _, l := range pic.Layers {
		shapes += len(job.Shapes(l.Content))
	}
	whole := func(a layering.Area) bool { return len(a.Shape.Clips) == 0 && a.Alpha == 1 }
	if len(im.out) != shapes || !slices.ContainsFunc(im.out, whole) || slices.ContainsFunc(im.out, func(a layering.Area) bool { return !whole(a) }) {
		return
	}
	res.Sole = pic
	if res.PhysicalMM.X > 0 && res.Canvas.Width() > 0 {
		mm := m.A * res.PhysicalMM.X / res.Canvas.Width()
		res.SoleMM = geometry.Pt(mm*pic.Canvas.Width(), mm*pic.Canvas.Height())
	}
}

// imageFrame is where a picture of its own size lies, in user space: a side that is not given
// follows from the other, or is one user unit for each pixel. It is false where nothing is seen.
func (im *importer) imageFrame(n *node, own viewport, in scope) (geometry.Rect, bool) {
	num := func(name string, a axis) (float64, bool) {
		l, ok := in.style.size(n, name)
		return l.user(in.view, a, in.style.fontSize), ok
	}
	x, _ := num("x", alongX)
	y, _ := num("y", alongY)
	w, hasW := num("width", alongX)
	h, hasH := num("height", alongY)
	ratio := own.h / own.w
	switch {
	case !hasW && !hasH:
		w, h = own.w, own.h
	case !hasW:
		w = h / ratio
	case !hasH:
		h = w * ratio
	}
	return geometry.RectXYWH(x, y, w, h), w > 0 && h > 0
}

// picture returns what the picture that an element shows is taken apart into; nil, with a
// warning, where that cannot be. What several elements show is taken apart once.
func (im *importer) picture(n *node, ref string) (*Picture, error) {
	pic, known := im.pictures[ref]
	if !known {
		var err error
		if pic, err = im.takeApart(ref); err != nil {
			return nil, err
		}
		im.pictures[ref] = pic
	}
	if pic == nil {
		im.warn(WarnImage, n)
	}
	return pic, nil
}

// takeApart returns nil for what cannot be read; errors are the context's own.
func (im *importer) takeApart(ref string) (*Picture, error) {
	file, ok := dataOf(ref)
	if !ok || im.opt.Picture == nil || len(im.pictures) >= maxPictures {
		return nil, nil
	}
	pic, err := im.opt.Picture(im.ctx, file)
	if err != nil {
		return nil, im.ctx.Err()
	}
	return pic, nil
}

// dataOf returns the bytes that a data URL holds (RFC 2397); false for what is none.
func dataOf(ref string) ([]byte, bool) {
	head, data, ok := strings.Cut(strings.TrimPrefix(ref, "data:"), ",")
	if !ok {
		return nil, false
	}
	if strings.Contains(data, "%") {
		plain, err := url.PathUnescape(data)
		if err != nil {
			return nil, false
		}
		data = plain
	}
	if !strings.HasSuffix(strings.ToLower(strings.TrimSpace(head)), ";base64") {
		return []byte(data), true
	}
	// Files are broken into lines, and some leave off the signs that fill up the end.
	data = strings.TrimRight(strings.Join(strings.Fields(data), ""), "=")
	file, err := base64.RawStdEncoding.DecodeString(data)
	return file, err == nil
}
