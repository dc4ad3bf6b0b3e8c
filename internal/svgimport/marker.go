package svgimport

import (
	"math"

	"abut/geometry"
)

// vertex is a place for a marker with the direction of the path there.
type vertex struct {
	at    geometry.Point
	angle float64
}

// markers draws the markers on a path's vertices (SVG 2, 13.7).
func (im *importer) markers(n *node, st *style, path geometry.Path, in scope) error {
	if st.markers == [3]string{} || im.boxOnly != 0 {
		return nil
	}
	switch n.name {
	case "path", "line", "polyline", "polygon":
	default:
		return nil
	}
	var inner map[joint]bool
	if n.name == "path" {
		d, _ := st.pathData(n)
		im.parsed += len(path) // it is read again
		for i := range path {
			im.parsed += len(path[i].Segments)
		}
		if err := im.checkParsed(0); err != nil {
			return err
		}
		inner = arcJoints(d)
	}
	vs := vertices(path, inner)
	for i, v := range vs {
		// A single vertex is the start and the end.
		for kind, here := range [3]bool{i == 0, i > 0 && i < len(vs)-1, i == len(vs)-1} {
			if !here || st.markers[kind] == "" {
				continue
			}
			if err := im.marker(st.markers[kind], n, st, path, v, kind == 0, in); err != nil {
				return err
			}
		}
	}
	return nil
}

// vertices lists a path's vertices. An arc is several cubics here; inner says
// which segments end inside one, where no author put a vertex.
func vertices(path geometry.Path, inner map[joint]bool) []vertex {
	var out []vertex
	for k, c := range path {
		es := edges(c)
		if len(es) == 0 {
			out = append(out, vertex{at: c.Start})
			continue
		}
		whole := len(es) == len(c.Segments) // else indices do not match: no arc has segments of no length
		for i, e := range es {
			in := e.in
			switch {
			case i > 0:
				in = bisect(es[i-1].away, e.in)
			case c.Closed:
				in = bisect(es[len(es)-1].away, e.in)
			}
			if i > 0 && (whole || c.Closed) && inner[joint{k, i - 1}] {
				continue
			}
			out = append(out, vertex{e.from, math.Atan2(in.Y, in.X)})
		}
		last := es[len(es)-1]
		dir := last.away
		if c.Closed {
			dir = bisect(last.away, es[0].in)
		}
		out = append(out, vertex{last.seg.End, math.Atan2(dir.Y, dir.X)})
	}
	return out
}

func bisect(a, b geometry.Point) geometry.Point {
	if m, ok := unitVector(a.Add(b)); ok {
		return m
	}
	return geometry.Pt(-a.Y, a.X) // straight back: square to both
}

// orientation is how far a marker is turned at a vertex, the first of its path or not.
func orientation(mk *node, v vertex, start bool) float64 {
	switch o := mk.get("orient"); {
	case o == "auto-start-reverse" && start:
		return v.angle + math.Pi
	case o == "auto" || o == "auto-start-reverse":
		return v.angle
	default:
		sc := scanner{s: o + ")"}
		if a, ok := transformArgs(&sc); ok && len(a) == 1 {
			return a[0] * math.Pi / 180
		}
		return 0
	}
}

// marker draws one marker.
func (im *importer) marker(target string, n *node, st *style, path geometry.Path, v vertex, start bool, in scope) error {
	mk := im.lookup(target, n)
	if mk == nil || mk.name != "marker" {
		im.warn(WarnMissing, n, "target", shorten(target))
		return nil
	}
	if im.using[mk] {
		im.warn(WarnRecursive, mk)
		return nil
	}
	if err := im.visit(mk, &in); err != nil {
		return err
	}
	im.using[mk] = true
	defer delete(im.using, mk)
	im.checkLengths(mk)
	num := func(name string, ax axis, fallback float64) float64 {
		if l, ok := mk.length(name); ok {
			return l.user(in.view, ax, st.fontSize)
		}
		return fallback
	}
	w, h := num("markerWidth", alongX, 3), num("markerHeight", alongY, 3)
	if !(w > 0 && h > 0) {
		return nil
	}
	m := geometry.Translate(v.at.X, v.at.Y).Mul(geometry.Rotate(orientation(mk, v, start)))
	if mk.get("markerUnits") != "userSpaceOnUse" {
		sw := st.strokeWidth.user(in.view, diagonal, st.fontSize)
		m = m.Mul(geometry.Scale(sw, sw))
	}
	ref := geometry.Pt(num("refX", alongX, 0), num("refY", alongY, 0))
	inner := in
	inner.context = im.contextOf(n, st, func() area { return area{path, st.fillRule, in.boxOf(path)} }, in)
	inner.copied = true
	inner.view = viewport{w, h}
	box := geometry.RectXYWH(0, 0, w, h)
	fit := geometry.Identity()
	if vb, ok := parseViewBox(mk); ok {
		fit = parseAspect(mk.get("preserveAspectRatio")).fit(vb, w, h)
		ref = fit.Apply(ref)
		inner.view = viewport{vb.Width(), vb.Height()}
	}
	m = m.Mul(geometry.Translate(-ref.X, -ref.Y))
	inner.ctm = in.ctm.Mul(m).Mul(fit)
	if det := inner.ctm.Det(); det == 0 || !inner.ctm.Finite() {
		return nil
	}
	inner.style = im.styleOf(mk)
	if inner.style.own.hidden {
		return nil
	}
	if o := inner.style.own.overflow; o != "visible" && o != "auto" {
		inner.clips = withClip(in.clips, im.rectClip(box, in.ctm.Mul(m), mk))
	}
	return im.faded(mk, inner.style, func() error { return im.children(mk, inner) })
}
