package typeset

import (
	"slices"
	"unicode"

	"abut/geometry"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
)

// Style is how a stretch of text is set.
type Style struct {
	Face
	// Size is the font size: the height of the em square.
	Size float64
	// LetterSpacing goes between letters; where it is not 0 letters are not
	// joined to ligatures, and letters of joining scripts stay joined. WordSpacing
	// is added to spaces.
	LetterSpacing, WordSpacing float64
	// Features are OpenType features by their four-letter tags: 1 for on, 0 for
	// off, or the number of an alternative.
	Features []Feature
	// Language is a BCP 47 tag; some letters' shapes depend on it. "" for unknown.
	Language string
}

// Feature switches an OpenType feature.
type Feature struct {
	Tag   string
	Value uint32
}

// Span is a stretch of text of one style.
type Span struct {
	Text string
	Style
}

// Glyph is one glyph of a line.
type Glyph struct {
	// Outline is the glyph's shape around its own origin on the base line, to
	// be filled nonzero; empty for white space.
	Outline geometry.Path
	// X is where the pen stands before the glyph, Advance how far it moves to the
	// right. The outline's origin lies at X + Offset.X, Offset.Y.
	X, Advance float64
	Offset     geometry.Point
	// Rune is the index of the first rune of the glyph's cluster, counted over
	// all spans; Runes is how many runes the cluster stands for. Glyphs of one
	// cluster follow each other and share both.
	Rune, Runes int
	// Span is the index of the span that the cluster begins in.
	Span int
	// id is the glyph's number in its font.
	id font.GID
}

// Line is shaped text, its glyphs from left to right.
type Line struct {
	Glyphs  []Glyph
	Advance float64
	// Notes say what is not as it was asked for, in the order of the text.
	Notes []Note
}

// Shape lays text out on one line. rightToLeft is the direction of the
// paragraph; text of the other direction within it is reordered as Unicode asks
// (UAX #9). Letters join, kern and form ligatures across spans that differ only
// in what does not concern the shape. Text without a size is left out. It takes
// some 3 µs a letter, and more where a font is met for the first time.
func (f *Fonts) Shape(spans []Span, rightToLeft bool) Line {
	f.mu.Lock()
	defer f.mu.Unlock()
	s := setting{fonts: f, spans: joined(spans), original: spans}
	for i, sp := range s.spans {
		for _, r := range sp.Text {
			s.text = append(s.text, r)
			s.of = append(s.of, i)
		}
	}
	if len(s.text) == 0 {
		return Line{}
	}
	s.keys = make([]string, len(s.spans))
	for i := range s.spans {
		s.keys[i] = s.spans[i].Face.key()
	}
	return s.line(rightToLeft)
}

// joined makes one of spans that follow each other in the same style.
func joined(spans []Span) []Span {
	var out []Span
	for _, s := range spans {
		if n := len(out); n > 0 && out[n-1].Style.same(s.Style) {
			out[n-1].Text += s.Text
		} else {
			out = append(out, s)
		}
	}
	return out
}

func (s Style) same(o Style) bool {
	return s.Size == o.Size && s.LetterSpacing == o.LetterSpacing && s.WordSpacing == o.WordSpacing && s.Language == o.Language &&
		slices.Equal(s.Features, o.Features) && slices.Equal(s.Families, o.Families) && s.weight() == o.weight() && s.Italic == o.Italic && s.Stretch == o.Stretch
}

// setting is one line in the making.
type setting struct {
	fonts           *Fonts
	spans, original []Span
	keys            []string // of the spans' faces
	text            []rune
	of              []int // each rune's span
	notes           notes
}

// item is a stretch of text of one direction, script, style and font.
type item struct {
	start, end int
	level      bidi.Level
	script     language.Script
	lang       language.Language
	face       *face
}

func (s *setting) line(rightToLeft bool) Line {
	items := s.split(rightToLeft)
	for _, it := range items {
		s.noteFont(it)
	}
	visual(items)
	var line Line
	for _, it := range items {
		line.Glyphs = append(line.Glyphs, s.glyphs(it)...)
	}
	s.space(line.Glyphs)
	for i := range line.Glyphs {
		line.Glyphs[i].X = line.Advance
		line.Advance += line.Glyphs[i].Advance
	}
	line.Notes = s.notes.list()
	s.originalSpans(line)
	return line
}

// originalSpans counts spans as the caller gave them.
func (s *setting) originalSpans(line Line) {
	var of []int
	for i, sp := range s.original {
		for range sp.Text {
			of = append(of, i)
		}
	}
	for i := range line.Glyphs {
		line.Glyphs[i].Span = of[line.Glyphs[i].Rune]
	}
}

// split parts the text into items, in reading order.
func (s *setting) split(rightToLeft bool) []item {
	// The algorithm takes the paragraph's direction from its first letter: a mark
	// in front makes that the wanted one.
	mark, paragraph := '\u200e', bidi.LeftToRight
	if rightToLeft {
		mark, paragraph = '\u200f', bidi.RightToLeft
	}
	var p bidi.Paragraph
	runs := p.Segment(append([]rune{mark}, s.text...), paragraph)
	var items []item
	var segmenter shaping.Segmenter
	for k := range runs.NumRuns() {
		run := runs.Run(k)
		start, end := max(run.Start-1, 0), run.End-1
		for start < end {
			// One language for each stretch of spans that share it.
			lang, stop := s.spans[s.of[start]].Language, start+1
			for stop < end && s.spans[s.of[stop]].Language == lang {
				stop++
			}
			in := shaping.Input{Text: s.text, RunStart: start, RunEnd: stop, Direction: direction(run.Level), Size: fixed.I(1000), Language: language.NewLanguage(lang)}
			for _, part := range segmenter.Split(in, anyFace{s.fonts.own.regular.Face}) {
				items = s.splitFaces(items, item{start: part.RunStart, end: part.RunEnd, level: run.Level, script: part.Script, lang: part.Language})
			}
			start = stop
		}
	}
	return items
}

// anyFace stands for fonts while they do not matter.
type anyFace struct{ f *font.Face }

func (a anyFace) ResolveFace(rune) *font.Face { return a.f }

func direction(l bidi.Level) di.Direction {
	if l%2 == 1 {
		return di.DirectionRTL
	}
	return di.DirectionLTR
}

// splitFaces parts an item by span and font. White space and what is never seen
// goes with what precedes it or, in front, with what follows.
func (s *setting) splitFaces(items []item, it item) []item {
	first := len(items)
	for i := it.start; i < it.end; {
		end := i + 1
		for end < it.end && attaches(s.text[end]) {
			end++
		}
		span := s.of[i]
		var chosen *face
		blank := unicode.IsSpace(s.text[i]) || ignorable(s.text[i])
		if !blank {
			chosen = s.fonts.choose(s.spans[span].Face, s.keys[span], it.script, s.text[i:end])
		}
		n := len(items)
		switch {
		case n > first && s.of[items[n-1].start] == span && (blank || items[n-1].face == nil || items[n-1].face == chosen):
			items[n-1].end = end
			if items[n-1].face == nil {
				items[n-1].face = chosen
			}
		default:
			part := it
			part.start, part.end, part.face = i, end, chosen
			items = append(items, part)
		}
		i = end
	}
	for i := first; i < len(items); i++ {
		if items[i].face == nil { // nothing but white space
			span := s.of[items[i].start]
			items[i].face = s.fonts.forRune(s.spans[span].Face, s.keys[span], it.script, ' ')
		}
	}
	return items
}

// attaches reports whether a rune belongs to the letter before it.
func attaches(r rune) bool {
	return unicode.Is(unicode.M, r) || unicode.Is(unicode.Variation_Selector, r) || r == '\u200d' || r >= 0x1f3fb && r <= 0x1f3ff
}

// visual puts items in reading order into the order from left to right (UAX #9,
// rule L2).
func visual(items []item) {
	var highest, lowestOdd bidi.Level = 0, 127
	for _, it := range items {
		highest = max(highest, it.level)
		if it.level%2 == 1 {
			lowestOdd = min(lowestOdd, it.level)
		}
	}
	for level := highest; level >= lowestOdd && level > 0; level-- {
		for i := 0; i < len(items); {
			k := i
			for k < len(items) && items[k].level >= level {
				k++
			}
			slices.Reverse(items[i:k])
			i = max(k, i+1)
		}
	}
}

// glyphs shapes one item.
func (s *setting) glyphs(it item) []Glyph {
	style := s.spans[s.of[it.start]].Style
	if !(style.Size > 0) {
		return nil
	}
	out, ok := s.shape(it, style)
	if !ok { // the font is damaged: one that is not takes its place
		it.face = s.fonts.own.nearest(style.Face)
		if out, ok = s.shape(it, style); !ok {
			return nil
		}
	}
	scale := style.Size / float64(it.face.Upem())
	length := func(v fixed.Int26_6) float64 { return float64(v) / 64 * scale }
	glyphs := make([]Glyph, len(out.Glyphs))
	for i, g := range out.Glyphs {
		glyphs[i] = Glyph{
			Offset:  geometry.Pt(length(g.XOffset), -length(g.YOffset)),
			Advance: length(g.Advance),
			Rune:    g.TextIndex(), Runes: g.RunesCount(), id: g.GlyphID,
		}
		blank := unicode.IsSpace(s.text[g.TextIndex()]) || ignorable(s.text[g.TextIndex()])
		if g.GlyphID == 0 {
			// A box in place of a letter is nothing that anyone wants to cut.
			if !blank {
				s.noteLost(g.TextIndex())
			}
			continue
		}
		var picture bool
		glyphs[i].Outline, picture = it.face.outline(g.GlyphID, scale)
		if picture && !blank {
			s.noteLost(g.TextIndex())
		}
	}
	return glyphs
}

// shape runs the shaper, at a size at which a font's positions are whole
// numbers; false when the font's data brought it down.
func (s *setting) shape(it item, style Style) (out shaping.Output, ok bool) {
	defer func() {
		if recover() != nil {
			s.fonts.shaper = shaping.HarfbuzzShaper{}
			ok = false
		}
	}()
	in := shaping.Input{
		Text: s.text, RunStart: it.start, RunEnd: it.end, Direction: direction(it.level), Face: it.face.Face,
		Size: fixed.I(int(it.face.Upem())), Script: it.script, Language: it.lang, FontFeatures: features(style),
	}
	out = s.fonts.shaper.Shape(in)
	for _, g := range out.Glyphs {
		if i := g.TextIndex(); i < it.start || i >= it.end {
			return out, false
		}
	}
	return out, true
}

func features(style Style) []shaping.FontFeature {
	var out []shaping.FontFeature
	put := func(tag string, v uint32) {
		if len(tag) == 4 {
			out = append(out, shaping.FontFeature{Tag: opentype.NewTag(tag[0], tag[1], tag[2], tag[3]), Value: v})
		}
	}
	if style.LetterSpacing != 0 { // CSS Text 3, 8.2
		put("liga", 0)
		put("clig", 0)
	}
	for _, ft := range style.Features {
		put(ft.Tag, ft.Value)
	}
	return out
}

// space adds the spacing between letters, and that of words.
func (s *setting) space(glyphs []Glyph) {
	for i := range glyphs {
		g := &glyphs[i]
		last := i+1 == len(glyphs)
		if !last && glyphs[i+1].Rune == g.Rune {
			continue
		}
		style := s.spans[s.of[g.Rune]].Style
		if !last && !joins(s.text[g.Rune]) {
			g.Advance += style.LetterSpacing
		}
		if r := s.text[g.Rune]; r == ' ' || r == '\u00a0' {
			g.Advance += style.WordSpacing
		}
	}
}

// joins reports whether a letter is of a script whose letters are joined: a gap
// would tear words apart.
func joins(r rune) bool {
	return unicode.In(r, unicode.Arabic, unicode.Syriac, unicode.Nko, unicode.Mongolian, unicode.Phags_Pa, unicode.Mandaic, unicode.Manichaean,
		unicode.Psalter_Pahlavi, unicode.Devanagari, unicode.Bengali, unicode.Gurmukhi, unicode.Modi, unicode.Sharada, unicode.Syloti_Nagri,
		unicode.Tirhuta, unicode.Ogham)
}

// Outline is the line's shape from the origin, to be filled nonzero.
func (l Line) Outline() geometry.Path {
	var out geometry.Path
	for _, g := range l.Glyphs {
		out = append(out, g.Outline.Transform(geometry.Translate(g.X+g.Offset.X, g.Offset.Y))...)
	}
	return out
}

// Clusters calls yield for each cluster, from left to right, with its glyphs:
// glyphs that must stay together, such as a letter with its marks.
func (l Line) Clusters(yield func(glyphs []Glyph) bool) {
	for i := 0; i < len(l.Glyphs); {
		k := i + 1
		for k < len(l.Glyphs) && l.Glyphs[k].Rune == l.Glyphs[i].Rune {
			k++
		}
		if !yield(l.Glyphs[i:k]) {
			return
		}
		i = k
	}
}
