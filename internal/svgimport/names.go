package svgimport

import (
	"slices"
	"strings"
)

// label is the name that people gave the element: its title, its editor
// label, or an id that looks chosen. "" when it has none.
func (n *node) label() string {
	if t := n.title(); t != "" && len(t) <= 60 {
		return t
	}
	if l := n.get(editorLabel); l != "" {
		return l
	}
	if chosen(n.id) {
		return strings.Join(strings.FieldsFunc(n.id, func(r rune) bool { return r == '_' || r == '-' || r == ' ' }), " ")
	}
	return ""
}

// generated are what drawing programs make ids from when nobody names things.
var generated = []string{
	"path", "g", "group", "rect", "circle", "ellipse", "polygon", "polyline", "line", "use",
	"layer", "shape", "xmlid", "clip", "image", "text", "object", "element", "compound", "vector", "id",
	"artboard", "page", "symbol", "mask", "fill", "stroke", "icon",
}

// counted are what programs make ids from with a number behind them; without one a person may have chosen them.
var counted = []string{
	"glyph", "surface", "figure", "patch", "axes", "legend", "xtick", "ytick", "frame", "rectangle", "oval", "union", "subtract", "combined",
	"bitmap", "slide", "container", "node", "edge", "graph", "cluster", "ebene", "calque", "capa", "livello", "laag", "warstwa",
}

// chosen reports whether an id looks like a name: a word of three letters or
// more that is none of the usual generated ones.
func chosen(id string) bool {
	word := strings.ToLower(strings.TrimFunc(id, func(r rune) bool { return r < 'A' || r > 'z' || r > 'Z' && r < 'a' }))
	if len(word) < 3 || len(id) > 40 {
		return false
	}
	if strings.ContainsAny(word, "0123456789") {
		return false // mixed letters and digits: a hash or a counter
	}
	parts := strings.FieldsFunc(word, func(r rune) bool { return r == '-' || r == '_' || r == ' ' })
	number := strings.ContainsAny(id, "0123456789")
	return slices.ContainsFunc(parts, func(p string) bool {
		// Icon sets make ids of svg and any letters, so that they differ when many stand on one page.
		return len(p) >= 3 && !strings.HasPrefix(p, "svg") && !slices.Contains(generated, p) && !(number && slices.Contains(counted, p))
	})
}
