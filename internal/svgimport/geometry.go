package svgimport

import (
	"cmp"
	"strings"

	"abut/geometry"
)

// geometryValue is a geometry property from a style sheet or style attribute
// (SVG 2, 7): it beats the attribute of that name. There is no length when the
// value is auto.
type geometryValue struct {
	name string
	length
	set bool
}

// hasUnit reports whether a length in pixels says so.
func hasUnit(v string) bool { return len(v) > 2 && strings.EqualFold(v[len(v)-2:], "px") }

// size returns a geometry property of the element: from its style if it is
// there, else from its attribute. False when it is missing or auto.
func (st *style) size(n *node, name string) (length, bool) {
	for i := len(st.own.geometry) - 1; i >= 0; i-- {
		if g := st.own.geometry[i]; g.name == name {
			return g.length, g.set
		}
	}
	return n.length(name)
}

// pathData returns the path data of a path element.
func (st *style) pathData(n *node) (string, bool) {
	if v := st.own.path; v != "" {
		if strings.EqualFold(v, "none") {
			return "", false
		}
		if d, ok := quotedPath(v); ok {
			return d, true
		}
	}
	return n.attr("d")
}

// quotedPath reads path("…").
func quotedPath(v string) (string, bool) {
	if len(v) < 6 || !strings.EqualFold(v[:5], "path(") || v[len(v)-1] != ')' {
		return "", false
	}
	v = strings.TrimSpace(v[5 : len(v)-1])
	if len(v) < 2 || v[0] != v[len(v)-1] || v[0] != '"' && v[0] != '\'' {
		return "", false
	}
	return v[1 : len(v)-1], true
}

// transform returns the element's transform with its origin moved to where
// transform-origin says (CSS Transforms 1, 7). in is the scope around the
// element.
func (im *importer) transform(n *node, st *style, in scope) (geometry.Affine, bool) {
	m, ok := geometry.Identity(), true
	if st.own.transform != nil {
		m, ok = parseTransform(*st.own.transform)
	} else if v, has := n.attr("transform"); has {
		m, ok = parseTransform(v)
	}
	for i := len(st.own.moves) - 1; i >= 0; i-- { // translate comes first, the transform last
		if v := st.own.moves[i]; v != "" {
			by, _ := parseTransform(v) // it has been read before
			m = by.Mul(m)
		}
	}
	if m == geometry.Identity() {
		return m, ok
	}
	box := geometry.RectXYWH(0, 0, in.view.w, in.view.h)
	in.style = st
	switch st.own.originBox {
	case "fill-box", "content-box":
		box = im.userBounds(n, in)
	case "stroke-box", "border-box":
		box = im.strokeBounds(n, in)
	}
	at, good := position(strings.Fields(cmp.Or(st.own.origin, "0 0")), box, st.fontSize)
	if !good || !at.Finite() {
		return m, ok
	}
	return geometry.Translate(at.X, at.Y).Mul(m).Mul(geometry.Translate(-at.X, -at.Y)), ok
}

// position reads one to four words that name a place in a box: lengths, shares
// of the box, sides (CSS Values 4, <position>). A third word that is a length is
// a depth, which means nothing here.
func position(words []string, box geometry.Rect, fontSize float64) (geometry.Point, bool) {
	view := viewport{box.Width(), box.Height()}
	words = append([]string{}, words...)
	for i := range words {
		words[i] = strings.ToLower(words[i])
	}
	switch len(words) {
	case 1:
		words = append(words, "center")
	case 2, 3:
	case 4:
		at, ok := fromSides(words, view, fontSize)
		return box.Min.Add(at), ok
	default:
		return geometry.Point{}, false
	}
	if upright(words[0]) || words[1] == "left" || words[1] == "right" {
		words[0], words[1] = words[1], words[0]
	}
	x, okx := sideOrLength(words[0])
	y, oky := sideOrLength(words[1])
	return box.Min.Add(geometry.Pt(x.user(view, alongX, fontSize), y.user(view, alongY, fontSize))), okx && oky
}

// upright reports whether a word names a side across the height.
func upright(w string) bool { return w == "top" || w == "bottom" }

// sideOrLength reads a side as its share of the way from left or top, or a length.
func sideOrLength(w string) (length, bool) {
	share := map[string]float64{"left": 0, "top": 0, "center": 50, "right": 100, "bottom": 100}
	if s, ok := share[w]; ok {
		return length{s, unitPercent}, true
	}
	return parseLength(w)
}

// fromSides reads side and distance, twice.
func fromSides(words []string, view viewport, fontSize float64) (geometry.Point, bool) {
	if upright(words[0]) {
		words = []string{words[2], words[3], words[0], words[1]}
	}
	x, okx := parseLength(words[1])
	y, oky := parseLength(words[3])
	if !okx || !oky {
		return geometry.Point{}, false
	}
	p := geometry.Pt(x.user(view, alongX, fontSize), y.user(view, alongY, fontSize))
	if words[0] == "right" {
		p.X = view.w - p.X
	}
	if words[2] == "bottom" {
		p.Y = view.h - p.Y
	}
	return p, true
}
