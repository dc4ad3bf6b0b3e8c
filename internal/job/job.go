package job

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
)

// Job is the document. Treat it, and everything reached from it, as read-only:
// jobs share layers, maps and paths with the jobs they were made from.
type Job struct {
	Settings Settings
	// Sheets are the materials that colours are assigned to. A colour without
	// an entry in Assign is cut from a sheet of its own colour.
	Sheets []Sheet
	Assign map[colour.RGB]Target
	// Items are the pictures of the job, bottom first.
	Items []Item
	// LastLayer and LastItem are the highest ids ever given, once one of them
	// is gone: what is deleted never lends its id to something new.
	LastLayer LayerID
	LastItem  ItemID
}

// ItemID names an item within its job; LayerID a layer within its job. Ids are
// never used again after a delete, so that undo and mends can refer to them.
type (
	ItemID  uint32
	LayerID uint32
	// GroupID names an opacity group within its item; 0 is none.
	GroupID uint32
	// SheetID names a sheet within its job.
	SheetID uint32
)

// Item is one picture with its size and place.
type Item struct {
	ID   ItemID
	Name string
	// Source says where the art came from: a file name, or the name of a demo
	// picture.
	Source string
	// Canvas is the art's own page (SVG: the root viewBox) in source units.
	Canvas geometry.Rect
	// PhysicalMM is the size that the file states for its canvas, zero when it
	// states none.
	PhysicalMM geometry.Point
	Layers     []Layer
	// Placement maps source units (SVG: root user units) to board millimetres.
	Placement geometry.Affine
	Copies    int
	// Mends are what is done about weak spots.
	Mends []Mend `json:",omitempty"`
	// Warnings are what the import flattened, guessed or left out.
	Warnings []Warning
}

// Layer is one group of shapes of one art colour.
type Layer struct {
	ID      LayerID
	Name    string
	Content Content
	Colour  colour.RGB
	// Alpha is the layer's opacity in (0, 1]. Below 1 its colour at a place is
	// its mix over what it covers there.
	Alpha float64
	// Solid: the layer counts as opaque all the same, in its own colour.
	Solid bool `json:",omitempty"`
	// Band is set where the layer is a band of a gradient.
	Band Band `json:",omitzero"`
	// Group joins layers that came from one opacity group: at any place only
	// the topmost of them counts.
	Group GroupID
	// Folders are the named groups of the file around all of the layer, the
	// outermost first.
	Folders []string `json:",omitempty"`
	// Transform moves the content within the item, in source units; it is
	// applied before Item.Placement.
	Transform geometry.Affine
	Use       Use
	// Knocks: the layer cuts itself out of all that lies beneath it.
	Knocks bool
	// Shown is for looking only; it never changes what is cut.
	Shown  bool
	Locked bool
}

// Opacity is how opaque the layer counts as, in (0, 1].
func (l *Layer) Opacity() float64 {
	if l.Solid {
		return 1
	}
	return l.Alpha
}

// Outlines are filled shapes in source units; a place belongs to them when any
// of the shapes covers it.
type Outlines struct{ Shapes []Shape }

// Shape is one filled path. It covers a point when its path encloses the point
// under Rule and every clip covers the point too.
type Shape struct {
	Path  geometry.Path
	Rule  geometry.FillRule
	Clips []*Clip
	// Gradient is what the shape was painted with, nil for a flat colour.
	Gradient *gradient.Gradient `json:",omitempty"`
	// Centre are the lines that a pen followed to draw the shape, open or closed,
	// where the file said what they were; nil for what was filled.
	Centre geometry.Path `json:",omitempty"`
	// Element and Line say where the shape stands in its file, for messages;
	// Line is 0 when unknown.
	Element string
	Line    int
}

// Clip covers a point when any of its shapes does. Shapes often share a clip,
// hence the pointer; it is read-only like everything else.
type Clip struct {
	Shapes []Shape
	// Band: it is a band of the gradient of the shape whose last clip it is.
	Band bool
}

// Use is what becomes of a layer.
type Use uint8

const (
	// Cut: pieces are cut from the layer's sheet.
	Cut Use = iota
	// Bare: the layer knocks out what lies beneath it and nothing is cut, so
	// the blank shows. There is no white dye: white is bare.
	Bare
	// Drawn: drawn on with a pen; it knocks out nothing and never stacks.
	Drawn
	// LeftOut: as if the layer were not there; reported by name.
	LeftOut
)

// String returns the use's id in files and words.
func (u Use) String() string {
	return [...]string{"cut", "bare", "drawn", "left-out"}[u]
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
	// Marks puts small shapes outside the art on every sheet, to line film up.
	Marks bool `json:",omitempty"`
	// Base is the colour of the separation that everything is assembled on, nil
	// for the one that the plan chooses. FrameOn chooses one, too.
	Base *colour.RGB `json:",omitempty"`
}

// BlankColour returns the blank's colour, white unless set.
func (s Settings) BlankColour() colour.RGB {
	if s.Blank == nil {
		return colour.White
	}
	return *s.Blank
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
	// DefaultMarginMM, or less where blank, sheet or cutter leave no more.
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

const (
	// DefaultMarginMM is the frame's usual distance from the art, 5 mm (common
	// practice).
	DefaultMarginMM = 5.0
	// LeastMarginMM is how close it may come where there is no room for more: a
	// band of that width still weeds in one go (our choice: the narrowest part
	// that can be cut).
	LeastMarginMM = 1.0
)

// Margin returns the frame's distance from the art in millimetres.
func (f FrameRule) Margin() float64 {
	if f.MarginMM > 0 {
		return f.MarginMM
	}
	return DefaultMarginMM
}
