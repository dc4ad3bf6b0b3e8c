package print

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf16"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/typeset"
)

// Type is how text is set. Its zero colour is black.
type Type struct {
	// Size is in points.
	Size   float64
	Bold   bool
	Colour colour.RGB
	Align  Align
}

// Align says which end of a line of text stands where it is put.
type Align uint8

// A line begins, is centred or ends there.
const (
	Left Align = iota
	Centre
	Right
)

const (
	pointMM = 25.4 / 72
	// leading is the way from line to line in sizes of type: enough for the accents
	// of the embedded fonts, whose ascent and descent make 1.17 sizes.
	leading = 1.3
	// capitals is the height of the embedded fonts' capitals and figures in sizes:
	// CapHeight of their OS/2 tables, 1480 of 2048.
	capitals = 1480.0 / 2048
)

// Leading is the way from one line to the next, in millimetres.
func (t Type) Leading() float64 { return t.Size * pointMM * leading }

// Capitals is the height of capitals and figures, in millimetres.
func (t Type) Capitals() float64 { return t.Size * pointMM * capitals }

// Width returns how wide the text is on one line, in millimetres.
func (d *Document) Width(text string, t Type) float64 {
	w := 0.0
	for _, r := range d.runs(text, t) {
		w += r.width
	}
	return w
}

// Text writes one line, its base line at `at`. Letters that the embedded fonts
// lack (they have Latin, Greek and Cyrillic) are drawn as outlines in a font of
// this computer, and can be searched nevertheless; where none has them either a
// question mark stands for each.
func (d *Document) Text(at geometry.Point, text string, t Type) {
	runs := d.runs(text, t)
	whole := 0.0
	for _, r := range runs {
		whole += r.width
	}
	switch t.Align {
	case Centre:
		at.X -= whole / 2
	case Right:
		at.X -= whole
	}
	for _, r := range runs {
		d.run(at, r, t)
		at.X += r.width
	}
}

// Lines parts text into lines that are no wider than width: between words and,
// where one word alone is wider, within it. Line breaks in the text stay.
func (d *Document) Lines(text string, width float64, t Type) []string {
	var out []string
	space := d.Width(" ", t)
	for _, paragraph := range strings.Split(text, "\n") {
		// The fonts do not kern, so that a line is as wide as its words and spaces.
		line, wide := "", 0.0
		for _, word := range strings.FieldsFunc(paragraph, func(r rune) bool { return r == ' ' || r == '\t' }) {
			w := d.Width(word, t)
			if line == "" {
				line, wide = word, w
			} else if wide+space+w <= width {
				line, wide = line+" "+word, wide+space+w
			} else {
				out = append(out, line)
				line, wide = word, w
			}
			for wide > width {
				fits := d.fitting(line, width, t)
				if fits == len(line) {
					break
				}
				out = append(out, line[:fits])
				line = line[fits:]
				wide = d.Width(line, t)
			}
		}
		out = append(out, line)
	}
	return out
}

// fitting is how many bytes of a word fit into width, one letter at least.
func (d *Document) fitting(word string, width float64, t Type) int {
	fits := len(word)
	for i := range word {
		if i > 0 && d.Width(word[:i], t) > width {
			break
		}
		fits = i
	}
	if fits == 0 { // not even one, or the text is one letter
		for i := range word {
			if i > 0 {
				return i
			}
		}
		return len(word)
	}
	return fits
}

// Paragraph writes text in lines of at most this width, the upper edge of the
// first at `at`, and returns where the next line's would be. Text that is
// centred or ends at the right does so within the width.
func (d *Document) Paragraph(at geometry.Point, width float64, text string, t Type) float64 {
	x := at.X
	switch t.Align {
	case Centre:
		x += width / 2
	case Right:
		x += width
	}
	y := at.Y
	for _, line := range d.Lines(text, width, t) {
		// The line's letters stand in the middle of its leading.
		d.Text(geometry.Pt(x, y+(t.Leading()+t.Capitals())/2), line, t)
		y += t.Leading()
	}
	return y
}

// Height returns how high Paragraph would make the text.
func (d *Document) Height(text string, width float64, t Type) float64 {
	return float64(len(d.Lines(text, width, t))) * t.Leading()
}

// run is a stretch of text that one way of writing is for.
type run struct {
	text  string
	width float64
	// outline is what is drawn instead of letters, from the base line's start.
	outline geometry.Path
}

// runs parts text by whether the embedded fonts have its letters.
func (d *Document) runs(text string, t Type) []run {
	text = plain(text)
	var out []run
	for len(text) > 0 {
		first, has := "", false
		for i, r := range text {
			if i == 0 {
				has = embedded(r)
			} else if embedded(r) != has && !joins(r) {
				first = text[:i]
				break
			}
		}
		if first == "" {
			first = text
		}
		text = text[len(first):]
		if has {
			out = append(out, d.own(first, t))
		} else {
			out = append(out, d.foreign(first, t))
		}
	}
	return out
}

// own is a run in the embedded fonts.
func (d *Document) own(text string, t Type) run {
	d.font(t)
	return run{text: text, width: d.pdf.GetStringWidth(text)}
}

// foreign is a run of letters that the embedded fonts lack.
func (d *Document) foreign(text string, t Type) run {
	fonts, err := typeset.System(context.Background())
	if err != nil {
		return d.own(strings.Repeat("?", len([]rune(text))), t)
	}
	style := typeset.Style{Size: t.Size * pointMM}
	if t.Bold {
		style.Weight = 700
	}
	line := fonts.Shape([]typeset.Span{{Text: text, Style: style}}, false)
	for _, n := range line.Notes {
		if n.Kind == typeset.LettersLost {
			return d.own(strings.Repeat("?", len([]rune(text))), t)
		}
	}
	r := run{text: text, width: line.Advance}
	for _, g := range line.Glyphs {
		r.outline = append(r.outline, g.Outline.Transform(geometry.Translate(g.X+g.Offset.X, g.Offset.Y))...)
	}
	return r
}

// run writes one run, its base line's start at `at`.
func (d *Document) run(at geometry.Point, r run, t Type) {
	d.font(t)
	if r.outline == nil {
		d.pdf.Text(at.X, at.Y, r.text)
		return
	}
	// What is marked so reads as the text given (ISO 32000-1, 14.9.4), if there is any
	// text in it: a space that is not painted.
	var utf strings.Builder
	for _, u := range utf16.Encode([]rune(r.text)) {
		fmt.Fprintf(&utf, "%04X", u)
	}
	d.pdf.RawWriteStr("/Span <</ActualText <FEFF" + utf.String() + ">>> BDC\n")
	d.pdf.SetTextRenderingMode(3)
	d.pdf.Text(at.X, at.Y, " ")
	d.pdf.SetTextRenderingMode(0)
	d.Draw(r.outline, geometry.Translate(at.X, at.Y), Ink{Fill: &t.Colour})
	d.pdf.RawWriteStr("EMC\n")
}

// font makes the library write in a type.
func (d *Document) font(t Type) {
	style := ""
	if t.Bold {
		style = "B"
	}
	d.pdf.SetFont(family, style, t.Size)
	d.pdf.SetTextColor(int(t.Colour.R), int(t.Colour.G), int(t.Colour.B))
}

// plain replaces what the embedded fonts lack and others look like, and leaves
// out what is not to be seen.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '\u2011':
			return '-' // a hyphen that keeps its line
		case '\u202F', '\u2009', '\u2007', '\u200A', '\u2002', '\u2003', '\u3000':
			return '\u00A0' // narrow spaces and wide ones
		case '\u00AD':
			return -1 // where a word may be parted
		case '\n':
			return ' '
		}
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) && r != '\u200D' && r != '\u200C' {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
}

// joins reports whether a rune belongs to the letter before it.
func joins(r rune) bool {
	return unicode.In(r, unicode.Mn, unicode.Me, unicode.Variation_Selector) || r == '\u200D' || r == '\u200C'
}

// glyphs tells which runes the embedded fonts have; the bold one has the same as the
// regular one. The library can write none beyond U+FFFF.
var glyphs = sync.OnceValue(func() *[0x10000]bool {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic(err) // the font is part of the program
	}
	var has [0x10000]bool
	var b sfnt.Buffer
	for r := range has {
		i, err := f.GlyphIndex(&b, rune(r))
		has[r] = err == nil && i != 0
	}
	return &has
})

// embedded reports whether the embedded fonts have the rune.
func embedded(r rune) bool { return r >= 0 && r < 0x10000 && glyphs()[r] }
