package svgimport

import (
	"slices"
	"strings"
)

// standing says where a property may be written.
type standing uint8

const (
	inSheets    standing = 1 << iota // in style sheets and style attributes
	asAttribute                      // as an attribute of its own name (SVG 2, 6.6)
	onRoot                           // it says something of the root only
	anywhere    = inSheets | asAttribute
)

// property is a row of the one table of what a style says of an element. A
// property that is not in it is told.
type property struct {
	name  string
	where standing
	// inherits: children take it over by themselves.
	inherits bool
	// initial is the value that it has where nobody says anything, as written;
	// "" where reading it is not needed, since a zero style has it.
	initial string
	// read applies a value. False for one that is not understood, which is told
	// and counts as not written, as CSS asks. A nil read is of properties that
	// change nothing in a picture that stands still.
	read func(st *style, v value) bool
	// take takes the property over from another style.
	take func(st, from *style)
}

// value is what is written for a property, and in small letters.
type value struct {
	text, low string
	parent    *style
}

// properties is the table, by name.
var properties = func() map[string]*property {
	m := map[string]*property{}
	for _, rows := range [][]property{paintProperties, strokeProperties, effectProperties, boxProperties, textProperties, leftOutProperties} {
		for i := range rows {
			m[rows[i].name] = &rows[i]
		}
	}
	for _, name := range strings.Fields(stillNames) {
		m[name] = &property{name: name, where: anywhere}
	}
	return m
}()

// stillNames are properties that no picture on a sheet shows.
const stillNames = `
	accent-color backface-visibility box-shadow box-sizing caret-color clear color-adjust color-interpolation-filters
	color-rendering color-scheme contain content cursor enable-background float flood-color flood-opacity
	font-display font-optical-sizing font-synthesis forced-color-adjust hyphens image-rendering isolation left lighting-color
	line-break line-height max-height max-width min-height min-width object-fit object-position orphans outline
	outline-color outline-style outline-width
	padding padding-bottom padding-left padding-right padding-top margin margin-bottom margin-left margin-right margin-top
	border border-color border-style border-width page-break-after page-break-before pointer-events position print-color-adjust
	right shape-rendering solid-color solid-opacity src tab-size text-align text-align-last text-indent text-overflow
	text-rendering top touch-action transition transition-delay transition-duration transition-property
	transition-timing-function unicode-bidi unicode-range user-select white-space-collapse widows will-change word-break
	word-wrap overflow-wrap z-index bottom transform-style perspective-origin shape-padding shape-margin
	text-decoration-fill text-decoration-stroke text-decoration-skip-ink text-decoration-color`

// editorsOwn reports whether a program keeps something for itself in the
// property; it says nothing about the picture that others would not.
func editorsOwn(name string) bool { return strings.HasPrefix(name, "-") }

// effects are the properties that are not carried out and have a warning of their own.
var effects = map[string]string{
	"animation": WarnAnimation, "animation-name": WarnAnimation,
	"text-shadow": WarnFilter, "backdrop-filter": WarnFilter,
	"background": WarnPageColour, "background-color": WarnPageColour, "background-image": WarnPageColour,
}

// set applies one declaration to n's style, and tells what is not understood.
func (im *importer) set(n *node, st *style, d declaration, parent *style) {
	switch {
	case d.property == nil:
		if !editorsOwn(d.name) {
			im.tell(WarnProperty, n, d.name, "property", shorten(d.name))
		}
	case d.property.where&onRoot != 0 && n.parent != nil:
	case st.set(d, parent):
	case effects[d.name] != "":
		im.warn(effects[d.name], n)
	default:
		im.tell(WarnValue, n, d.name+":"+d.value, "property", d.name, "value", shorten(d.value))
	}
}

// set applies a declaration of a property that there is; false for a value that
// is not understood.
func (st *style) set(d declaration, parent *style) bool {
	p := d.property
	if p.read == nil {
		return true
	}
	v := value{text: strings.TrimSpace(d.value), parent: parent}
	v.low = strings.ToLower(v.text)
	if from := named(v.low, p, parent); from != nil {
		p.take(st, from)
		return true
	}
	return p.read(st, v)
}

// named returns the style that a word stands for which every property
// understands, nil for other values.
func named(low string, p *property, parent *style) *style {
	switch low {
	case "inherit":
		return parent
	case "initial":
		return initial
	case "unset", "revert", "revert-layer":
		if p.inherits {
			return parent
		}
		return initial
	}
	return nil
}

// tell is warn that tells each thing once in a file: what is written at one
// shape is often written at all of them.
func (im *importer) tell(id string, n *node, thing string, args ...string) {
	told := warnKey{id: id + " " + thing}
	if im.quiet > 0 || im.warned[told] {
		return
	}
	im.warned[told] = true
	// Another thing may have been told of the element.
	delete(im.warned, warnKey{id, n})
	im.warn(id, n, args...)
}

// initial is the style of an element about which nobody says anything.
var initial = func() *style {
	st := &style{}
	st.color, st.fontSize = black, 16 // em and currentColor count in them
	for _, p := range properties {
		if p.initial != "" && !p.read(st, value{text: p.initial, low: p.initial, parent: st}) {
			panic("the initial value of " + p.name + " cannot be read")
		}
	}
	return st
}()

func initialStyle() *style {
	st := *initial
	return &st
}

// oneOf reads a word out of a list.
func oneOf[T any](to func(*style) *T, words map[string]T) func(*style, value) bool {
	return func(st *style, v value) bool {
		w, ok := words[v.low]
		if ok {
			*to(st) = w
		}
		return ok
	}
}

// field returns how to take over what a field of a style holds.
func field[T any](of func(*style) *T) func(st, from *style) {
	return func(st, from *style) { *of(st) = *of(from) }
}

// unless is of a property that is not carried out: its listed words change
// nothing, every other value is told.
func unless(words ...string) func(*style, value) bool {
	return func(_ *style, v value) bool { return slices.Contains(words, v.low) }
}

func nothing(st, from *style) {}
