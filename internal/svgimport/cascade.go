package svgimport

import (
	"sort"
	"strings"
)

// cascade returns the element's declarations in the order of rising priority:
// presentation attributes, rules by specificity and order, the style
// attribute, then the important ones of each (CSS Cascade 4, 6; SVG 2, 6.6).
func (s *styleSheet) cascade(n *node) []declaration {
	var out, important []declaration
	put := func(d declaration) {
		if d.important {
			important = append(important, d)
		} else {
			out = append(out, d)
		}
	}
	for _, a := range n.attrs {
		if presentation[a.name] {
			out = append(out, declaration{name: a.name, value: a.value})
		}
	}
	if s.count > 0 {
		for _, r := range s.matching(n) {
			for _, d := range r.decls {
				put(d)
			}
		}
	}
	if v, ok := n.attr("style"); ok {
		for _, d := range parseStyle(v) {
			put(d)
		}
	}
	return append(out, important...)
}

func (s *styleSheet) matching(n *node) []*rule {
	var hit []*rule
	try := func(rules []*rule) {
		for _, r := range rules {
			if r.selector.matches(n, &s.steps) {
				hit = append(hit, r)
				s.steps += 20 // sorting and applying it
			}
		}
	}
	try(s.rest)
	try(s.byType[n.name])
	if n.id != "" {
		try(s.byID[n.id])
	}
	if len(s.byClass) > 0 {
		if v, ok := n.attr("class"); ok {
			for _, c := range uniqueFields(v) {
				try(s.byClass[c])
			}
		}
	}
	sort.Slice(hit, func(i, j int) bool {
		if hit[i].selector.spec != hit[j].selector.spec {
			return hit[i].selector.spec < hit[j].selector.spec
		}
		return hit[i].order < hit[j].order
	})
	return hit
}

// presentation are the attributes that stand for properties (SVG 2, 6.6).
var presentation = func() map[string]bool {
	m := map[string]bool{}
	for _, p := range []string{
		"clip-path", "clip-rule", "color", "display", "fill", "fill-opacity", "fill-rule", "filter",
		"font-size", "marker-start", "marker-mid", "marker-end", "mask", "mix-blend-mode", "opacity",
		"overflow", "paint-order", "transform-origin", "transform-box", "stop-color", "stop-opacity", "stroke", "stroke-dasharray",
		"stroke-dashoffset", "stroke-linecap", "stroke-linejoin", "stroke-miterlimit",
		"stroke-opacity", "stroke-width", "vector-effect", "visibility",
		"font", "font-family", "font-weight", "font-style", "font-variant", "font-stretch", "font-kerning",
		"text-anchor", "letter-spacing", "word-spacing", "direction", "writing-mode", "text-decoration",
		"dominant-baseline", "alignment-baseline", "baseline-shift", "white-space", "mask-type",
	} {
		m[p] = true
	}
	return m
}()

// uniqueFields splits a class list, each class once.
func uniqueFields(v string) []string {
	f := strings.Fields(v)
	if len(f) < 2 {
		return f
	}
	seen := make(map[string]bool, len(f))
	out := f[:0]
	for _, c := range f {
		if !seen[c] {
			seen[c] = true
			out = append(out, c)
		}
	}
	return out
}
