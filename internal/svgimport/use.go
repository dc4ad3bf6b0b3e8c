package svgimport

import (
	"strconv"

	"abut/geometry"
	"abut/internal/job"
)

// use draws what a use element refers to (SVG 2, 5.6). An element that comes
// to contain itself is an error: drawing it would never end.
func (im *importer) use(n *node, in scope) error {
	target := im.target(n)
	if target == nil {
		return nil
	}
	if im.using[n] || target == n || encloses(target, n) {
		return fail(ErrUseCycle, n.line, "element", n.describe(), "line", strconv.Itoa(n.line))
	}
	im.using[n] = true
	defer delete(im.using, n)
	around := in
	num := func(name string, a axis) float64 {
		if l, ok := in.style.size(n, name); ok {
			return l.user(in.view, a, in.style.fontSize)
		}
		return 0
	}
	in.ctm = in.ctm.Mul(geometry.Translate(num("x", alongX), num("y", alongY)))
	in.copied = true
	asked := askedSize{in.style, n}
	in.context = im.contextOf(n, in.style, func() area { return area{box: im.userBounds(n, around)} }, around)
	switch target.name {
	case "symbol":
		return im.symbol(target, asked, in)
	case "svg":
		if err := im.visit(target, &in); err != nil {
			return err
		}
		st := im.compute(target, in.style)
		if st.own.hidden {
			return nil
		}
		in.style = st
		return im.hidden(target, st, in, func(in scope) error { return im.nested(target, in, &asked) })
	}
	return im.element(target, in)
}

// target finds what href names; nil, with a warning, when there is no such
// thing in the file.
func (im *importer) target(n *node) *node {
	id, inside := n.href()
	switch {
	case !inside:
		im.warn(WarnExternal, n, "target", shorten(id))
		return nil
	case id == "":
		return nil
	}
	t := im.doc.byID[id]
	if t == nil {
		im.warn(WarnMissing, n, "target", "#"+shorten(id))
	}
	return t
}

func encloses(outer, n *node) bool {
	for p := n.parent; p != nil; p = p.parent {
		if p == outer {
			return true
		}
	}
	return false
}

// askedSize is the size that a use element gives to what it refers to, in its own style.
type askedSize struct {
	style *style
	use   *node
}

// symbol draws a symbol in the viewport that the use element gives it.
func (im *importer) symbol(sym *node, asked askedSize, in scope) error {
	if err := im.visit(sym, &in); err != nil {
		return err
	}
	st := im.compute(sym, in.style)
	if st.own.hidden {
		return nil
	}
	m, ok := im.transform(sym, st, in)
	if !ok {
		im.warn(WarnTransform, sym)
	}
	in.ctm = in.ctm.Mul(m)
	in.style = st
	if name := sym.label(); name != "" {
		in.label = name
		in.place = in.place.In(name)
	}
	return im.hidden(sym, st, in, func(in scope) error {
		w, h := im.size(in, sym, &asked)
		return im.box(sym, in, 0, 0, w, h)
	})
}

// nested draws an inner svg element; asked is nil when it stands for itself.
func (im *importer) nested(n *node, in scope, asked *askedSize) error {
	num := func(name string, a axis) float64 {
		if l, ok := in.style.size(n, name); ok {
			return l.user(in.view, a, in.style.fontSize)
		}
		return 0
	}
	w, h := im.size(in, n, asked)
	return im.box(n, in, num("x", alongX), num("y", alongY), w, h)
}

// size reads the width and height of a viewport: those that are asked for, its own, or else
// 100 %.
func (im *importer) size(in scope, n *node, asked *askedSize) (w, h float64) {
	read := func(name string, a axis, all float64) float64 {
		if asked != nil {
			if l, ok := asked.style.size(asked.use, name); ok {
				return l.user(in.view, a, asked.style.fontSize)
			}
		}
		if l, ok := in.style.size(n, name); ok {
			return l.user(in.view, a, in.style.fontSize)
		}
		return all
	}
	return read("width", alongX, in.view.w), read("height", alongY, in.view.h)
}

// box draws the children of a symbol or inner svg in a viewport of its own:
// clipped to it unless overflow says otherwise, and scaled by its viewBox.
func (im *importer) box(n *node, in scope, x, y, w, h float64) error {
	box, hasBox := parseViewBox(n)
	sized := w > 0 && h > 0
	if !sized && (hasBox || n.name == "svg") && in.view != (viewport{}) {
		return nil
	}
	if sized && in.style.own.overflow != "visible" && in.style.own.overflow != "auto" {
		in.clips = withClip(in.clips, im.rectClip(geometry.RectXYWH(x, y, w, h), in.ctm, n))
	}
	in.ctm = in.ctm.Mul(geometry.Translate(x, y))
	if hasBox && sized {
		in.ctm = in.ctm.Mul(parseAspect(n.get("preserveAspectRatio")).fit(box, w, h))
		w, h = box.Width(), box.Height()
	}
	in.view = viewport{w, h}
	return im.children(n, in)
}

// withClip returns clips and one more, in a list of its own.
func withClip(clips []*job.Clip, c *job.Clip) []*job.Clip {
	return append(append(make([]*job.Clip, 0, len(clips)+1), clips...), c)
}
