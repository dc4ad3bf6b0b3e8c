package job

import (
	"abut/geometry"
	"abut/internal/colour"
)

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

// Use is what becomes of a layer.
type Use uint8

const (
	// Cut says that pieces are cut from the layer's sheet.
	Cut Use = iota
	// Bare says that the layer knocks out what lies beneath it and nothing is cut, so
	// the blank shows. There is no white dye: white is bare.
	Bare
	// Drawn says that it is drawn on with a pen; it knocks out nothing and never stacks.
	Drawn
	// LeftOut treats the layer as if it were not there; it is reported by name.
	LeftOut
)

// String returns the use's id in files and words.
func (u Use) String() string {
	return [...]string{"cut", "bare", "drawn", "left-out"}[u]
}

// Band says which bands a layer belongs to. The zero value is no band: a whole
// gradient in its mean colour, or no gradient at all.
type Band struct {
	// Of names the bands that belong together: the id of the first of them.
	Of LayerID
	// Count is how many bands were asked for.
	Count uint8
	// Name, Colour and Alpha are those of the layer that the band comes of.
	Name   string
	Colour colour.RGB
	Alpha  float64
}
