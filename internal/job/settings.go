package job

import (
	"math"
	"slices"

	"abut/internal/colour"
)

// Settings are the choices that hold for the whole job. The zero value is a
// usable start: automatic bare and frame, every default length.
type Settings struct {
	Bare  BareRule
	Frame FrameRule
	// Blank is the colour of the thing decorated, at the bottom of every mix.
	// The zero value stands for white; read it with BlankColour.
	Blank *colour.RGB
	// BlankShape is the thing decorated, nil when none was chosen.
	BlankShape *Blank
	// Units says how lengths are shown and typed.
	Units Units
	// NarrowestMM and SpeckMM say what is a weak spot, 0 for the defaults; read
	// them with Narrowest and Speck.
	NarrowestMM float64 `json:",omitempty"`
	SpeckMM     float64 `json:",omitempty"`
	// ClearanceMM is the gap between neighbours, taken from the piece that is
	// laid later; 0 lets them touch.
	ClearanceMM float64 `json:",omitempty"`
	// CutterMM is the width that the cutter can cut; SheetWidthMM and
	// SheetHeightMM are the size of sheets that say nothing of their own. 0 for
	// the defaults; read them with Cutter and SheetSize.
	CutterMM                    float64 `json:",omitempty"`
	SheetWidthMM, SheetHeightMM float64 `json:",omitempty"`
	// Sheets is how many sheets the user is willing to use, 0 when nobody said.
	Sheets int `json:",omitempty"`
	// Marks puts small shapes outside the art on every sheet, to line film up.
	Marks bool `json:",omitempty"`
	// Base is the colour of the separation that everything is assembled on, nil
	// for the one that the plan chooses. FrameOn chooses one, too.
	Base *colour.RGB `json:",omitempty"`
	// Hues are what was decided by hand about merging colours.
	Hues Hues `json:",omitzero"`
	// Lesson is what was decided about showing it to a class.
	Lesson Lesson `json:",omitzero"`
	// Layout is how what is cut is laid out on sheets.
	Layout Layout `json:",omitzero"`
	// Laid is where everything lies then.
	Laid Laid `json:",omitzero"`
	// List has the design filled in for each of its rows, nil without one.
	List *List `json:",omitempty"`
}

// Defaults of Settings, all of them common practice without a source.
const (
	// defaultNarrowestMM is the narrowest line or gap that is cut and weeded
	// without trouble: 1–1.5 mm are said.
	defaultNarrowestMM = 1.0
	// defaultSpeckMM is the size under which a piece is a speck: about 2 mm.
	defaultSpeckMM = 2.0
	// defaultCutterMM is the width that a desktop cutter for sheets of 12 in can
	// cut, 11.5 in: its rollers and its mat's edge take the rest.
	defaultCutterMM = 292.1
	// defaultSheetMM is the side of the usual square sheet, 12 in.
	defaultSheetMM = 304.8
	// defaultMarginMM is the frame's usual distance from the art.
	defaultMarginMM = 5.0
)

// or returns the value, or what stands for it where it is not set.
func or(value, standard float64) float64 {
	if value > 0 {
		return value
	}
	return standard
}

// Narrowest returns the narrowest width, in millimetres, that is no weak spot.
func (s Settings) Narrowest() float64 { return or(s.NarrowestMM, defaultNarrowestMM) }

// Speck returns the size, in millimetres, under which a piece is a speck.
func (s Settings) Speck() float64 { return or(s.SpeckMM, math.Max(defaultSpeckMM, s.Narrowest())) }

// Cutter returns the width that the cutter can cut.
func (s Settings) Cutter() float64 { return or(s.CutterMM, defaultCutterMM) }

// SheetSize returns the size of a sheet that says nothing of its own.
func (s Settings) SheetSize() (w, h float64) {
	return or(s.SheetWidthMM, defaultSheetMM), or(s.SheetHeightMM, defaultSheetMM)
}

// SizeOf returns the size of a sheet: its own, or that of the settings.
func (s Settings) SizeOf(sheet Sheet) (w, h float64) {
	if sheet.WidthMM > 0 && sheet.HeightMM > 0 {
		return sheet.WidthMM, sheet.HeightMM
	}
	return s.SheetSize()
}

// BlankColour returns the blank's colour, white unless set.
func (s Settings) BlankColour() colour.RGB {
	if s.Blank == nil {
		return colour.White
	}
	return *s.Blank
}

// BaseColour returns the colour of the base that was chosen, nil when none was.
func (s Settings) BaseColour() *colour.RGB {
	if s.Frame.Mode == FrameOn {
		return &s.Frame.Colour
	}
	return s.Base
}

// Sheet is a colour's material.
type Sheet struct {
	ID        SheetID
	Name      string
	Pressed   colour.RGB
	Unpressed colour.RGB
	// WidthMM and HeightMM are its size, 0 for that of the settings; read them
	// with Settings.SizeOf.
	WidthMM, HeightMM float64 `json:",omitempty"`
}

// Target is where a colour goes: to a sheet, or nowhere when Bare.
type Target struct {
	Bare  bool
	Sheet SheetID
}

// Units is how lengths are shown.
type Units uint8

const (
	// Millimetres is the default.
	Millimetres Units = iota
	// Inches shows lengths in decimal inches.
	Inches
)

// BareRule says which art colours stay bare when Assign is silent about them.
type BareRule struct {
	Mode BareMode
	// Colours stay bare when Mode is BareListed.
	Colours []colour.RGB
}

// BareMode selects a BareRule's way of deciding.
type BareMode uint8

const (
	// BareAuto leaves white bare: any colour within BareDeltaE of it.
	BareAuto BareMode = iota
	// BareNone cuts every colour, white too.
	BareNone
	// BareListed leaves the listed colours bare and no others.
	BareListed
)

// BareDeltaE is how far (CIEDE2000) a colour may lie from white and still be
// taken for 'leave it bare'. Common practice knows no figure: 2 is about where
// two swatches side by side begin to look different.
const BareDeltaE = 2.0

// LeavesBare reports whether the rule leaves a colour bare.
func (r BareRule) LeavesBare(c colour.RGB) bool {
	switch r.Mode {
	case BareAuto:
		return c.DeltaE(colour.White) <= BareDeltaE
	case BareListed:
		return slices.Contains(r.Colours, c)
	}
	return false
}

// FrameRule says whether the art gets a frame, and on which sheet.
type FrameRule struct {
	Mode FrameMode
	// Colour is the art colour whose sheet becomes the base when Mode is
	// FrameOn.
	Colour colour.RGB
	// MarginMM is how far the frame lies outside the art. 0 means the default,
	// 5 mm, or less where blank, sheet or cutter leave no more; read it with
	// Margin.
	MarginMM float64
	// CornerMM is how far its corners are rounded, 0 for square ones, or round
	// ones where only such a frame lies within a round blank. It never comes
	// closer to the art than its sides may.
	CornerMM float64 `json:",omitempty"`
}

// FrameMode selects a FrameRule's way of deciding.
type FrameMode uint8

const (
	// FrameAuto adds a frame where the base does not span the rest.
	FrameAuto FrameMode = iota
	// FrameNone never adds one.
	FrameNone
	// FrameOn always adds one, on the sheet of FrameRule.Colour.
	FrameOn
	// FrameAlways adds one on the base that is chosen automatically.
	FrameAlways
)

// LeastMarginMM is how close the frame may come where there is no room for more:
// a band of that width still weeds in one go (our choice: the narrowest part
// that can be cut).
const LeastMarginMM = 1.0

// Margin returns the frame's distance from the art in millimetres.
func (f FrameRule) Margin() float64 { return or(f.MarginMM, defaultMarginMM) }
