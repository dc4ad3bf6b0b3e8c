package svgimport

import (
	"math"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/typeset"
)

// layText sets a text element: its characters are collected with their styles
// and positions, parted into chunks at absolute positions, shaped and placed
// (SVG 2, 11.4 to 11.8).
func (im *importer) layText(n *node, st *style, view viewport) (laidText, error) {
	keep, lang := inheritedSpace(n)
	c := collector{im: im, view: view, afterSpace: true}
	if err := c.element(n, st, around{keepSpace: keep, lang: lang}); err != nil {
		return laidText{}, err
	}
	chars := c.chars
	for len(chars) > 0 && chars[len(chars)-1].whitespace && !chars[len(chars)-1].kept {
		chars = chars[:len(chars)-1]
	}
	if err := im.countLetters(len(chars), n); err != nil || len(chars) == 0 {
		return laidText{box: geometry.EmptyRect()}, err
	}
	if st.font.vertical {
		im.warn(WarnTextVertical, n)
	}
	l := layout{im: im, chars: chars, stretches: c.stretches, rightToLeft: st.font.rightToLeft, box: geometry.EmptyRect(), metrics: map[*style]typeset.Metrics{}}
	var pen geometry.Point
	for i := 0; i < len(chars); {
		k := i + 1
		for k < len(chars) && chars[k].x == nil && chars[k].y == nil && chars[k].path == chars[i].path {
			k++
		}
		var err error
		if pen, err = l.chunk(i, k, pen); err != nil {
			return laidText{}, err
		}
		i = k
	}
	return laidText{parts: l.parts, box: l.box}, nil
}

// layout is a text element being set.
type layout struct {
	im          *importer
	chars       []char
	stretches   []stretch
	rightToLeft bool
	parts       []placedText
	box         geometry.Rect
	metrics     map[*style]typeset.Metrics
}

// cluster is what is placed as one: glyphs with the character that they begin
// with.
type cluster struct {
	glyphs  []typeset.Glyph
	char    int // index into the layout's characters
	at      geometry.Point
	advance float64
	scale   float64 // of the letter's own width
	frame   geometry.Affine
	off     bool // past the end of its path
}

// chunk sets the characters from one absolute position to the next, and returns
// where the pen ends.
func (l *layout) chunk(from, to int, pen geometry.Point) (geometry.Point, error) {
	chars := l.chars[from:to]
	first := &chars[0]
	fonts, err := l.im.fonts()
	if err != nil {
		return pen, err
	}
	if err := l.im.ctx.Err(); err != nil {
		return pen, err
	}
	line, err := l.shape(fonts, spans(chars), len(chars))
	if err != nil {
		return pen, err
	}
	l.im.noteText(line.Notes, func(r int) *node { return chars[r].n })
	start := pen
	if first.path != nil {
		start = geometry.Pt(first.path.start, 0)
		if first.x != nil {
			start.X += *first.x
		}
	} else {
		if first.x != nil {
			start.X = *first.x
		}
		if first.y != nil {
			start.Y = *first.y
		}
	}
	var clusters []cluster
	for glyphs := range line.Clusters {
		c := cluster{glyphs: glyphs, char: from + glyphs[0].Rune, scale: 1}
		for _, g := range glyphs {
			c.advance += g.Advance
		}
		clusters = append(clusters, c)
	}
	pen = l.run(clusters, from, to, start)
	l.anchor(clusters, first, &pen)
	if err := l.frames(clusters, first.path); err != nil {
		return pen, err
	}
	if first.path != nil {
		for _, c := range clusters {
			if c.off && hasOutline(c.glyphs) {
				l.im.warn(WarnTextPastPath, first.path.n)
				break
			}
		}
		pen = first.path.end
	}
	return pen, l.place(clusters, from, to)
}

// longText is from how many letters on whoever cancels does not wait until they
// are set: some hundredths of a second.
const longText = 2000

func (l *layout) shape(fonts *typeset.Fonts, text []typeset.Span, letters int) (typeset.Line, error) {
	if letters < longText {
		return fonts.Shape(text, l.rightToLeft), nil
	}
	rightToLeft := l.rightToLeft
	return parallel.Aside(l.im.ctx, func() (typeset.Line, error) { return fonts.Shape(text, rightToLeft), nil })
}

func hasOutline(glyphs []typeset.Glyph) bool {
	for _, g := range glyphs {
		if len(g.Outline) > 0 {
			return true
		}
	}
	return false
}

// spans parts characters by what the shape of letters depends on.
func spans(chars []char) []typeset.Span {
	var out []typeset.Span
	for i := 0; i < len(chars); {
		k := i + 1
		for k < len(chars) && chars[k].st == chars[i].st && chars[k].lang == chars[i].lang {
			k++
		}
		runes := make([]rune, 0, k-i)
		for _, c := range chars[i:k] {
			runes = append(runes, c.r)
		}
		st := chars[i].st
		style := st.textStyle()
		style.Language = chars[i].lang
		out = append(out, typeset.Span{Text: string(runes), Style: style})
		i = k
	}
	return out
}

// run moves the pen over the clusters, from left to right.
func (l *layout) run(clusters []cluster, from, to int, pen geometry.Point) geometry.Point {
	l.stretch(clusters, from, to)
	for i := range clusters {
		c := &clusters[i]
		ch := &l.chars[c.char]
		pen = pen.Add(geometry.Pt(ch.dx, ch.dy))
		c.at = pen
		pen.X += c.advance
	}
	return pen
}

// stretch gives ranges the length that they are to have: more or less between
// the letters, or letters drawn out too (SVG 2, 11.4.2). A range that absolute
// positions part has its length from those.
func (l *layout) stretch(clusters []cluster, from, to int) {
	for _, s := range l.stretches {
		if s.from >= from && s.to <= to {
			l.stretchOne(clusters, s)
		}
	}
}

func (l *layout) stretchOne(clusters []cluster, s stretch) {
	natural, last, count := 0.0, -1, 0
	for i, c := range clusters {
		if s.has(c) {
			natural += c.advance + l.chars[c.char].dx
			last = i
			count++
		}
	}
	if s.glyphs && !(natural > 0) || !s.glyphs && count < 2 {
		return
	}
	for i := range clusters {
		c := &clusters[i]
		switch {
		case !s.has(*c):
		case s.glyphs:
			c.scale *= s.length / natural
			c.advance *= s.length / natural
		case i != last:
			c.advance += (s.length - natural) / float64(count-1)
		}
	}
}

func (s stretch) has(c cluster) bool { return c.char >= s.from && c.char < s.to }

// anchor moves a chunk so that its start, middle or end stands where the chunk
// was put (SVG 2, 11.10.1).
func (l *layout) anchor(clusters []cluster, first *char, pen *geometry.Point) {
	if len(clusters) == 0 {
		return
	}
	begin := clusters[0].at.X // after the first dx
	width := pen.X - begin
	shift := 0.0
	switch a := first.st.font.anchor; {
	case a == anchorMiddle:
		shift = -width / 2
	case (a == anchorEnd) != l.rightToLeft:
		shift = -width
	}
	for i := range clusters {
		clusters[i].at.X += shift
	}
	pen.X += shift
}

// frames finds where each cluster lies: on the line, or turned on its path.
func (l *layout) frames(clusters []cluster, p *textPath) error {
	for i := range clusters {
		c := &clusters[i]
		ch := &l.chars[c.char]
		line, err := onBaseline(ch.st, func() (typeset.Metrics, error) { return l.metricsOf(ch.st) })
		if err != nil {
			return err
		}
		line += ch.shift
		if p == nil {
			c.frame = geometry.Translate(c.at.X, c.at.Y+line)
		} else {
			m, ok := p.track.Frame(c.at.X+c.advance/2, c.advance)
			c.off = !ok
			c.frame = m.Mul(geometry.Translate(0, c.at.Y+line))
		}
		if ch.anyRotate {
			c.frame = c.frame.Mul(geometry.Rotate(ch.rotate))
		}
	}
	return nil
}

// place makes the outlines of a chunk, in the order of the text: it is painted in
// that order whichever way it runs.
func (l *layout) place(clusters []cluster, from, to int) error {
	glyphs := make([]geometry.Path, to-from) // by the clusters' first characters
	over := make([]*cluster, to-from)
	for i := range clusters {
		c := &clusters[i]
		if c.off {
			continue
		}
		x := c.glyphs[0].X
		for _, g := range c.glyphs {
			if len(g.Outline) > 0 {
				m := c.frame.Mul(geometry.Scale(c.scale, 1)).Mul(geometry.Translate(g.X-x+g.Offset.X, g.Offset.Y))
				glyphs[c.char-from] = append(glyphs[c.char-from], g.Outline.Transform(m)...)
			}
		}
		over[c.char-from] = c
	}
	for i := 0; i < to-from; {
		k := i + 1
		for k < to-from && l.chars[from+k].run == l.chars[from+i].run {
			k++
		}
		if err := l.stretchOfText(from, i, k, glyphs, over); err != nil {
			return err
		}
		i = k
	}
	return nil
}

// stretchOfText adds the parts of characters i to k of a chunk, which are of one
// element: what lies under them, they themselves, what goes through them.
func (l *layout) stretchOfText(from, i, k int, glyphs []geometry.Path, over []*cluster) error {
	ch := &l.chars[from+i]
	var path geometry.Path
	runes := make([]rune, 0, k-i)
	m, err := l.metricsOf(ch.st)
	if err != nil {
		return err
	}
	var covered []*cluster
	for j := i; j < k; j++ {
		path = append(path, glyphs[j]...)
		runes = append(runes, l.chars[from+j].r)
		if c := over[j]; c != nil {
			covered = append(covered, c)
			cell := geometry.RectXYWH(0, -m.Ascent, c.advance, m.Ascent-m.Descent)
			if r := c.frame.MapRect(cell); r.Min.Finite() && r.Max.Finite() {
				l.box = l.box.Union(r)
			}
		}
	}
	for _, d := range ch.lines {
		if err := l.lines(d, lineUnder|lineOver, covered, ch.path != nil); err != nil {
			return err
		}
	}
	if len(path) > 0 {
		l.parts = append(l.parts, placedText{n: ch.n, st: ch.st, path: path, text: string(runes)})
	}
	for _, d := range ch.lines {
		if err := l.lines(d, lineThrough, covered, ch.path != nil); err != nil {
			return err
		}
	}
	return nil
}

func (l *layout) metricsOf(st *style) (typeset.Metrics, error) {
	m, ok := l.metrics[st]
	if !ok {
		fonts, err := l.im.fonts()
		if err != nil {
			return m, err
		}
		m = fonts.Metrics(st.textStyle())
		l.metrics[st] = m
	}
	return m, nil
}

// lines draws the lines that an element asks for along clusters.
func (l *layout) lines(d decoration, which textLines, covered []*cluster, turned bool) error {
	m, err := l.metricsOf(d.st)
	if err != nil {
		return err
	}
	for _, line := range []struct {
		is        textLines
		at, thick float64
	}{
		{lineUnder, -m.Underline, m.UnderlineThickness}, {lineOver, -m.Ascent, m.UnderlineThickness}, {lineThrough, -m.Strike, m.StrikeThickness},
	} {
		if d.st.own.lines&which&line.is == 0 {
			continue
		}
		var path geometry.Path
		for a := 0; a < len(covered); {
			// Cells that follow each other on one base line share one bar.
			b := a + 1
			width := covered[a].advance
			left := covered[a]
			for !turned && b < len(covered) && follow(left, covered[b], width) {
				if covered[b].frame.E < left.frame.E {
					left = covered[b]
				}
				width += covered[b].advance
				b++
			}
			bar := geometry.RectXYWH(0, line.at-line.thick/2, width, line.thick)
			if width > 0 && line.thick > 0 {
				path = append(path, bar.Path().Transform(left.frame)...)
			}
			a = b
		}
		if len(path) > 0 {
			l.parts = append(l.parts, placedText{n: d.n, st: d.st, path: path})
		}
	}
	return nil
}

// follow reports whether b begins where a run of cells ends, or ends where it
// begins, all upright on one base line.
func follow(left, b *cluster, width float64) bool {
	f, g := left.frame, b.frame
	if f.A != 1 || f.B != 0 || g.A != 1 || g.B != 0 || f.F != g.F {
		return false
	}
	const touch = 1e-6
	return math.Abs(g.E-(f.E+width)) <= touch*(1+math.Abs(g.E)) || math.Abs(g.E+b.advance-f.E) <= touch*(1+math.Abs(g.E))
}
