package svgimport

import (
	"slices"
	"strings"

	"abut/geometry"
)

func fillOf(st *style) *paint          { return &st.fill }
func strokeOf(st *style) *paint        { return &st.stroke }
func stopColourOf(st *style) *paint    { return &st.own.stopColor }
func fillOpacityOf(st *style) *float64 { return &st.fillOpacity }
func strokeOpacityOf(st *style) *float64 {
	return &st.strokeOpacity
}
func stopOpacityOf(st *style) *float64        { return &st.own.stopOpacity }
func opacityOf(st *style) *float64            { return &st.own.opacity }
func fillRuleOf(st *style) *geometry.FillRule { return &st.fillRule }
func clipRuleOf(st *style) *geometry.FillRule { return &st.clipRule }
func visibleOf(st *style) *bool               { return &st.visible }

var rules = map[string]geometry.FillRule{"nonzero": geometry.NonZero, "evenodd": geometry.EvenOdd}

// paintProperties are colours and what is seen at all.
var paintProperties = []property{
	{"color", anywhere, true, "black", readColor, field(func(st *style) *rgba { return &st.color })},
	{"fill", anywhere, true, "black", readPaint(fillOf), field(fillOf)},
	{"stroke", anywhere, true, "none", readPaint(strokeOf), field(strokeOf)},
	{"stop-color", anywhere, false, "black", readStopColour, field(stopColourOf)},
	{"fill-opacity", anywhere, true, "1", readOpacity(fillOpacityOf), field(fillOpacityOf)},
	{"stroke-opacity", anywhere, true, "1", readOpacity(strokeOpacityOf), field(strokeOpacityOf)},
	{"stop-opacity", anywhere, false, "1", readOpacity(stopOpacityOf), field(stopOpacityOf)},
	{"opacity", anywhere, false, "1", readOpacity(opacityOf), field(opacityOf)},
	{"fill-rule", anywhere, true, "nonzero", oneOf(fillRuleOf, rules), field(fillRuleOf)},
	{"clip-rule", anywhere, true, "nonzero", oneOf(clipRuleOf, rules), field(clipRuleOf)},
	{"visibility", anywhere, true, "visible", oneOf(visibleOf, map[string]bool{"visible": true, "hidden": false, "collapse": false}), field(visibleOf)},
	{"display", anywhere, false, "inline", readDisplay, field(func(st *style) *bool { return &st.own.hidden })},
	{"paint-order", anywhere, true, "normal", readPaintOrder, field(func(st *style) *[3]stage { return &st.order })},
}

func readColor(st *style, v value) bool {
	if v.low == "currentcolor" {
		st.color = v.parent.color
		return true
	}
	c, ok := parseColour(v.text, v.parent.color)
	if ok {
		st.color = c
	}
	return ok
}

func readPaint(to func(*style) *paint) func(*style, value) bool {
	return func(st *style, v value) bool {
		p, ok := parsePaint(v.text)
		if ok {
			*to(st) = p
		}
		return ok
	}
}

// readStopColour reads a colour: a stop has no other paint.
func readStopColour(st *style, v value) bool {
	p, ok := parsePaint(v.text)
	if _, flat := p.flatColour(black); !ok || !flat {
		return false
	}
	st.own.stopColor = p
	return true
}

func readOpacity(to func(*style) *float64) func(*style, value) bool {
	return func(st *style, v value) bool {
		l, ok := parseLength(v.text)
		switch {
		case !ok || l.unit != unitPx && l.unit != unitPercent || hasUnit(v.text):
			return false
		case l.unit == unitPercent:
			l.v /= 100
		}
		*to(st) = clamp01(l.v)
		return true
	}
}

func readDisplay(st *style, v value) bool {
	st.own.hidden = v.low == "none"
	return true
}

// stage is a part of a shape that is painted by itself.
type stage uint8

const (
	stageFill stage = iota
	stageStroke
	stageMarkers
)

// readPaintOrder reads which stages come first; what is not named follows in
// the usual order (SVG 2, 13.8).
func readPaintOrder(st *style, v value) bool {
	usual := []stage{stageFill, stageStroke, stageMarkers}
	var order []stage
	if v.low != "normal" {
		for _, w := range strings.Fields(v.low) {
			i := slices.Index([]string{"fill", "stroke", "markers"}, w)
			if i < 0 || slices.Contains(order, stage(i)) {
				return false
			}
			order = append(order, stage(i))
		}
	}
	for _, s := range usual {
		if !slices.Contains(order, s) {
			order = append(order, s)
		}
	}
	st.order = [3]stage(order)
	return true
}

func widthOf(st *style) *length       { return &st.strokeWidth }
func joinOf(st *style) *lineJoin      { return &st.join }
func capOf(st *style) *lineCap        { return &st.cap }
func dashesOf(st *style) *[]length    { return &st.dashes }
func dashOffsetOf(st *style) *length  { return &st.dashOffset }
func miterLimitOf(st *style) *float64 { return &st.miterLimit }
func fixedOf(st *style) *bool         { return &st.own.fixedStroke }

// strokeProperties say how lines are drawn.
var strokeProperties = []property{
	{"stroke-width", anywhere, true, "1", readStrokeWidth, field(widthOf)},
	{"stroke-linejoin", anywhere, true, "miter", readJoin, field(joinOf)},
	{"stroke-linecap", anywhere, true, "butt", oneOf(capOf, map[string]lineCap{"butt": capButt, "round": capRound, "square": capSquare}), field(capOf)},
	{"stroke-miterlimit", anywhere, true, "4", readMiterLimit, field(miterLimitOf)},
	{"stroke-dasharray", anywhere, true, "none", readDashes, field(dashesOf)},
	{"stroke-dashoffset", anywhere, true, "0", readDashOffset, field(dashOffsetOf)},
	{"vector-effect", anywhere, false, "none", oneOf(fixedOf, map[string]bool{"none": false, "non-scaling-stroke": true}), field(fixedOf)},
	{"marker", inSheets, true, "", readMarker(0, 1, 2), field(func(st *style) *[3]string { return &st.markers })},
	{"marker-start", anywhere, true, "none", readMarker(0), takeMarker(0)},
	{"marker-mid", anywhere, true, "none", readMarker(1), takeMarker(1)},
	{"marker-end", anywhere, true, "none", readMarker(2), takeMarker(2)},
}

func readStrokeWidth(st *style, v value) bool {
	l, ok := parseLength(v.low)
	if ok = ok && l.v >= 0; ok {
		st.strokeWidth = st.absolute(l)
	}
	return ok
}

// readJoin draws the joins of SVG 2 that hardly anything draws as the plain one
// that they fall back to, and has it told.
func readJoin(st *style, v value) bool {
	switch v.low {
	case "miter":
		st.join = joinMiter
	case "miter-clip", "arcs":
		st.join = joinMiter
		return false
	case "round":
		st.join = joinRound
	case "bevel":
		st.join = joinBevel
	default:
		return false
	}
	return true
}

func readMiterLimit(st *style, v value) bool {
	l, ok := numberList(v.low)
	if ok = ok && len(l) == 1 && l[0] >= 1; ok {
		st.miterLimit = l[0]
	}
	return ok
}

func readDashes(st *style, v value) bool {
	if v.low == "none" {
		st.dashes = nil
		return true
	}
	d, ok := parseDashes(v.low)
	if ok {
		for i := range d {
			d[i] = st.absolute(d[i])
		}
		st.dashes = d
	}
	return ok
}

func readDashOffset(st *style, v value) bool {
	l, ok := parseLength(v.low)
	if ok {
		st.dashOffset = st.absolute(l)
	}
	return ok
}

func readMarker(which ...int) func(*style, value) bool {
	return func(st *style, v value) bool {
		target := reference(v.text)
		if target == "" && v.low != "none" {
			return false
		}
		for _, i := range which {
			st.markers[i] = target
		}
		return true
	}
}

func takeMarker(i int) func(st, from *style) {
	return func(st, from *style) { st.markers[i] = from.markers[i] }
}

func maskOf(st *style) *string    { return &st.own.mask }
func filterOf(st *style) *bool    { return &st.own.filter }
func blendOf(st *style) *bool     { return &st.own.blend }
func alphaMaskOf(st *style) *bool { return &st.own.alphaMask }

// effectProperties hide parts of what is drawn, or would change how it looks.
var effectProperties = []property{
	{"clip-path", anywhere, false, "none", readClipPath, func(st, from *style) { st.own.clip, st.own.clipShape = from.own.clip, from.own.clipShape }},
	{"mask", anywhere, false, "none", readMask, field(maskOf)},
	{"mask-type", anywhere, false, "luminance", oneOf(alphaMaskOf, map[string]bool{"luminance": false, "alpha": true}), field(alphaMaskOf)},
	{"filter", anywhere, false, "none", flag(filterOf, "none"), field(filterOf)},
	{"mix-blend-mode", anywhere, false, "normal", flag(blendOf, "normal"), field(blendOf)},
}

// flag reads whether a property says anything but a word.
func flag(to func(*style) *bool, not string) func(*style, value) bool {
	return func(st *style, v value) bool {
		*to(st) = v.low != not
		return true
	}
}

func readClipPath(st *style, v value) bool {
	st.own.clip, st.own.clipShape = reference(v.text), ""
	if st.own.clip == "" && v.low != "none" {
		st.own.clipShape = v.text // what is wrong with it is told where it is used
	}
	return true
}

func readMask(st *style, v value) bool {
	target, rest, ok := cutURL(v.text)
	st.own.mask = target
	return ok && rest == "" || v.low == "none"
}
