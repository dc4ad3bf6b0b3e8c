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
		if p := properties[a.name]; p != nil && p.where&asAttribute != 0 {
			out = append(out, declaration{name: a.name, value: a.value, property: p})
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
