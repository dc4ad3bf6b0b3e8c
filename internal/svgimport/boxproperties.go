package svgimport

import "strings"

func writtenTransform(st *style) **string { return &st.own.transform }

// boxProperties say where and how large an element is.
var boxProperties = append([]property{
	{"overflow", anywhere, false, "", readWord(func(st *style) *string { return &st.own.overflow }, "visible hidden scroll auto clip"), field(func(st *style) *string { return &st.own.overflow })},
	{"transform", inSheets, false, "", readTransform, field(writtenTransform)},
	{"translate", inSheets, false, "none", readMove(0, "translate", 2), takeMove(0)},
	{"rotate", inSheets, false, "none", readMove(1, "rotate", 1), takeMove(1)},
	{"scale", inSheets, false, "none", readMove(2, "scale", 2), takeMove(2)},
	{"transform-origin", anywhere, false, "", readText(func(st *style) *string { return &st.own.origin }), field(func(st *style) *string { return &st.own.origin })},
	{"transform-box", anywhere, false, "", readWord(func(st *style) *string { return &st.own.originBox }, "content-box border-box fill-box stroke-box view-box"), field(func(st *style) *string { return &st.own.originBox })},
	{"d", inSheets, false, "", readPath, field(func(st *style) *string { return &st.own.path })},
}, sizeProperties()...)

// sizeProperties are those that are lengths. An attribute of the same name is
// the element's own affair.
func sizeProperties() []property {
	var out []property
	for _, name := range strings.Fields("x y cx cy r rx ry width height") {
		signed := name == "x" || name == "y" || name == "cx" || name == "cy"
		out = append(out, property{name, inSheets, false, "", func(st *style, v value) bool { return st.readSize(name, v.low, signed) }, nothing})
	}
	return out
}

// readSize reads a length, which needs a unit here unless it is zero (CSS Values
// 4, 6): an attribute's 20 is no CSS.
func (st *style) readSize(name, v string, signed bool) bool {
	g := geometryValue{name: name}
	if v != "auto" {
		l, ok := parseLength(v)
		if !ok || l.v < 0 && !signed || l.v != 0 && l.unit == unitPx && !hasUnit(v) {
			return false
		}
		g.length, g.set = st.absolute(l), true
	}
	st.own.geometry = append(st.own.geometry, g)
	return true
}

func readText(to func(*style) *string) func(*style, value) bool {
	return func(st *style, v value) bool {
		*to(st) = v.text
		return true
	}
}

// readWord keeps one of the words of a list.
func readWord(to func(*style) *string, words string) func(*style, value) bool {
	return func(st *style, v value) bool {
		for _, w := range strings.Fields(words) {
			if v.low == w {
				*to(st) = w
				return true
			}
		}
		return false
	}
}

func readTransform(st *style, v value) bool {
	st.own.transform = &v.text // what is wrong with it is told where it is used
	return true
}

func readPath(st *style, v value) bool {
	_, ok := quotedPath(v.text)
	if ok = ok || v.low == "none"; ok {
		st.own.path = v.text
	}
	return ok
}

// readMove reads one of the properties that move an element by themselves (CSS
// Transforms 2, 5): numbers as the function of that name has them.
func readMove(i int, function string, most int) func(*style, value) bool {
	return func(st *style, v value) bool {
		if v.low == "none" {
			st.own.moves[i] = ""
			return true
		}
		words := strings.Fields(v.low)
		call := function + "(" + strings.Join(words, ",") + ")"
		if _, ok := parseTransform(call); !ok || len(words) > most {
			return false
		}
		st.own.moves[i] = call
		return true
	}
}

func takeMove(i int) func(st, from *style) {
	return func(st, from *style) { st.own.moves[i] = from.own.moves[i] }
}

// leftOutProperties would change the picture and are not carried out: what is
// listed is what they are by themselves.
var leftOutProperties = []property{
	{"clip", anywhere, false, "", unless("auto"), nothing},
	{"color-interpolation", anywhere, true, "", unless("auto", "srgb"), nothing},
	{"backdrop-filter", inSheets, false, "", unless("none"), nothing},
	{"background", inSheets | onRoot, false, "", readBackground, nothing},
	{"background-color", inSheets | onRoot, false, "", readBackground, nothing},
	{"background-image", inSheets | onRoot, false, "", unless("none"), nothing},
	{"font-feature-settings", anywhere, true, "", unless("normal"), nothing},
	{"font-variation-settings", anywhere, true, "", unless("normal"), nothing},
	{"font-size-adjust", anywhere, true, "", unless("none"), nothing},
	{"font-variant-ligatures", anywhere, true, "", unless("normal", "common-ligatures"), nothing},
	{"font-variant-numeric", anywhere, true, "", unless("normal"), nothing},
	{"font-variant-position", anywhere, true, "", unless("normal"), nothing},
	{"font-variant-east-asian", anywhere, true, "", unless("normal"), nothing},
	{"glyph-orientation-vertical", anywhere, true, "", unless("auto", "0", "0deg"), nothing},
	{"glyph-orientation-horizontal", anywhere, true, "", unless("auto", "0", "0deg"), nothing},
	{"text-orientation", anywhere, true, "", unless("mixed"), nothing},
	{"text-shadow", inSheets, true, "", unless("none"), nothing},
	{"text-decoration-style", inSheets, false, "", unless("solid"), nothing},
	{"text-decoration-thickness", inSheets, false, "", unless("auto", "from-font"), nothing},
	{"text-underline-offset", inSheets, true, "", unless("auto"), nothing},
	{"shape-inside", inSheets, false, "", unless("auto"), nothing},
	{"shape-subtract", inSheets, false, "", unless("none"), nothing},
	{"inline-size", inSheets, false, "", unless("auto", "0"), nothing},
	{"mask-image", inSheets, false, "", unless("none"), nothing},
	{"animation", inSheets, false, "", unless("none"), nothing},
	{"animation-name", inSheets, false, "", unless("none"), nothing},
	{"offset-path", inSheets, false, "", unless("none"), nothing},
	{"perspective", inSheets, false, "", unless("none"), nothing},
	{"zoom", inSheets, false, "", unless("1", "normal", "100%"), nothing},
	{"content-visibility", inSheets, false, "", unless("visible", "auto"), nothing},
}

// readBackground: what no colour shows through of is there only to be cleared.
func readBackground(_ *style, v value) bool {
	c, ok := parseColour(v.text, v.parent.color)
	return v.low == "none" || ok && c.a == 0
}
