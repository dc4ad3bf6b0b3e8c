package job

// Content is what a layer draws. The set is sealed: Outlines is what imports
// produce; Primitive and Text are drawn here and stay editable; a Surround
// follows other layers.
type Content interface{ content() }

func (Outlines) content()  {}
func (Primitive) content() {}
func (Text) content()      {}
func (Surround) content()  {}

// Outlines are filled shapes in source units; a place belongs to them when any
// of the shapes covers it.
type Outlines struct{ Shapes []Shape }

// Surround is all that lies within a width of other layers: a band around them
// that follows whatever becomes of them. What it looks like is part of the plan.
type Surround struct {
	// Of are layers of the job, of one item or several.
	Of []LayerID
	// WidthMM is the band's width on the board.
	WidthMM float64
	// Sharp keeps corners, to twice the width; otherwise they are rounded.
	Sharp bool `json:",omitempty"`
	// Filled closes the holes that remain inside.
	Filled bool `json:",omitempty"`
}

// maxSurroundMM is the widest band: wider than any sheet has room for around
// art.
const maxSurroundMM = 200

// Check reports a width out of reason as an *EditError.
func (s Surround) Check() error {
	if !(s.WidthMM > 0 && s.WidthMM <= maxSurroundMM) {
		return refuse("edit-bad-surround")
	}
	return nil
}

// Shapes returns the outlines of a content, in its own units. A Surround has
// none of its own: they follow from other layers and are part of the plan.
func Shapes(c Content) []Shape {
	switch c := c.(type) {
	case Outlines:
		return c.Shapes
	case Primitive:
		return c.shapes
	case Text:
		return c.Shapes
	}
	return nil
}
