package assemble

import (
	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

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

// Assemble puts separations together that have neither name nor place yet, in
// the order in which the art met them; those without pieces are left out. rules
// know their sheets.
func Assemble(seps []Separation, s job.Settings, rules *own.Rules, extent geometry.Rect) Assembly {
	a := Assembly{Extent: extent, Page: extent, Separations: seps}
	if len(seps) == 0 {
		return a
	}
	b := &bench{Assembly: &a, settings: s, rules: rules}
	b.nameAll()
	base, reason := b.chooseBase()
	a.BaseReason = reason
	sortForAssembly(a.Separations, base)
	a.Frame, a.FrameReason = b.framer(a.Separations).frame()
	if a.Frame != nil {
		a.Page = a.Frame.Bounds
	}
	if s.Marks {
		a.Marks = kites(a.Page)
		a.Page = planar.OnGrid(a.Page.Grow(marksReachMM))
	}
	a.SetCarry()
	b.addBeyond()
	return a
}

// bench is where an assembly is put together.
type bench struct {
	*Assembly
	settings job.Settings
	rules    *own.Rules
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
