package svgimport

import "strings"

type paintKind uint8

const (
	paintNone paintKind = iota
	paintColour
	paintCurrent
	paintOfCurrent // worked out of the current colour
	paintReference
	paintContextFill
	paintContextStroke
)

// paint is a fill or stroke as written: nothing, a colour, the current colour,
// or a reference with what to use when it leads nowhere.
type paint struct {
	kind   paintKind
	colour rgba
	target string
	// mixture is the function that works a colour out of the current one.
	mixture string
	// fallback follows a reference; its kind is paintNone when none is given
	// and hasFallback false.
	fallback    *paint
	hasFallback bool
}

// parsePaint reads a paint (SVG 2, 13.2).
func parsePaint(v string) (paint, bool) {
	v = strings.TrimSpace(v)
	switch strings.ToLower(v) {
	case "none":
		return paint{}, true
	case "currentcolor":
		return paint{kind: paintCurrent}, true
	case "context-fill":
		return paint{kind: paintContextFill}, true
	case "context-stroke":
		return paint{kind: paintContextStroke}, true
	}
	if target, rest, ok := cutURL(v); ok {
		p := paint{kind: paintReference, target: target}
		if rest != "" {
			if f, ok := parsePaint(rest); ok {
				p.fallback, p.hasFallback = &f, true
			}
		}
		return p, true
	}
	c, ok := parseColour(v, black)
	if ok && strings.Contains(strings.ToLower(v), "currentcolor") {
		return paint{kind: paintOfCurrent, mixture: v}, true
	}
	return paint{kind: paintColour, colour: c}, ok
}

// flatColour is the colour of a paint that is no more than one; false for all others.
func (p paint) flatColour(current rgba) (rgba, bool) {
	switch p.kind {
	case paintColour:
		return p.colour, true
	case paintCurrent:
		return current, true
	case paintOfCurrent:
		return parseColour(p.mixture, current)
	}
	return rgba{}, false
}

// flat is what a paint comes to: one colour, or nothing.
type flat struct {
	colour rgba
	none   bool
	err    error // why there is nothing: drawing it went past a limit
	ramp   ramp  // what the colour is the mean of, if it is no flat one
}

// resolve returns the paint's flat colour for element n over an area.
func (im *importer) resolve(p paint, st *style, n *node, a area, sc *scope) flat {
	if c, ok := p.flatColour(st.color); ok {
		return flat{colour: c}
	}
	switch p.kind {
	case paintContextFill:
		if sc.context != nil {
			return sc.context.fill()
		}
	case paintContextStroke:
		if sc.context != nil {
			return sc.context.stroke()
		}
	case paintReference:
		why := WarnPaint
		if server := im.lookup(p.target, n); server != nil {
			f, reason := im.server(server, n, a, sc)
			if reason == "" {
				return f
			}
			why = reason
		}
		if p.hasFallback {
			return im.resolve(*p.fallback, st, n, a, sc)
		}
		im.warn(why, n, "target", shorten(p.target))
	}
	return flat{none: true}
}

// contextPaint is what context-fill and context-stroke stand for inside a
// marker or a copy.
type contextPaint struct{ fill, stroke func() flat }

// contextOf returns the paints of an element for what is drawn on its behalf.
func (im *importer) contextOf(n *node, st *style, of func() area, in scope) *contextPaint {
	with := func(p paint) func() flat { return func() flat { return im.resolve(p, st, n, of(), &in) } }
	return &contextPaint{fill: with(st.fill), stroke: with(st.stroke)}
}

// lookup finds the element that a url() names; nil for one outside the file or
// not there.
func (im *importer) lookup(target string, n *node) *node {
	if !strings.HasPrefix(target, "#") {
		im.warn(WarnExternal, n, "target", shorten(target))
		return nil
	}
	return im.doc.byID[target[1:]]
}

// shorten keeps long targets (data in a URL) and breaks of lines out of messages.
func shorten(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if len(s) > 60 {
		return strings.ToValidUTF8(s[:57], "") + "…"
	}
	return s
}
