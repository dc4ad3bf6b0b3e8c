package svgimport

import (
	"strings"

	"abut/geometry"
)

// style is an element's computed style: what children inherit, and own, what
// they do not.
type style struct {
	color                      rgba
	fill, stroke               paint
	fillOpacity, strokeOpacity float64
	fillRule, clipRule         geometry.FillRule
	strokeWidth                length
	join                       lineJoin
	cap                        lineCap
	miterLimit                 float64
	dashes                     []length
	dashOffset                 length
	visible                    bool
	fontSize                   float64
	font                       fontStyle
	order                      [3]stage
	markers                    [3]string // start, mid, end: ids
	vars                       map[string]string
	own                        ownStyle
}

type ownStyle struct {
	hidden      bool // display: none
	opacity     float64
	clip, mask  string // references; "" for none
	filter      bool
	blend       bool
	overflow    string
	transform   *string   // as a property; nil when not set
	moves       [3]string // translate, rotate and scale, as functions
	origin      string    // of the transform, as written
	originBox   string    // what origin refers to
	geometry    []geometryValue
	path        string // the property d, as written
	clipShape   string // clip-path by a basic shape, as written
	stopColor   paint
	stopOpacity float64
	fixedStroke bool      // vector-effect: non-scaling-stroke
	alphaMask   bool      // mask-type: alpha
	lines       textLines // text-decoration
	// baselineShift and alignment move a span of text up or down.
	baselineShift string
	alignment     string
}

// compute returns n's style under its parent's.
func (im *importer) compute(n *node, parent *style) *style {
	st := *parent
	st.own = initial.own
	decls := im.substituted(n, &st, im.sheet.cascade(n))
	for _, d := range decls { // em refers to the element's own font size
		if d.name == "font-size" || d.name == "font" {
			st.setSize(d, parent)
		}
	}
	for _, d := range decls {
		im.set(n, &st, d, parent)
	}
	return &st
}

// absolute turns em and ex into user units, since lengths inherit computed.
func (st *style) absolute(l length) length {
	if l.unit == unitEm || l.unit == unitEx {
		return px(l.user(viewport{}, alongX, st.fontSize))
	}
	return l
}

// parseDashes reads a dash array; a negative length makes it an error.
func parseDashes(v string) ([]length, bool) {
	sc := scanner{s: v}
	var out []length
	sc.spaces()
	for !sc.done() {
		l, ok := sc.length()
		if !ok || l.v < 0 || len(out) >= maxDashes {
			return nil, false
		}
		out = append(out, l)
		sc.separator()
	}
	return out, len(out) > 0
}

// reference returns what url(...) names: "#id" for this file, else the target
// as written; "" when v is no reference.
func reference(v string) string {
	target, _, ok := cutURL(v)
	if !ok {
		return ""
	}
	return target
}

// cutURL splits url(target) from what follows it.
func cutURL(v string) (target, rest string, ok bool) {
	v = strings.TrimSpace(v)
	if len(v) < 4 || !strings.EqualFold(v[:4], "url(") {
		return "", "", false
	}
	close := strings.IndexByte(v, ')')
	if close < 0 {
		return "", "", false
	}
	target = strings.Trim(strings.TrimSpace(v[4:close]), `"' `)
	return target, strings.TrimSpace(v[close+1:]), true
}
