package svgimport

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/layering"
)

// scope is what an element is drawn in.
type scope struct {
	ctm     geometry.Affine // user space → root units
	style   *style          // the parent's
	clips   []*job.Clip
	view    viewport
	label   string          // the nearest name around
	place   *layering.Group // all named groups around
	depth   int
	copied  bool // inside use
	context *contextPaint
	// box is the element's bounding box where it is not that of each path.
	box *geometry.Rect
	// ramp is what the paint in use is the average of.
	ramp ramp
	// doubter is the child of a clipPath that is being read.
	doubter *node
	// text is what a list fills in, where the outline in hand is that.
	text *markedText
	// centre is the line that the outline in hand was drawn along, nil for fills.
	centre geometry.Path
}

// maxCoordinate bounds coordinates in user and root units: with larger ones
// floats no longer tell neighbouring points apart, and nothing that size is
// art.
const maxCoordinate = 1e9

func (im *importer) children(n *node, sc scope) error {
	for _, c := range n.children {
		if err := im.element(c, sc); err != nil {
			return err
		}
	}
	return nil
}

// element draws one element and what is in it.
func (im *importer) element(n *node, sc scope) error {
	if err := im.visit(n, &sc); err != nil {
		return err
	}
	if !im.draws(n) || !n.passes() {
		return nil
	}
	st := im.compute(n, sc.style)
	if st.own.hidden || st.own.opacity == 0 && im.boxOnly == 0 {
		im.unseen = true
		return nil
	}
	m, ok := im.transform(n, st, sc)
	if !ok {
		im.warn(WarnTransform, n)
	}
	in := sc
	in.style = st
	in.box = nil
	in.ctm = sc.ctm.Mul(m)
	if name := n.label(); name != "" {
		in.label = name
		if n.name == "g" || n.name == "svg" || n.name == "a" {
			in.place = in.place.In(name)
		}
	}
	if !in.ctm.Finite() {
		im.warn(WarnRange, n)
		return nil
	}
	if in.ctm.Det() == 0 {
		return nil // flat as a line: nothing to see
	}
	return im.hidden(n, st, in, func(in scope) error { return im.content(n, st, in) })
}

// draws reports whether an element is one that draws, and tells of those that would
// do more than that.
func (im *importer) draws(n *node) bool {
	switch elements[n.name].role {
	case drawn:
		return true
	case animating:
		im.warn(WarnAnimation, n)
	case running:
		im.warn(WarnScript, n)
	case unknown:
		im.warn(WarnElement, n, "name", shorten(n.name))
	}
	return false
}

// hidden draws an element under its own clip, mask and opacity, and tells of
// effects that are left out.
func (im *importer) hidden(n *node, st *style, in scope, draw func(scope) error) error {
	im.effects(n, st)
	if err := im.applyClip(n, st, &in); err != nil {
		return err
	}
	share, err := im.applyMask(n, st, &in)
	if err != nil {
		return err
	}
	from := len(im.out)
	if err := im.faded(n, st, func() error { return draw(in) }); err != nil {
		return err
	}
	im.fade(from, share, n)
	return nil
}

// effects warns about what is left out.
func (im *importer) effects(n *node, st *style) {
	if st.own.filter {
		im.warn(WarnFilter, n)
	}
	if st.own.blend {
		im.warn(WarnBlend, n)
	}
}

// visit counts the element against the limits and polls the context.
func (im *importer) visit(n *node, sc *scope) error {
	im.visits++
	if im.visits&0x3f == 0 {
		if err := im.ctx.Err(); err != nil {
			return err
		}
		if err := im.checkStyles(n); err != nil {
			return err
		}
	}
	if err := im.readText(n); err != nil {
		return err
	}
	im.checkLengths(n)
	im.checkShares(n, sc.view)
	sc.depth++
	if sc.depth > 2*im.opt.MaxDepth {
		return fail(ErrDepth, n.line, "limit", strconv.Itoa(im.opt.MaxDepth), "line", strconv.Itoa(n.line))
	}
	if sc.copied {
		// Groups and definitions count too, more generously: a bomb need not
		// draw anything.
		if im.copied++; im.copied > 20*im.opt.MaxLeaves {
			return fail(ErrTooMany, n.line, "limit", strconv.Itoa(im.opt.MaxLeaves), "line", strconv.Itoa(n.line))
		}
	}
	return nil
}

// animation warns about an element that animates.
func (im *importer) animation(n *node) {
	if elements[n.name].role == animating {
		im.warn(WarnAnimation, n)
	}
}

// content draws the inside of an element whose own properties are dealt with.
func (im *importer) content(n *node, st *style, in scope) error {
	switch n.name {
	case "g", "a":
		return im.children(n, in)
	case "svg":
		return im.nested(n, in, nil)
	case "switch":
		if i := slices.IndexFunc(n.children, (*node).applies); i >= 0 {
			return im.element(n.children[i], in)
		}
		return nil
	}
	for _, c := range n.children {
		im.animation(c)
	}
	switch n.name {
	case "symbol": // only its bounds are looked for
		w, h := im.size(in, n, nil)
		return im.box(n, in, 0, 0, w, h)
	case "use":
		return im.use(n, in)
	case "text":
		return im.textElement(n, st, in)
	case "image":
		return im.image(n, st, in)
	case "foreignObject":
		im.warn(WarnForeign, n)
	default:
		return im.shape(n, st, in)
	}
	return nil
}

// applies reports whether a child of switch may be the one shown.
func (n *node) applies() bool {
	if n.name == "foreignObject" || n.name == "title" || n.name == "desc" || n.name == "style" || n.name == "defs" {
		return false
	}
	return n.passes()
}

func (n *node) hasText() bool {
	for _, i := range n.inline {
		if strings.TrimSpace(i.text) != "" {
			return true
		}
	}
	for _, c := range n.children {
		if c.hasText() {
			return true
		}
	}
	return false
}

// shape paints a basic shape or path.
func (im *importer) shape(n *node, st *style, in scope) error {
	if im.boxOnly == 0 && (!st.visible || st.fill.kind == paintNone && st.stroke.kind == paintNone && st.markers == [3]string{}) {
		im.unseen = im.unseen || !st.visible
		return nil // reading what paints nothing can take long
	}
	path, err := im.shapePath(n, st, in.view)
	if err != nil || len(path) == 0 {
		return err
	}
	if !within(path, maxCoordinate) {
		im.warn(WarnRange, n)
		return nil
	}
	return st.inOrder([3]func() error{
		stageFill:    func() error { return im.fill(n, st, path, in) },
		stageStroke:  func() error { return im.stroke(n, st, path, in) },
		stageMarkers: func() error { return im.markers(n, st, path, in) },
	})
}

// inOrder paints the stages of a shape, bottom first.
func (st *style) inOrder(paint [3]func() error) error {
	for _, s := range st.order {
		if err := paint[s](); err != nil {
			return err
		}
	}
	return nil
}

func (im *importer) fill(n *node, st *style, path geometry.Path, in scope) error {
	if im.boxOnly != 0 {
		return im.emit(n, path, st.fillRule, black, 1, in)
	}
	if st.fill.kind == paintNone || st.fillOpacity == 0 || n.name == "line" || !enclosesArea(path) {
		return nil
	}
	whole := area{path, st.fillRule, in.boxOf(path)}
	if done, err := im.tiled(st.fill, st.fillOpacity, n, whole, in); done || err != nil {
		return err
	}
	f := im.resolve(st.fill, st, n, whole, &in)
	if f.none {
		return f.err
	}
	in.ramp = f.ramp
	return im.emit(n, path, st.fillRule, f.colour, st.fillOpacity, in)
}

// boxOf is the bounding box that a path's paint refers to.
func (in scope) boxOf(path geometry.Path) geometry.Rect {
	if in.box != nil {
		return *in.box
	}
	return path.Bounds()
}

func (im *importer) stroke(n *node, st *style, path geometry.Path, in scope) error {
	if im.boxOnly == boxOfFill || st.stroke.kind == paintNone || st.strokeOpacity == 0 {
		return nil
	}
	width := st.strokeWidth.user(in.view, diagonal, st.fontSize)
	if !(width > 0) || width > maxCoordinate {
		return nil
	}
	box := in.boxOf(path)
	if st.own.fixedStroke { // the pen is one of the picture's pixels, whatever the shape's units
		path = path.Transform(im.pixels.Mul(in.ctm))
		in.ctm, _ = im.pixels.Invert()
	}
	if st.dashes != nil {
		path = im.dashed(n, st, path, width, in.view)
	}
	pn := pen{
		width: width, join: st.join, cap: st.cap, miterLimit: st.miterLimit,
		tolerance: im.tolerance / in.ctm.MaxScale(), full: im.checkSegments,
	}
	out, err := pn.outline(path)
	if err != nil {
		return err
	}
	if im.boxOnly != 0 {
		return im.emit(n, out, geometry.NonZero, black, 1, in)
	}
	whole := area{out, geometry.NonZero, box}
	if !st.own.fixedStroke {
		if done, err := im.tiled(st.stroke, st.strokeOpacity, n, whole, in); done || err != nil {
			return err
		}
	}
	f := im.resolve(st.stroke, st, n, whole, &in)
	if f.none {
		return f.err
	}
	in.ramp, in.centre = f.ramp, path
	return im.emit(n, out, geometry.NonZero, f.colour, st.strokeOpacity, in)
}

// dashed returns the dashes of a line of this width or, with a warning, the line where
// they cannot be told apart.
func (im *importer) dashed(n *node, st *style, path geometry.Path, width float64, view viewport) geometry.Path {
	scale := 1.0 // of what the file counts along the path
	if l, ok := n.length("pathLength"); ok && l.v > 0 {
		scale = pathLength(path) / l.v
	}
	pattern := make([]float64, len(st.dashes))
	for i, l := range st.dashes {
		pattern[i] = scale * l.user(view, diagonal, st.fontSize)
	}
	dashes, ok := dash(path, pattern, scale*st.dashOffset.user(view, diagonal, st.fontSize))
	if !ok || crowded(len(dashes)-len(path), pattern, width) {
		im.warn(WarnDashes, n)
		return path
	}
	return dashes
}

// emit adds one painted area, given in user space.
func (im *importer) emit(n *node, path geometry.Path, rule geometry.FillRule, c rgba, opacity float64, in scope) error {
	alpha := c.a * opacity
	if len(path) == 0 || alpha <= 0 {
		return nil
	}
	path, in.centre = placed(path, in.ctm), placed(in.centre, in.ctm)
	if !within(path, maxCoordinate) {
		im.warn(WarnRange, n)
		return nil
	}
	bounds := path.Bounds()
	whole := bounds
	if !im.keep.Empty() && !im.keep.Encloses(bounds) {
		path, in.centre = trim(path, im.keep), nil
		bounds = path.Bounds()
	}
	for i := range path {
		im.segments += len(path[i].Segments)
	}
	if err := im.checkSegments(0); err != nil {
		return err
	}
	clips, seen := im.seen(n, in.clips, bounds)
	if !seen {
		return nil
	}
	if in.copied && im.boxOnly == 0 {
		if im.leaves++; im.leaves > im.opt.MaxLeaves {
			return fail(ErrTooMany, n.line, "limit", strconv.Itoa(im.opt.MaxLeaves), "line", strconv.Itoa(n.line))
		}
	}
	area := layering.Area{
		Shape:  job.Shape{Path: path, Rule: rule, Clips: clips, Centre: in.centre, Gradient: in.ramp.Gradient, Element: n.describe(), Line: n.line},
		Bounds: bounds, Colour: c.colour(), Alpha: alpha, Label: in.label, Group: in.place, Stripes: in.ramp.flat,
	}
	if in.ramp.of != nil {
		area.Paint = in.ramp.of
	}
	if len(clips) == 0 && bounds == whole { // else some of it is cut off
		in.text.keep(&area, in.ctm)
	}
	im.out = append(im.out, area)
	return nil
}

// placed is a path in root units.
func placed(path geometry.Path, ctm geometry.Affine) geometry.Path {
	if ctm == geometry.Identity() {
		return path
	}
	return path.Transform(ctm)
}

// seen returns those of the clips that may cut something off an area of these bounds,
// and false when nothing of it can be seen.
func (im *importer) seen(n *node, clips []*job.Clip, bounds geometry.Rect) ([]*job.Clip, bool) {
	if im.offPage(n, bounds) {
		return nil, false
	}
	return im.needed(clips, bounds)
}

// offPage reports whether an area lies beyond the canvas, and tells of it: drawing
// programs show what lies beside the page.
func (im *importer) offPage(n *node, bounds geometry.Rect) bool {
	if im.canvas.Empty() || im.boxOnly != 0 || !bounds.Intersect(im.canvas).Empty() {
		return false
	}
	im.tell(WarnOffPage, n, "")
	if im.quiet == 0 {
		im.off[n] = true
	}
	return true
}

// within reports whether all coordinates are ordinary numbers of at most
// limit.
func within(p geometry.Path, limit float64) bool {
	ok := func(q geometry.Point) bool { return math.Abs(q.X) <= limit && math.Abs(q.Y) <= limit }
	for _, c := range p {
		if !ok(c.Start) {
			return false
		}
		for _, s := range c.Segments {
			if !ok(s.End) || s.Cubic && !(ok(s.C1) && ok(s.C2)) {
				return false
			}
		}
	}
	return true
}

// enclosesArea is false for a path that is points and single lines only.
func enclosesArea(p geometry.Path) bool {
	for _, c := range p {
		if len(c.Segments) > 1 || len(c.Segments) == 1 && c.Segments[0].Cubic {
			return true
		}
	}
	return false
}

// faded draws an element under its opacity. One painted area simply becomes
// more see-through; several become a group, in which only the topmost counts at
// any place. Nothing is left of what cannot be seen, save where only its bounds are
// looked for.
func (im *importer) faded(n *node, st *style, draw func() error) error {
	if im.boxOnly != 0 {
		return draw()
	}
	if st.own.opacity == 0 {
		return nil
	}
	from := len(im.out)
	if err := draw(); err != nil {
		return err
	}
	im.fade(from, st.own.opacity, n)
	return nil
}

// fade makes what was painted for n, the areas from an index on, more see-through.
func (im *importer) fade(from int, opacity float64, n *node) {
	if opacity >= 1 {
		return
	}
	im.out = append(im.out[:from], visible(im.out[from:], opacity)...)
	made := im.out[from:]
	if len(made) == 0 {
		return
	}
	grouped := len(made) == 1 || made[0].Opacity != 0 && allOf(made, made[0].Opacity) // a group with nothing but a group in it
	if !grouped {
		if mixes(made) {
			im.warn(WarnOpacity, n)
		}
		im.groups++
	}
	for i := range made {
		made[i].Alpha *= opacity
		if !grouped {
			made[i].Opacity = im.groups
		}
	}
}

// visible returns those of the areas that a float tells from nothing at a share
// of their opacity.
func visible(made []layering.Area, share float64) []layering.Area {
	return slices.DeleteFunc(made, func(p layering.Area) bool { return p.Alpha*share == 0 })
}

func allOf(made []layering.Area, g job.GroupID) bool {
	for i := range made {
		if made[i].Opacity != g {
			return false
		}
	}
	return true
}

// mixes reports whether see-through parts may lie over other parts, so that
// taking the topmost alone is not exact.
func mixes(made []layering.Area) bool {
	for i := range made {
		if made[i].Alpha == 1 {
			continue
		}
		if i > layering.MaxApart {
			return true
		}
		for j := range made[:i] {
			if !made[i].Bounds.Intersect(made[j].Bounds).Empty() {
				return true
			}
		}
	}
	return false
}
