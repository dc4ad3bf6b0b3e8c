package svgimport

import (
	"math"
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/gradient"
	"abut/internal/job"
)

// area is what a paint server has to paint: a path in user space, and the
// bounding box of the element's fill, which units may refer to.
type area struct {
	path geometry.Path
	rule geometry.FillRule
	box  geometry.Rect
}

// server returns the flat colour that a paint server comes to over an area,
// with a warning where that is a simplification; or the id of the warning that
// says why it paints nothing.
func (im *importer) server(s *node, n *node, a area, sc *scope) (f flat, why string) {
	im.checkLengths(s)
	switch s.name {
	case "linearGradient", "radialGradient":
		return im.gradient(s, n, a, sc)
	case "pattern":
		return im.pattern(s, n, a, sc)
	}
	return flat{}, WarnPaint
}

// flatBox reports whether a box has no width or no height, so that nothing can
// be measured by it (SVG 2, 8.11).
func flatBox(r geometry.Rect) bool { return !(r.Width() > 0 && r.Height() > 0) }

// ramp is a gradient that a colour is the mean of.
type ramp struct {
	// of is its element: shapes painted with different ones are different layers
	// even when the means agree.
	of *node
	*gradient.Gradient
	// flat: it is nothing but flat stripes, and they become layers.
	flat bool
}

// maxStripes bounds the stripes of all shapes together; past it a gradient of
// stripes is treated like any other.
const maxStripes = 20_000

// gradient is the mean colour over the area; exact, and without a warning,
// where the gradient has one colour there, or is flat stripes that can be cut
// as such.
func (im *importer) gradient(s, n *node, a area, sc *scope) (f flat, why string) {
	stops := im.stops(s)
	if len(stops) == 0 {
		return f, WarnNoPaint
	}
	if v, _ := im.inChain(s, "gradientUnits"); v != "userSpaceOnUse" && flatBox(a.box) {
		return f, WarnNoRoom
	}
	g := im.readGradient(s, stops, a, sc)
	m := im.meanOf(g, stops, a)
	c := m.colour()
	if c.a == 0 && slices.ContainsFunc(stops, func(s stop) bool { return s.colour.a > 0 }) {
		return f, WarnNoPaint // all of the area lies where the gradient does not reach
	}
	if m.even() || c.a == 0 {
		return flat{colour: c}, ""
	}
	g.Mean, g.MeanAlpha, g.Map = c.colour(), c.a, sc.ctm.Mul(g.Map)
	if !g.Sound() {
		g = nil
	}
	r := ramp{of: s, Gradient: g}
	if g != nil && im.stripes < maxStripes && striped(g, a.path.Transform(sc.ctm).Bounds()) {
		r.flat = true
		im.stripes += len(g.Stops)
	} else {
		im.warn(WarnGradient, n, "colour", c.colour().String())
	}
	return flat{colour: c, ramp: r}, ""
}

// meanOf is what a gradient's colours over an area come to.
func (im *importer) meanOf(g *gradient.Gradient, stops []stop, a area) (m mean) {
	if along := g.Along(); along != nil {
		lines := sampleLines
		if im.sampled++; im.sampled > finelySampled {
			lines = coarseLines
		}
		for _, p := range a.path.Samples(a.rule, lines) {
			if t, ok := along(p); ok {
				m.add(rgbaOf(g.At(t)))
			} else {
				m.add(rgba{})
			}
		}
	}
	switch {
	case m.n > 0:
	case g.Spread != gradient.Pad && !g.Radial && g.From == g.To:
		// Browsers and other libraries repeat what has no extent so often that only
		// its average is left.
		for i := range sampleLines {
			m.add(rgbaOf(g.At((float64(i) + 0.5) / sampleLines)))
		}
	default: // no area, or no geometry: the colour of the last stop (SVG 2, 14.2)
		m.add(stops[len(stops)-1].colour)
	}
	return m
}

// striped reports whether a gradient over a shape with these bounds is nothing
// but flat stripes, few enough to be layers.
func striped(g *gradient.Gradient, bounds geometry.Rect) bool {
	n, ok := g.FlatStripes()
	return ok && n <= job.MaxBands && g.Bandable(bounds)
}

// inChain returns the attribute from the gradient or pattern or, when it has
// none, from those that its href names in turn.
func (im *importer) inChain(n *node, name string) (string, bool) {
	for hops := 0; n != nil && hops < maxChain; hops++ {
		if v, ok := n.attr(name); ok {
			return v, true
		}
		n = im.next(n)
	}
	return "", false
}

// maxChain bounds how many gradients may refer to each other in turn.
const maxChain = 32

// next is what a gradient or pattern takes over attributes from.
func (im *importer) next(n *node) *node {
	id, inside := n.href()
	if !inside || id == "" {
		return nil
	}
	return im.doc.byID[id]
}

// rgbaOf returns a gradient's colour as paint.
func rgbaOf(t gradient.Tint) rgba { return rgba{t.R / 255, t.G / 255, t.B / 255, t.Alpha} }

// stop is one colour of a gradient.
type stop struct {
	at     float64
	colour rgba
}

// stops reads a gradient's stops, its own or those of the first in its chain
// that has any.
func (im *importer) stops(g *node) []stop {
	for hops := 0; g != nil && hops < maxChain; hops++ {
		var out []stop
		last := 0.0
		for _, c := range g.children {
			if c.name != "stop" {
				continue
			}
			st := im.styleOf(c)
			col, _ := st.own.stopColor.flatColour(st.color)
			col.a *= st.own.stopOpacity
			im.checkLengths(c)
			v, _ := c.attr("offset")
			at, _ := stopOffset(v)
			last = math.Max(last, clamp01(at))
			out = append(out, stop{last, col})
		}
		if len(out) > 0 {
			return out
		}
		g = im.next(g)
	}
	return nil
}

// stopOffset reads where a stop stands; 0 and false for what is neither a number
// nor a percentage.
func stopOffset(v string) (float64, bool) {
	l, ok := parseLength(v)
	switch {
	case !ok || l.unit != unitPx && l.unit != unitPercent || hasUnit(strings.TrimSpace(v)):
		return 0, false
	case l.unit == unitPercent:
		return l.v / 100, true
	}
	return l.v, true
}

// readGradient returns a gradient whose Map leads to user space; without extent
// where its geometry is degenerate.
func (im *importer) readGradient(g *node, stops []stop, a area, sc *scope) *gradient.Gradient {
	view := sc.view
	out := &gradient.Gradient{Map: geometry.Identity(), Radial: g.name == "radialGradient"}
	for _, s := range stops {
		out.Stops = append(out.Stops, gradient.Stop{At: s.at, Colour: s.colour.colour(), Alpha: s.colour.a})
	}
	if v, _ := im.inChain(g, "gradientUnits"); v != "userSpaceOnUse" {
		view = viewport{1, 1}
		out.Map = geometry.Affine{A: a.box.Width(), D: a.box.Height(), E: a.box.Min.X, F: a.box.Min.Y}
	}
	if v, ok := im.inChain(g, "gradientTransform"); ok {
		t, _ := parseTransform(v)
		out.Map = out.Map.Mul(t)
	}
	num := func(name string, ax axis, fallback length) float64 {
		if v, ok := im.inChain(g, name); ok {
			if l, ok := parseLength(v); ok {
				fallback = l
			}
		}
		return fallback.user(view, ax, 16)
	}
	switch v, _ := im.inChain(g, "spreadMethod"); v {
	case "repeat":
		out.Spread = gradient.Repeat
	case "reflect":
		out.Spread = gradient.Reflect
	}
	if !out.Radial {
		out.From = geometry.Pt(num("x1", alongX, px(0)), num("y1", alongY, px(0)))
		out.To = geometry.Pt(num("x2", alongX, length{100, unitPercent}), num("y2", alongY, px(0)))
		return out
	}
	half := length{50, unitPercent}
	out.To = geometry.Pt(num("cx", alongX, half), num("cy", alongY, half))
	out.ToR = num("r", diagonal, half)
	out.From = geometry.Pt(num("fx", alongX, px(out.To.X)), num("fy", alongY, px(out.To.Y)))
	out.FromR = math.Max(0, num("fr", diagonal, px(0)))
	return out
}
