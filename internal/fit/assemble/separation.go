package assemble

import (
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// Separation is all that is cut from one sheet colour: every place that it
// claims. Where nothing stacks, no two separations have a place in common.
type Separation struct {
	// Of is what it is cut from. It names the separation within the plan.
	Of own.Material
	// Name is a plain name that is unique within the plan, such as a colour
	// word or the sheet's name. It names files, so it is the same whatever
	// language people read; they are shown Called.
	Name string
	// Word is set where no sheet gave the name.
	Word   message.ColourName
	Colour colour.RGB
	Use    job.Use
	// Layers are the layers that claim some of it, bottom first.
	Layers []job.LayerID
	// Pieces are its connected pieces, outer before inner and larger before
	// smaller.
	Pieces []own.Piece
	// Outline is the boundary of all pieces: closed contours, even-odd,
	// inner contours before the outer one that holds them.
	Outline geometry.Path
	Bounds  geometry.Rect
	AreaMM2 float64
	// CutMM is the length of the cut lines, the frame not counted.
	CutMM float64
	// Carry is how its pieces get to the carrier, and CarryReason why so.
	Carry       Carry
	CarryReason message.Message
}

// Called is the name for people: Word, or else Name.
func (s *Separation) Called() any {
	if s.Word.Word != "" {
		return s.Word
	}
	return s.Name
}

// PieceID names a piece of a plan: the N-th of a separation. The zero value
// names none.
type PieceID struct {
	Of own.Material
	N  int
}
