package svgimport

import "strings"

// role is what becomes of an element where it stands among drawn ones.
type role uint8

const (
	unknown    role = iota // nothing is known of it: left out, and told
	drawn                  // it is drawn
	definition             // it is drawn where something refers to it
	silent                 // it says nothing that is seen
	animating              // it would move
	running                // it would do something
)

// elementKind is a row of the table of elements: the role, and the attributes
// that have to be lengths. Of those in small letters none may be below zero
// besides places, which are told by their names.
type elementKind struct {
	role
	lengths string
}

var elements = func() map[string]elementKind {
	m := map[string]elementKind{
		"g": {drawn, ""}, "a": {drawn, ""}, "switch": {drawn, ""}, "svg": {drawn, "x y width height"}, "use": {drawn, "x y width height"},
		"path": {drawn, "pathLength"}, "rect": {drawn, "x y width height rx ry"}, "circle": {drawn, "cx cy r"}, "ellipse": {drawn, "cx cy rx ry"},
		"line": {drawn, "x1 y1 x2 y2"}, "polyline": {drawn, ""}, "polygon": {drawn, ""}, "text": {drawn, "textLength"}, "image": {drawn, "x y width height"},
		"foreignObject": {drawn, ""}, "tspan": {unknown, "textLength"}, "textPath": {unknown, "startOffset textLength"},
		"symbol": {definition, "x y width height"}, "marker": {definition, "refX refY markerWidth markerHeight"}, "clipPath": {definition, ""},
		"mask": {definition, "x y width height"}, "pattern": {definition, "x y width height"},
		"linearGradient": {definition, "x1 y1 x2 y2"}, "radialGradient": {definition, "cx cy r fx fy fr"}, "stop": {definition, "offset"},
		"script": {running, ""},
	}
	for role, names := range map[role]string{
		definition: "defs filter font font-face glyph missing-glyph hkern vkern color-profile cursor view hatch meshgradient solidcolor solidColor",
		silent:     "title desc metadata style mpath",
		animating:  "animate animateTransform animateMotion animateColor set discard",
	} {
		for _, n := range strings.Fields(names) {
			m[n] = elementKind{role: role}
		}
	}
	return m
}()

// checkShares tells of lengths of what is drawn that are shares of a page without size: they come to nothing.
func (im *importer) checkShares(n *node, page viewport) {
	if page != (viewport{}) || elements[n.name].role != drawn || im.quiet > 0 {
		return
	}
	for _, name := range strings.Fields(elements[n.name].lengths) {
		v, _ := n.attr(name)
		if l, ok := parseLength(v); ok && l.unit == unitPercent && l.v != 0 && name != "startOffset" {
			im.tell(WarnValue, n, name+"="+v, "property", name, "value", shorten(v))
		}
	}
}

// checkLengths tells of attributes that should be lengths and cannot be read as
// such, once for each element.
func (im *importer) checkLengths(n *node) {
	if n.checked || im.quiet > 0 {
		return
	}
	n.checked = true
	for _, name := range strings.Fields(elements[n.name].lengths) {
		if v, has := n.attr(name); has && !lengthOf(name, v) {
			im.tell(WarnValue, n, name+"="+v, "property", name, "value", shorten(v))
		}
	}
	im.checkViewBox(n)
}

// lengthOf reports whether an attribute of this name can have this value.
func lengthOf(name, v string) bool {
	switch name {
	case "offset":
		_, ok := stopOffset(v)
		return ok
	case "rx", "ry", "width", "height":
		if strings.TrimSpace(v) == "auto" {
			return true
		}
	}
	l, ok := parseLength(v)
	return ok && !(l.v < 0 && sized(name))
}

func (im *importer) checkViewBox(n *node) {
	switch v, has := n.attr("viewBox"); n.name {
	case "svg", "symbol", "marker", "pattern":
		if _, ok := parseViewBox(n); has && !ok {
			im.tell(WarnValue, n, "viewBox="+v, "property", "viewBox", "value", shorten(v))
		}
	}
}

// sized reports whether a length says how large something is, and not where.
func sized(name string) bool {
	switch name {
	case "width", "height", "r", "rx", "ry", "fr", "markerWidth", "markerHeight", "textLength", "pathLength":
		return true
	}
	return false
}

// passes reports whether an element is meant for whoever looks (SVG 2, 5.9): in
// English, by a program without extensions.
func (n *node) passes() bool {
	if v, ok := n.attr("requiredExtensions"); ok && strings.TrimSpace(v) != "" {
		return false
	}
	v, ok := n.attr("systemLanguage")
	if !ok {
		return true
	}
	for _, l := range strings.Split(v, ",") {
		l = strings.ToLower(strings.TrimSpace(l))
		if l == "en" || strings.HasPrefix(l, "en-") {
			return true
		}
	}
	return false
}
