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
	strokeFirst                bool
	markers                    [3]string // start, mid, end: ids
	own                        ownStyle
}

type ownStyle struct {
	hidden      bool // display: none
	opacity     float64
	clip, mask  string // references; "" for none
	filter      bool
	blend       bool
	overflow    string
	transform   *string // as a property; nil when not set
	origin      string  // of the transform, as written
	originBox   string  // what origin refers to
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

func initialStyle() *style {
	return &style{
		color: black, fill: paint{kind: paintColour, colour: black}, fillOpacity: 1, strokeOpacity: 1,
		strokeWidth: px(1), miterLimit: 4, visible: true, fontSize: 16, own: initialOwn(),
	}
}

func initialOwn() ownStyle {
	return ownStyle{opacity: 1, stopOpacity: 1, stopColor: paint{kind: paintColour, colour: black}}
}

// compute returns n's style under its parent's.
func (im *importer) compute(n *node, parent *style) *style {
	st := *parent
	st.own = initialOwn()
	decls := im.sheet.cascade(n)
	for _, d := range decls { // em refers to the element's own font size
		if d.name == "font-size" || d.name == "font" {
			st.setSize(d.name, d.value, parent)
		}
	}
	for _, d := range decls {
		if d.name != "font-size" {
			st.set(d.name, d.value, parent)
		}
	}
	return &st
}

// set applies one declaration. A value that makes no sense leaves what was
// there, as CSS asks.
func (st *style) set(name, value string, parent *style) {
	v := strings.TrimSpace(value)
	low := strings.ToLower(v)
	switch low {
	case "inherit":
		st.copyFrom(name, parent)
		return
	case "initial":
		st.copyFrom(name, initialStyle())
		return
	case "unset", "revert", "revert-layer":
		if !notInherited[name] {
			st.copyFrom(name, parent)
		} else {
			st.copyFrom(name, initialStyle())
		}
		return
	}
	switch name {
	case "color":
		if low == "currentcolor" {
			st.color = parent.color
		} else if c, ok := parseColour(v); ok {
			st.color = c
		}
	case "fill":
		setPaint(&st.fill, v)
	case "stroke":
		setPaint(&st.stroke, v)
	case "stop-color":
		setPaint(&st.own.stopColor, v)
	case "fill-opacity":
		setOpacity(&st.fillOpacity, v)
	case "stroke-opacity":
		setOpacity(&st.strokeOpacity, v)
	case "stop-opacity":
		setOpacity(&st.own.stopOpacity, v)
	case "opacity":
		setOpacity(&st.own.opacity, v)
	case "fill-rule":
		setRule(&st.fillRule, low)
	case "clip-rule":
		setRule(&st.clipRule, low)
	case "visibility":
		switch low {
		case "visible":
			st.visible = true
		case "hidden", "collapse":
			st.visible = false
		}
	case "display":
		st.own.hidden = low == "none"
	case "overflow":
		st.own.overflow = low
	case "clip-path":
		st.own.clip = reference(v)
		st.own.clipShape = ""
		if st.own.clip == "" && low != "none" {
			st.own.clipShape = v
		}
	case "mask":
		st.own.mask = reference(v)
	case "mask-type":
		st.own.alphaMask = low == "alpha"
	case "filter":
		st.own.filter = low != "none"
	case "mix-blend-mode":
		st.own.blend = low != "normal"
	case "transform":
		st.own.transform = &v
	case "marker":
		st.markers = [3]string{reference(v), reference(v), reference(v)}
	case "marker-start":
		st.markers[0] = reference(v)
	case "marker-mid":
		st.markers[1] = reference(v)
	case "marker-end":
		st.markers[2] = reference(v)
	case "paint-order":
		f := strings.Fields(low)
		st.strokeFirst = strokeBeforeFill(f)
	case "vector-effect":
		st.own.fixedStroke = low == "non-scaling-stroke"
	default:
		if !st.setFont(name, v, parent) && !st.setGeometry(name, v) {
			st.setStroke(name, low)
		}
	}
}

func (st *style) setStroke(name, v string) {
	switch name {
	case "stroke-width":
		if l, ok := parseLength(v); ok && l.v >= 0 {
			st.strokeWidth = st.absolute(l)
		}
	case "stroke-linejoin":
		switch v {
		case "miter", "miter-clip", "arcs":
			st.join = joinMiter
		case "round":
			st.join = joinRound
		case "bevel":
			st.join = joinBevel
		}
	case "stroke-linecap":
		switch v {
		case "butt":
			st.cap = capButt
		case "round":
			st.cap = capRound
		case "square":
			st.cap = capSquare
		}
	case "stroke-miterlimit":
		if l, ok := numberList(v); ok && len(l) == 1 && l[0] >= 1 {
			st.miterLimit = l[0]
		}
	case "stroke-dashoffset":
		if l, ok := parseLength(v); ok {
			st.dashOffset = st.absolute(l)
		}
	case "stroke-dasharray":
		if v == "none" {
			st.dashes = nil
		} else if d, ok := parseDashes(v); ok {
			for i := range d {
				d[i] = st.absolute(d[i])
			}
			st.dashes = d
		}
	}
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

// strokeBeforeFill reads paint-order: what is not named follows in the usual
// order (SVG 2, 13.8).
func strokeBeforeFill(f []string) bool {
	for _, w := range f {
		switch w {
		case "fill", "normal":
			return false
		case "stroke":
			return true
		}
	}
	return false
}

func setOpacity(to *float64, v string) {
	if l, ok := parseLength(v); ok && (l.unit == unitPx || l.unit == unitPercent) {
		if l.unit == unitPercent {
			l.v /= 100
		}
		*to = clamp01(l.v)
	}
}

func setRule(to *geometry.FillRule, v string) {
	switch v {
	case "nonzero":
		*to = geometry.NonZero
	case "evenodd":
		*to = geometry.EvenOdd
	}
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
