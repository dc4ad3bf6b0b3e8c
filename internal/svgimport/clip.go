package svgimport

import (
	"abut/geometry"
	"abut/internal/job"
)

// clipKey says which clips are the same: shapes share one by pointer.
type clipKey struct {
	n   *node
	ctm geometry.Affine
	box geometry.Rect // of the clipped element, for objectBoundingBox units
	// view is what percentages in it refer to.
	view viewport
	// shape is a basic shape as written; n is then the clipped element.
	shape string
}

// clipBounds is what is known of a clip: nothing outside of bounds is covered
// and, when solid, everything inside is.
type clipBounds struct {
	bounds geometry.Rect
	solid  bool
}

// rectClip is the clip to a rectangle given in user space.
func (im *importer) rectClip(r geometry.Rect, ctm geometry.Affine, n *node) *job.Clip {
	key := clipKey{n: n, ctm: ctm, box: r}
	if c := im.clips[key]; c != nil {
		return c
	}
	c := &job.Clip{Shapes: []job.Shape{{Path: im.trimmed(r.Path().Transform(ctm)), Element: n.describe(), Line: n.line}}}
	im.remember(key, c)
	return c
}

// noRoom is the clip of a mask or clip that is measured by an element without
// width or height: it lets nothing through, which is told if there is a stroke
// to be seen.
func (im *importer) noRoom(n *node, target string, in scope) *job.Clip {
	if !flatBox(im.strokeBounds(n, in)) {
		im.warn(WarnNoRoom, n, "target", shorten(target))
	}
	c := &job.Clip{}
	im.clipped[c] = clipBounds{bounds: geometry.EmptyRect()}
	return c
}

// trimmed is the path without what lies too far out to be seen.
func (im *importer) trimmed(p geometry.Path) geometry.Path {
	if im.keep.Empty() || im.keep.Encloses(p.Bounds()) {
		return p
	}
	return trim(p, im.keep)
}

func (im *importer) remember(key clipKey, c *job.Clip) {
	b := clipBounds{bounds: geometry.EmptyRect()}
	for _, s := range c.Shapes {
		b.bounds = b.bounds.Union(s.Path.Bounds())
		for i := range s.Path {
			im.segments += len(s.Path[i].Segments)
		}
	}
	if len(c.Shapes) == 1 && len(c.Shapes[0].Clips) == 0 {
		b.solid = isRect(c.Shapes[0].Path)
	}
	im.clipped[c] = b
	im.clips[key] = c
}

// isRect reports whether the path is one axis-parallel rectangle.
func isRect(p geometry.Path) bool {
	if len(p) != 1 {
		return false
	}
	q := []geometry.Point{p[0].Start}
	for _, s := range p[0].Segments {
		if s.Cubic {
			return false
		}
		if s.End != q[len(q)-1] {
			q = append(q, s.End)
		}
	}
	if len(q) == 5 && q[4] == q[0] {
		q = q[:4]
	}
	if len(q) != 4 {
		return false
	}
	a := q[0].X == q[1].X && q[1].Y == q[2].Y && q[2].X == q[3].X && q[3].Y == q[0].Y
	b := q[0].Y == q[1].Y && q[1].X == q[2].X && q[2].Y == q[3].Y && q[3].X == q[0].X
	return a || b
}

// needed returns those of the clips that may cut something off a shape of
// these bounds, and false when nothing of it can be seen.
func (im *importer) needed(clips []*job.Clip, bounds geometry.Rect) ([]*job.Clip, bool) {
	var out []*job.Clip
	for _, c := range clips {
		b := im.clipped[c]
		if c.Doubtful {
			out = append(out, c) // what it hides may be asked for
			continue
		}
		if b.bounds.Intersect(bounds).Empty() {
			return nil, false
		}
		if b.solid && b.bounds.Encloses(bounds) {
			continue
		}
		out = append(out, c)
	}
	return out, true
}

// applyClip adds the element's clip-path to what it is drawn in.
func (im *importer) applyClip(n *node, st *style, in *scope) error {
	if im.boxOnly != 0 {
		return nil // a bounding box is that of all there is
	}
	if st.own.clipShape != "" {
		if c := im.shapeClip(n, st, *in); c != nil {
			in.clips = withClip(in.clips, c)
		}
		return nil
	}
	if st.own.clip == "" {
		return nil
	}
	c, err := im.clipFor(st.own.clip, n, *in)
	if c != nil {
		in.clips = withClip(in.clips, c)
	}
	return err
}

// clipFor returns the clip that a clip-path names, for element n drawn in
// scope; nil for a reference to nothing, which clips nothing (CSS Masking 1,
// 3.5).
func (im *importer) clipFor(target string, n *node, in scope) (*job.Clip, error) {
	cp := im.lookup(target, n)
	if cp == nil || cp.name != "clipPath" {
		im.warn(WarnMissing, n, "target", shorten(target))
		return nil, nil
	}
	key := clipKey{n: cp, ctm: in.ctm, view: in.view}
	toBox := geometry.Identity()
	if cp.get("clipPathUnits") == "objectBoundingBox" {
		key.box = im.userBounds(n, in)
		if flatBox(key.box) {
			return im.noRoom(n, target, in), nil
		}
		toBox = geometry.Affine{A: key.box.Width(), D: key.box.Height(), E: key.box.Min.X, F: key.box.Min.Y}
	}
	if c := im.clips[key]; c != nil {
		return c, nil
	}
	if im.using[cp] {
		im.warn(WarnRecursive, cp)
		return nil, nil
	}
	im.using[cp] = true
	defer delete(im.using, cp)
	st := im.styleOf(cp)
	own, ok := im.transform(cp, st, in)
	if !ok {
		im.warn(WarnTransform, cp)
	}
	var outer []*job.Clip
	if st.own.clip != "" { // a clip on the clip: in the clipped element's space
		c, err := im.clipFor(st.own.clip, cp, in)
		if err != nil {
			return nil, err
		}
		if c != nil {
			outer = []*job.Clip{c}
		}
	}
	c := &job.Clip{}
	sc := scope{ctm: in.ctm.Mul(own).Mul(toBox), style: st, clips: outer, view: in.view, depth: in.depth, copied: true}
	if unitsOfBox := key.box != (geometry.Rect{}); unitsOfBox {
		sc.view = viewport{1, 1}
	}
	for _, k := range cp.children {
		sc.doubter = k
		if err := im.clipChild(c, k, sc, false); err != nil {
			return nil, err
		}
	}
	im.remember(key, c)
	return c, nil
}

// doubt takes note of a child of a clipPath that clips nothing by the standard
// though it was certainly meant to: a group, or a copy of one or of a copy.
func (im *importer) doubt(c *job.Clip, n *node) {
	c.Doubtful = true
	im.warn(WarnClipGroup, n)
}

// clipChild adds one child of a clipPath: a shape, or a use of one.
func (im *importer) clipChild(c *job.Clip, n *node, sc scope, used bool) error {
	if err := im.visit(n, &sc); err != nil {
		return err
	}
	switch n.name {
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text":
	case "use":
		if used {
			im.doubt(c, sc.doubter)
			return nil
		}
	default:
		if elements[n.name].role == drawn {
			im.doubt(c, sc.doubter)
		}
		return nil
	}
	st := im.compute(n, sc.style)
	if st.own.hidden || !st.visible && n.name != "use" {
		return nil
	}
	m, ok := im.transform(n, st, sc)
	if !ok {
		im.warn(WarnTransform, n)
	}
	sc.style = st
	sc.ctm = sc.ctm.Mul(m)
	if err := im.applyClip(n, st, &sc); err != nil {
		return err
	}
	switch n.name {
	case "text":
		return im.clipText(c, n, st, sc)
	case "use":
		return im.clipUse(c, n, st, sc)
	}
	return im.clipShape(c, n, st, sc)
}

// clipUse adds what a use in a clipPath is a copy of.
func (im *importer) clipUse(c *job.Clip, n *node, st *style, sc scope) error {
	t := im.target(n)
	if t == nil {
		return nil
	}
	sc.doubter = n
	x, _ := st.size(n, "x")
	y, _ := st.size(n, "y")
	sc.ctm = sc.ctm.Mul(geometry.Translate(x.user(sc.view, alongX, st.fontSize), y.user(sc.view, alongY, st.fontSize)))
	return im.clipChild(c, t, sc, true)
}

// clipShape adds a shape of a clipPath.
func (im *importer) clipShape(c *job.Clip, n *node, st *style, sc scope) error {
	path, err := im.shapePath(n, st, sc.view)
	if err != nil || !enclosesArea(path) {
		return err
	}
	path = path.Transform(sc.ctm)
	if !within(path, maxCoordinate) {
		im.warn(WarnRange, n)
		return nil
	}
	c.Shapes = append(c.Shapes, job.Shape{Path: im.trimmed(path), Rule: st.clipRule, Clips: sc.clips, Element: n.describe(), Line: n.line})
	return nil
}

// styleOf returns the style that an element has where it stands in the file:
// definitions inherit from there, not from what refers to them.
func (im *importer) styleOf(n *node) *style {
	if st := im.styles[n]; st != nil {
		return st
	}
	parent := initialStyle()
	if n.parent != nil {
		parent = im.styleOf(n.parent)
	}
	st := im.compute(n, parent)
	im.styles[n] = st
	return st
}
