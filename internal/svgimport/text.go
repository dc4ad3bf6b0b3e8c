package svgimport

import (
	"math"
	"strings"
	"unicode/utf8"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/typeset"
)

// inline is a bit of an element of text: characters, or an element.
type inline struct {
	text string
	node *node
}

// textual reports whether an element holds text to draw.
func textual(name string) bool { return name == "text" || name == "tspan" || name == "a" }

func (n *node) addText(s string) {
	if textual(n.name) {
		n.inline = append(n.inline, inline{text: s})
	}
}

func (n *node) addInline(c *node) {
	if textual(n.name) {
		n.inline = append(n.inline, inline{node: c})
	}
}

// char is a character of text with what positions it (SVG 2, 11.4).
type char struct {
	r          rune
	n          *node
	st         *style
	x, y       *float64 // a new chunk starts here
	dx, dy     float64
	rotate     float64
	anyRotate  bool
	whitespace bool
}

// placed is a stretch of text of one style, as an outline in user space.
type placedText struct {
	n    *node
	st   *style
	path geometry.Path
}

// textElement draws a text element.
func (im *importer) textElement(n *node, st *style, in scope) error {
	if !n.hasText() {
		return nil
	}
	if in.label == "" || n.label() == "" {
		if s := strings.Join(strings.Fields(n.wholeText()), " "); s != "" {
			in.label = shortened(s)
		}
	}
	for _, p := range im.layText(n, st, in.view) {
		if !p.st.visible {
			continue
		}
		if !within(p.path, maxCoordinate) {
			im.warn(WarnRange, n)
			continue
		}
		draw := func() error { return im.paintText(p, in) }
		if p.n == n {
			if err := draw(); err != nil {
				return err
			}
		} else if err := im.faded(p.n, p.st, draw); err != nil {
			return err
		}
	}
	return nil
}

func (im *importer) paintText(p placedText, in scope) error {
	fill := func() error { return im.fill(p.n, p.st, p.path, in) }
	stroke := func() error { return im.stroke(p.n, p.st, p.path, in) }
	if p.st.strokeFirst {
		fill, stroke = stroke, fill
	}
	if err := fill(); err != nil {
		return err
	}
	return stroke()
}

// clipText adds a text element to a clip.
func (im *importer) clipText(c *job.Clip, n *node, st *style, sc scope) error {
	for _, p := range im.layText(n, st, sc.view) {
		path := p.path.Transform(sc.ctm)
		if !within(path, maxCoordinate) {
			im.warn(WarnRange, n)
			continue
		}
		c.Shapes = append(c.Shapes, job.Shape{Path: path, Rule: geometry.NonZero, Clips: sc.clips, Element: n.describe(), Line: n.line})
	}
	return nil
}

// wholeText returns the characters of an element and of what is in it.
func (n *node) wholeText() string {
	var b strings.Builder
	for _, i := range n.inline {
		if i.node != nil {
			b.WriteString(i.node.wholeText())
		} else {
			b.WriteString(i.text)
		}
	}
	return b.String()
}

// shortened returns the start of a text that is to be a name.
func shortened(s string) string {
	const most = 30
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-1]) + "…"
}

// layText sets a text element: its characters are collected with their styles
// and positions, parted into chunks at absolute positions, shaped and placed.
func (im *importer) layText(n *node, st *style, view viewport) []placedText {
	c := collector{im: im, view: view}
	keep := false
	for p := n; p != nil; p = p.parent {
		if v, ok := p.attr(xmlSpace); ok {
			keep = v == "preserve"
			break
		}
	}
	c.keepSpace, c.afterSpace = keep, true
	c.element(n, st)
	chars := c.chars
	if !keep {
		for len(chars) > 0 && chars[len(chars)-1].whitespace {
			chars = chars[:len(chars)-1]
		}
	}
	var out []placedText
	pen := geometry.Point{}
	for i := 0; i < len(chars); {
		k := i + 1
		for k < len(chars) && chars[k].x == nil && chars[k].y == nil {
			k++
		}
		if chars[i].x != nil {
			pen.X = *chars[i].x
		}
		if chars[i].y != nil {
			pen.Y = *chars[i].y
		}
		var chunk []placedText
		chunk, pen = im.chunk(chars[i:k], pen)
		out = append(out, chunk...)
		i = k
	}
	return out
}

// collector gathers characters.
type collector struct {
	im         *importer
	view       viewport
	chars      []char
	lists      []positions // of the elements around, outermost first
	keepSpace  bool
	afterSpace bool
}

// positions are an element's lists, with how many of its characters have been
// met.
type positions struct {
	x, y, dx, dy, rotate []float64
	next                 int
}

func (c *collector) element(n *node, st *style) {
	list := func(name string, a axis) []float64 {
		v, ok := n.attr(name)
		if !ok {
			return nil
		}
		return lengths(v, c.view, a, st.fontSize)
	}
	c.lists = append(c.lists, positions{
		x: list("x", alongX), y: list("y", alongY), dx: list("dx", alongX), dy: list("dy", alongY), rotate: list("rotate", diagonal),
	})
	for _, i := range n.inline {
		if i.node == nil {
			for _, r := range i.text {
				c.add(r, n, st)
			}
			continue
		}
		switch i.node.name {
		case "tspan", "a":
			child := c.im.compute(i.node, st)
			if !child.own.hidden {
				c.element(i.node, child)
			}
		case "textPath", "tref":
			c.im.warn(WarnText, n)
		}
	}
	c.lists = c.lists[:len(c.lists)-1]
}

// maxChars bounds the characters of one text element.
const maxChars = 1 << 16

// add takes one character, white space collapsed unless it is kept.
func (c *collector) add(r rune, n *node, st *style) {
	space := r == ' ' || r == '\t' || r == '\n' || r == '\r'
	if space {
		if !c.keepSpace && (c.afterSpace || r == '\r') || len(c.chars) >= maxChars {
			return
		}
		r = ' '
	}
	c.afterSpace = space
	if len(c.chars) >= maxChars {
		return
	}
	ch := char{r: r, n: n, st: st, whitespace: space}
	for i := range c.lists { // inner lists come last and win
		p := &c.lists[i]
		if k := p.next; k < len(p.x) {
			ch.x = &p.x[k]
		}
		if k := p.next; k < len(p.y) {
			ch.y = &p.y[k]
		}
		if k := p.next; k < len(p.dx) {
			ch.dx = p.dx[k]
		}
		if k := p.next; k < len(p.dy) {
			ch.dy = p.dy[k]
		}
		if len(p.rotate) > 0 { // the last one holds for all that follow
			ch.rotate, ch.anyRotate = p.rotate[min(p.next, len(p.rotate)-1)]*math.Pi/180, true
		}
		p.next++
	}
	c.chars = append(c.chars, ch)
}

// lengths reads a list of lengths; what comes after an error is left out.
func lengths(v string, view viewport, a axis, fontSize float64) []float64 {
	sc := scanner{s: v}
	var out []float64
	sc.spaces()
	for !sc.done() && len(out) < maxChars {
		l, ok := sc.length()
		if !ok {
			break
		}
		out = append(out, l.user(view, a, fontSize))
		sc.separator()
	}
	return out
}

// chunk sets the characters from one absolute position to the next, and returns
// where the pen ends.
func (im *importer) chunk(chars []char, start geometry.Point) ([]placedText, geometry.Point) {
	pen := start
	var out []placedText
	for i := 0; i < len(chars); {
		k := i + 1
		for k < len(chars) && chars[k].st == chars[i].st {
			k++
		}
		var p geometry.Path
		p, pen = im.setRun(chars[i:k], pen)
		if len(p) > 0 {
			out = append(out, placedText{chars[i].n, chars[i].st, p})
		}
		i = k
	}
	first := chars[0].st.font
	// Spacing is between letters: what follows the last one does not count.
	width := pen.X - start.X - chars[len(chars)-1].st.font.letterSpacing
	shift := 0.0
	switch {
	case first.anchor == anchorMiddle:
		shift = -width / 2
	case (first.anchor == anchorEnd) != first.rightToLeft:
		shift = -width
	}
	if shift != 0 {
		for i := range out {
			out[i].path = out[i].path.Transform(geometry.Translate(shift, 0))
		}
		pen.X += shift
	}
	return out, pen
}

// setRun shapes characters of one style and places their glyphs.
func (im *importer) setRun(chars []char, pen geometry.Point) (geometry.Path, geometry.Point) {
	st := chars[0].st
	var text strings.Builder
	for _, c := range chars {
		text.WriteRune(c.r)
	}
	line := im.fonts().Shape(text.String(), st.font.face(), st.fontSize, st.font.rightToLeft)
	if line.Missing {
		wanted := "?"
		if len(st.font.families) > 0 {
			wanted = st.font.families[0]
		}
		im.warn(WarnFont, chars[0].n, "font", wanted, "used", strings.Join(line.Used, ", "))
	}
	var out geometry.Path
	for i, g := range line.Glyphs {
		c := chars[g.Rune]
		if i == 0 || line.Glyphs[i-1].Rune != g.Rune {
			pen = pen.Add(geometry.Pt(c.dx, c.dy))
		}
		if len(g.Outline) > 0 {
			at := geometry.Translate(pen.X, pen.Y)
			if c.anyRotate {
				at = at.Mul(geometry.Rotate(c.rotate))
			}
			out = append(out, g.Outline.Transform(at.Mul(geometry.Translate(g.Offset.X, g.Offset.Y)))...)
		}
		pen.X += g.Advance
		if i+1 == len(line.Glyphs) || line.Glyphs[i+1].Rune != g.Rune {
			pen.X += st.font.letterSpacing
			if c.whitespace {
				pen.X += st.font.wordSpacing
			}
		}
	}
	return out, pen
}

// fonts are found when the first text is met, not before: looking for them
// takes time.
func (im *importer) fonts() *typeset.Fonts {
	if im.opt.Fonts == nil {
		im.opt.Fonts = typeset.System()
	}
	return im.opt.Fonts
}
