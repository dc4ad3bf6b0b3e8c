package job

import "strings"

// Text is lettering that stays editable: what it says and how it is set, with
// the outlines that came of it where it was edited. A machine without the font
// cuts the same.
type Text struct {
	// Text may have several lines.
	Text string
	// Family is a font family, empty for the program's own.
	Family string
	// Weight is 100 to 900; 400 is regular, 700 bold.
	Weight int
	Italic bool
	// SizeMM is the height of the font's em square.
	SizeMM float64
	Align  TextAlign
	// SpacingMM goes between letters in addition to the font's own.
	SpacingMM float64 `json:",omitempty"`
	// Arc bends the lines around a circle; nil leaves them straight.
	Arc *Arc `json:",omitempty"`
	// Shapes are the outlines, in millimetres: the first line's base line runs
	// through the origin, or around it on an arc.
	Shapes []Shape `json:"-"`
}

// Arc is the circle around the origin whose line the letters stand on.
type Arc struct {
	RadiusMM float64
	// Inside: the letters stand within the circle at its lower side, as on the
	// lower half of a badge; otherwise around its upper side.
	Inside bool
}

// TextAlign is where the lines lie about the origin, or about the middle of an
// arc.
type TextAlign uint8

// The alignments.
const (
	TextStart TextAlign = iota
	TextMiddle
	TextEnd
)

// Bounds of a text's numbers: more than a poster holds, and the weights that
// fonts have.
const (
	maxTextRunes  = 5000
	maxTextSizeMM = 2000
	minWeight     = 100
	maxWeight     = 900
)

// Check reports numbers out of reason, and a text of nothing but spaces, as an
// *EditError.
func (t Text) Check() error {
	switch {
	case strings.TrimSpace(t.Text) == "":
		return refuse(EmptyText)
	case len([]rune(t.Text)) > maxTextRunes,
		!(t.SizeMM > 0 && t.SizeMM <= maxTextSizeMM),
		!between(-t.SizeMM, 10*t.SizeMM, t.SpacingMM),
		t.Weight < minWeight || t.Weight > maxWeight, t.Align > TextEnd,
		t.Arc != nil && !(t.Arc.RadiusMM > 0 && t.Arc.RadiusMM <= maxSideMM):
		return refuse(BadText)
	}
	return nil
}
