package typeset

import (
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/language"
)

// Metrics are heights over the base line (upwards positive) of the font that a
// style's Latin letters are set in.
type Metrics struct {
	Ascent, Descent, XHeight, CapHeight float64 // Descent is negative
	// Underline and Strike are where the middle of the line lies, with its
	// thickness.
	Underline, UnderlineThickness float64
	Strike, StrikeThickness       float64
	// Subscript and Superscript are how far such text is moved; the latter is 0.4
	// of the size, for the fonts' own value is out of reach.
	Subscript, Superscript float64
}

// Metrics returns the metrics of a style.
func (f *Fonts) Metrics(style Style) (m Metrics) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !(style.Size > 0) {
		return Metrics{}
	}
	c := f.forRune(style.Face, style.Face.key(), language.Latin, 'x')
	scale := style.Size / float64(c.Upem())
	defer func() {
		if recover() != nil {
			m = Metrics{} // a damaged font
		}
	}()
	get := func(which font.LineMetric) float64 { return float64(c.LineMetric(which)) * scale }
	if e, ok := c.FontHExtents(); ok {
		m.Ascent, m.Descent = float64(e.Ascender)*scale, float64(e.Descender)*scale
	} else {
		m.Ascent, m.Descent = 0.8*style.Size, -0.2*style.Size
	}
	m.XHeight, m.CapHeight = get(font.XHeight), get(font.CapHeight)
	if m.XHeight <= 0 {
		m.XHeight = 0.45 * style.Size
	}
	m.UnderlineThickness, m.StrikeThickness = get(font.UnderlineThickness), get(font.StrikethroughThickness)
	if m.UnderlineThickness <= 0 {
		m.UnderlineThickness = style.Size / 12
	}
	if m.StrikeThickness <= 0 {
		m.StrikeThickness = m.UnderlineThickness
	}
	m.Underline = get(font.UnderlinePosition)
	if m.Underline == 0 {
		m.Underline = -style.Size / 9
	}
	m.Strike = get(font.StrikethroughPosition)
	if m.Strike <= 0 {
		m.Strike = m.XHeight / 2
	}
	m.Subscript, m.Superscript = -get(font.SubscriptEmYOffset), 0.4*style.Size
	if m.Subscript == 0 {
		m.Subscript = -0.2 * style.Size
	}
	return m
}
