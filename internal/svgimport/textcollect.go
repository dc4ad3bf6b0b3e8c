package svgimport

import (
	"math"
	"strconv"
	"strings"
)

// char is a character of text with what positions it (SVG 2, 11.4).
type char struct {
	r          rune
	n          *node
	st         *style
	x, y       *float64 // an absolute position: a new chunk starts here
	dx, dy     float64
	rotate     float64
	anyRotate  bool
	whitespace bool
	kept       bool // white space that is not collapsed
	// run numbers stretches of one element: text before and after an inner
	// element are two.
	run   int
	lang  string
	shift float64 // of the base line, downwards
	lines []decoration
	path  *textPath // that it runs along; nil for a straight line
}

// decoration is the lines that an element asks for, in its own paint and size.
type decoration struct {
	n  *node
	st *style
}

// stretch is a range of characters that an element wants to be of a certain
// length.
type stretch struct {
	from, to int
	length   float64
	glyphs   bool // the letters themselves are stretched too
}

// collector gathers the characters of a text element.
type collector struct {
	im         *importer
	view       viewport
	chars      []char
	lists      []positions // of the elements around, outermost first
	stretches  []stretch
	afterSpace bool
	run        int
	long       bool // cut short
}

// positions are an element's lists, with how many of its characters have been
// met.
type positions struct {
	x, y, dx, dy, rotate []float64
	next                 int
}

// around is what an element hands on to what is in it.
type around struct {
	keepSpace bool
	lang      string
	shift     float64
	lines     []decoration
	path      *textPath
}

// enter takes over what an element says for what is in it.
func (a *around) enter(n *node, st *style) {
	if v, ok := n.attr(xmlSpace); ok {
		a.keepSpace = v == "preserve"
	}
	switch st.font.whiteSpace {
	case whiteSpaceKeep:
		a.keepSpace = true
	case whiteSpaceCollapse:
		a.keepSpace = false
	}
	if v := n.get("lang"); v != "" {
		a.lang = v
	}
	if st.own.lines != 0 {
		a.lines = append(a.lines[:len(a.lines):len(a.lines)], decoration{n, st})
	}
}

// positions reads the lists of where an element's characters stand, and tells of
// those that cannot be read.
func (c *collector) positions(n *node, st *style) positions {
	list := func(name string, read func(string) ([]float64, bool)) []float64 {
		v, ok := n.attr(name)
		if !ok {
			return nil
		}
		out, ok := read(v)
		if !ok {
			c.im.tell(WarnValue, n, name+"="+v, "property", name, "value", shorten(v))
		}
		return out
	}
	along := func(ax axis) func(string) ([]float64, bool) {
		return func(v string) ([]float64, bool) { return lengths(v, c.view, ax, st.fontSize) }
	}
	return positions{
		x: list("x", along(alongX)), y: list("y", along(alongY)), dx: list("dx", along(alongX)), dy: list("dy", along(alongY)),
		rotate: list("rotate", numberList),
	}
}

func (c *collector) element(n *node, st *style, a around) error {
	if err := c.im.ctx.Err(); err != nil {
		return err
	}
	a.enter(n, st)
	shift, err := c.im.baseline(st)
	if err != nil {
		return err
	}
	a.shift += shift
	c.im.checkLengths(n)
	if n.name != "textPath" {
		c.lists = append(c.lists, c.positions(n, st))
		defer func() { c.lists = c.lists[:len(c.lists)-1] }()
	}
	from := len(c.chars)
	for _, i := range n.inline {
		c.run++
		if i.node == nil {
			for _, r := range i.text {
				c.add(r, n, st, a)
			}
			continue
		}
		if err := c.inner(i.node, n, st, a); err != nil {
			return err
		}
	}
	c.run++
	if l, ok := n.length("textLength"); ok && l.v >= 0 {
		c.stretches = append(c.stretches, stretch{from, len(c.chars), l.user(c.view, alongX, st.fontSize), n.get("lengthAdjust") == "spacingAndGlyphs"})
	}
	return nil
}

// inner collects an element inside text.
func (c *collector) inner(n, parent *node, st *style, a around) error {
	switch n.name {
	case "tspan", "a", "textPath":
	case "tref":
		c.im.warn(WarnText, n)
		return nil
	default:
		switch elements[n.name].role {
		case animating:
			c.im.warn(WarnAnimation, n)
		case unknown, drawn:
			c.im.warn(WarnElement, n, "name", shorten(n.name))
		}
		return nil
	}
	if !n.passes() {
		return nil
	}
	child := c.im.compute(n, st)
	if child.own.hidden {
		return nil
	}
	if parent.name != "text" {
		child.own.opacity *= st.own.opacity // each stretch of text fades by itself
	}
	if n.name == "textPath" {
		if parent.name != "text" {
			return nil // SVG 2, 11.8: only right inside text
		}
		p, err := c.im.textPath(n, child, c.view)
		if err != nil || p == nil {
			return err
		}
		a.path = p
	}
	return c.element(n, child, a)
}

// maxChars bounds the characters of one text element.
const maxChars = 1 << 15

// add takes one character, white space collapsed unless it is kept (SVG 2,
// 11.5).
func (c *collector) add(r rune, n *node, st *style, a around) {
	space := r == ' ' || r == '\t' || r == '\n' || r == '\r'
	if space {
		if !a.keepSpace && c.afterSpace {
			return
		}
		r = ' '
	}
	r = st.font.letterCase.of(r, c.afterSpace)
	c.afterSpace = space
	if len(c.chars) >= maxChars {
		if !c.long && !space {
			c.long = true
			c.im.warn(WarnTextLong, n, "limit", strconv.Itoa(maxChars))
		}
		return
	}
	ch := char{r: r, n: n, st: st, whitespace: space, kept: a.keepSpace, run: c.run, lang: a.lang, shift: a.shift, lines: a.lines, path: a.path}
	for i := range c.lists { // inner lists come last and win
		c.lists[i].place(&ch)
	}
	c.chars = append(c.chars, ch)
}

// place gives a character the next position of each list.
func (p *positions) place(ch *char) {
	if p.next < len(p.x) {
		ch.x = &p.x[p.next]
	}
	if p.next < len(p.y) {
		ch.y = &p.y[p.next]
	}
	if p.next < len(p.dx) {
		ch.dx = p.dx[p.next]
	}
	if p.next < len(p.dy) {
		ch.dy = p.dy[p.next]
	}
	if len(p.rotate) > 0 { // the last one holds for all that follow
		ch.rotate, ch.anyRotate = p.rotate[min(p.next, len(p.rotate)-1)]*math.Pi/180, true
	}
	p.next++
}

// lengths reads a list of lengths; what comes after an error is left out, with
// false.
func lengths(v string, view viewport, a axis, fontSize float64) ([]float64, bool) {
	sc := scanner{s: v}
	var out []float64
	sc.spaces()
	for !sc.done() && len(out) < maxChars {
		l, ok := sc.length()
		if !ok {
			return out, false
		}
		out = append(out, l.user(view, a, fontSize))
		sc.separator()
	}
	return out, true
}

// inheritedSpace reports whether white space is kept around an element, and in
// which language it is.
func inheritedSpace(n *node) (keep bool, lang string) {
	spaceSeen := false
	for p := n.parent; p != nil; p = p.parent {
		if v, ok := p.attr(xmlSpace); ok && !spaceSeen {
			keep, spaceSeen = v == "preserve", true
		}
		if lang == "" {
			lang = strings.TrimSpace(p.get("lang"))
		}
	}
	return keep, lang
}
