package svgimport

import (
	"math"
	"sort"

	"abut/geometry"
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
// with a warning where that is a simplification. False for an element that is
// no paint server.
func (im *importer) server(s *node, n *node, a area, sc *scope) (flat, bool) {
	switch s.name {
	case "linearGradient", "radialGradient":
		return im.gradient(s, n, a, sc), true
	case "pattern":
		return im.pattern(s, n, a, sc), true
	}
	return flat{}, false
}

// Gradient is what a layer's one colour is the average of. The stops are what a
// choice of bands or of another colour can start from.
type Gradient struct {
	Layer   job.LayerID
	Element string
	Line    int
	Stops   []Stop
}

// Stop is one colour of a gradient and where it stands, from 0 to 1.
type Stop struct {
	At     float64
	Colour job.Colour
	Alpha  float64
}

// ramp is one gradient of the file; shapes painted with different ones are
// different layers even when the averages agree.
type ramp struct{ stops []Stop }

// rampOf returns the gradient's ramp, always the same.
func (im *importer) rampOf(g *node, stops []stop) *ramp {
	if r := im.rampFor[g]; r != nil {
		return r
	}
	r := &ramp{}
	for _, s := range stops {
		r.stops = append(r.stops, Stop{s.at, s.colour.colour(), s.colour.a})
	}
	im.rampFor[g] = r
	return r
}

// gradient is the mean colour over the area; exact, and without a warning,
// where the gradient has one colour there.
func (im *importer) gradient(s, n *node, a area, sc *scope) flat {
	stops := im.stops(s)
	if len(stops) == 0 {
		return flat{none: true}
	}
	var m mean
	if eval, ok := im.gradientAt(s, stops, a, sc); ok {
		for _, p := range samples(a.path, a.rule) {
			m.add(eval(p))
		}
	}
	if m.n == 0 { // no area, or no geometry: the colour of the last stop (SVG 2, 14.2)
		m.add(stops[len(stops)-1].colour)
	}
	if c := m.colour(); !m.even() {
		im.warn(WarnGradient, n, "colour", c.colour().String())
		return flat{colour: c, ramp: im.rampOf(s, stops)}
	}
	return flat{colour: m.colour()}
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
			col := st.own.stopColor.colour
			if st.own.stopColor.kind == paintCurrent {
				col = st.color
			}
			col.a *= st.own.stopOpacity
			at := 0.0
			if l, ok := c.length("offset"); ok {
				at = l.v
				if l.unit == unitPercent {
					at /= 100
				}
			}
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

// gradientAt returns the gradient as a function of places in user space; false
// when its geometry is degenerate.
func (im *importer) gradientAt(g *node, stops []stop, a area, sc *scope) (func(geometry.Point) rgba, bool) {
	view := sc.view
	m := geometry.Identity()
	if v, _ := im.inChain(g, "gradientUnits"); v != "userSpaceOnUse" {
		view = viewport{1, 1}
		m = geometry.Affine{A: a.box.Width(), D: a.box.Height(), E: a.box.Min.X, F: a.box.Min.Y}
	}
	if v, ok := im.inChain(g, "gradientTransform"); ok {
		t, _ := parseTransform(v)
		m = m.Mul(t)
	}
	inv, ok := m.Invert()
	if !ok || !inv.Finite() {
		return nil, false
	}
	num := func(name string, ax axis, fallback length) float64 {
		if v, ok := im.inChain(g, name); ok {
			if l, ok := parseLength(v); ok {
				fallback = l
			}
		}
		return fallback.user(view, ax, 16)
	}
	spread, _ := im.inChain(g, "spreadMethod")
	var at func(geometry.Point) (float64, bool)
	if g.name == "linearGradient" {
		p0 := geometry.Pt(num("x1", alongX, px(0)), num("y1", alongY, px(0)))
		p1 := geometry.Pt(num("x2", alongX, length{100, unitPercent}), num("y2", alongY, px(0)))
		d := p1.Sub(p0)
		l := d.Dot(d)
		if !(l > 0) {
			return nil, false
		}
		at = func(p geometry.Point) (float64, bool) { return p.Sub(p0).Dot(d) / l, true }
	} else {
		half := length{50, unitPercent}
		c := geometry.Pt(num("cx", alongX, half), num("cy", alongY, half))
		r := num("r", diagonal, half)
		f := geometry.Pt(num("fx", alongX, px(c.X)), num("fy", alongY, px(c.Y)))
		if !(r > 0) {
			return nil, false
		}
		at = radial(f, math.Max(0, num("fr", diagonal, px(0))), c, r)
	}
	return func(p geometry.Point) rgba {
		t, ok := at(inv.Apply(p))
		if !ok {
			return rgba{}
		}
		return colourAt(stops, spreadOf(t, spread))
	}, true
}

// radial returns the parameter of the circle, between the focal one at f with
// radius fr and the one at c with radius r, that passes through a point: the
// largest whose radius is not negative (SVG 2, 14.2.3; HTML canvas' two-circle
// gradient).
func radial(f geometry.Point, fr float64, c geometry.Point, r float64) func(geometry.Point) (float64, bool) {
	d, dr := c.Sub(f), r-fr
	qa := d.Dot(d) - dr*dr
	return func(p geometry.Point) (float64, bool) {
		// |p − f − t·d| = fr + t·dr
		u := p.Sub(f)
		qb := u.Dot(d) + fr*dr
		qc := u.Dot(u) - fr*fr
		if math.Abs(qa) < 1e-12*r*r {
			if qb == 0 {
				return 0, false
			}
			t := qc / (2 * qb)
			return t, fr+t*dr >= 0
		}
		disc := qb*qb - qa*qc
		if disc < 0 {
			return 0, false
		}
		s := math.Sqrt(disc)
		t0, t1 := (qb+s)/qa, (qb-s)/qa
		if t1 > t0 {
			t0, t1 = t1, t0
		}
		if fr+t0*dr >= 0 {
			return t0, true
		}
		return t1, fr+t1*dr >= 0
	}
}

// spreadOf brings the parameter back into [0, 1].
func spreadOf(t float64, method string) float64 {
	if math.IsNaN(t) || math.IsInf(t, 0) {
		return 0
	}
	switch method {
	case "repeat":
		return t - math.Floor(t)
	case "reflect":
		t = math.Abs(math.Mod(t, 2))
		if t > 1 {
			t = 2 - t
		}
		return t
	}
	return clamp01(t)
}

// colourAt mixes the two stops around t.
func colourAt(stops []stop, t float64) rgba {
	i := sort.Search(len(stops), func(i int) bool { return stops[i].at > t })
	if i == 0 {
		return stops[0].colour
	}
	if i == len(stops) {
		return stops[i-1].colour
	}
	a, b := stops[i-1], stops[i]
	k := (t - a.at) / (b.at - a.at)
	mix := func(x, y float64) float64 { return x + (y-x)*k }
	return rgba{mix(a.colour.r, b.colour.r), mix(a.colour.g, b.colour.g), mix(a.colour.b, b.colour.b), mix(a.colour.a, b.colour.a)}
}
