package svgimport

import (
	"maps"
	"strings"
)

// maxSubstitutions bounds the uses of variables in one value, and thereby how
// often they can double each other; maxValue bounds what comes of them.
const maxSubstitutions = 64

// substituted takes the variables out of an element's declarations and puts
// their values in (CSS Custom Properties 1, 3). A declaration that asks for one
// that is not there is told and left out.
func (im *importer) substituted(n *node, st *style, decls []declaration) []declaration {
	plain := true
	for _, d := range decls {
		if strings.HasPrefix(d.name, "--") {
			if plain {
				plain, st.vars = false, maps.Clone(st.vars)
			}
			if st.vars == nil {
				st.vars = map[string]string{}
			}
			st.vars[d.name] = d.value
		}
		plain = plain && !strings.Contains(d.value, "var(")
	}
	if plain {
		return decls
	}
	out := make([]declaration, 0, len(decls))
	for _, d := range decls {
		if strings.HasPrefix(d.name, "--") {
			continue
		}
		if strings.Contains(d.value, "var(") {
			budget := maxSubstitutions
			v, ok := substitute(d.value, st.vars, &budget)
			if !ok {
				im.tell(WarnValue, n, d.name+":"+d.value, "property", shorten(d.name), "value", shorten(d.value))
				continue
			}
			d.value = v
		}
		out = append(out, d)
	}
	return out
}

// substitute replaces each var(--name, fallback); false when one has neither a
// value nor a fallback, or the budget of uses is gone.
func substitute(v string, vars map[string]string, budget *int) (string, bool) {
	for {
		from := strings.Index(v, "var(")
		if from < 0 {
			return v, len(v) <= maxValue
		}
		if *budget--; *budget < 0 || len(v) > maxValue {
			return "", false
		}
		to, depth := from+len("var("), 1
		for ; to < len(v) && depth > 0; to++ {
			switch v[to] {
			case '(':
				depth++
			case ')':
				depth--
			}
		}
		if depth > 0 {
			return "", false
		}
		name, fallback, has := strings.Cut(v[from+len("var("):to-1], ",")
		with, known := vars[strings.TrimSpace(name)]
		if !known {
			with = strings.TrimSpace(fallback)
			if !has {
				return "", false
			}
		}
		v = v[:from] + with + v[to:]
	}
}
