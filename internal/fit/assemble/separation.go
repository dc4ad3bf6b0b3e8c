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

// Assembly is how the separations of a plan are put together. Coordinates are
// board millimetres, not mirrored.
type Assembly struct {
	// Extent is the bounds of the art. Its corners lie on the grid of 0.1 µm. It is
	// empty (see geometry.Rect) when nothing is covered.
	Extent geometry.Rect
	// Page is what every cut file of the job shows: the art, or with a frame
	// the frame's outer bounds, and the marks.
	Page geometry.Rect
	// Separations are in order of assembly, the base first.
	Separations []Separation
	// Frame is nil when there is none; FrameReason says why there is or is
	// not, BaseReason why the base is the base (zero without separations).
	Frame                   *Frame
	FrameReason, BaseReason message.Message
	// Marks are small closed shapes outside the art and the frame, on every sheet at
	// the same place; nil without any.
	Marks geometry.Path
	// Beyond is what the art with its frame is too large for: nothing is written
	// then, unless asked to.
	Beyond []Beyond
}

// Find returns the separation of a material and its place in the order of
// assembly; nil and −1 when there is none (any longer).
func (a *Assembly) Find(of own.Material) (*Separation, int) {
	for i := range a.Separations {
		if a.Separations[i].Of == of {
			return &a.Separations[i], i
		}
	}
	return nil, -1
}

// Piece returns a piece by its id, nil when there is none (any longer).
func (a *Assembly) Piece(id PieceID) *own.Piece {
	s, _ := a.Find(id.Of)
	if s == nil || id.N >= len(s.Pieces) {
		return nil
	}
	return &s.Pieces[id.N]
}

// Ordinal returns which of all pieces, in order of assembly, a piece is: 1 for the
// first.
func (a *Assembly) Ordinal(id PieceID) int {
	n := id.N + 1
	for i := range a.Separations {
		if a.Separations[i].Of == id.Of {
			break
		}
		n += len(a.Separations[i].Pieces)
	}
	return n
}

// NumPieces returns how many pieces all separations have together.
func (a *Assembly) NumPieces() int {
	n := 0
	for i := range a.Separations {
		n += len(a.Separations[i].Pieces)
	}
	return n
}
