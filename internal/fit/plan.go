package fit

import (
	"math"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// Plan is what follows from a job: what is cut from which sheet, what stacks,
// where the frame runs. All coordinates are board millimetres unless said
// otherwise, not mirrored: mirroring belongs to what writes files.
type Plan struct {
	// Extent is the bounds of everything that is covered by a layer that is
	// not left out, bare and drawn places too: the art. Its corners lie on the
	// grid of 0.1 µm. It is empty (see geometry.Rect) when nothing is covered.
	Extent geometry.Rect
	// Page is what every cut file of the job shows: the art, or with a frame
	// the frame's outer bounds.
	Page geometry.Rect
	// Separations are in order of assembly, the base first.
	Separations []Separation
	// Pieces are all connected pieces of all separations, by separation, and
	// within one outer before inner and larger before smaller.
	Pieces []Piece
	// Frame is nil when there is none; FrameReason says why there is or is
	// not, BaseReason why the base is the base (zero without separations).
	Frame                   *Frame
	FrameReason, BaseReason message.Message
	Stacked                 Stacked
	// Marks are small closed shapes outside the art and the frame, on every sheet at
	// the same place; nil without any.
	Marks geometry.Path
	// Beyond is what the art with its frame is too large for: nothing is written
	// then, unless asked to.
	Beyond []Beyond
	// Healed is what was too thin to be anything: faces narrower than HealMM
	// that went to a neighbour.
	Healed Healed
	// Bare is the area that bare layers own, left blank on purpose.
	BareMM2 float64
	// Mends are the job's mends and what became of each, in the job's order.
	Mends []MadeMend
	// GivenAway are the pieces of the art of which the mends have left nothing.
	GivenAway []GivenAway
	// Proof compares what is cut with what was drawn.
	Proof Proof
	// Surrounds are the outlines that follow for the job's surrounds.
	Surrounds map[job.LayerID][]job.Shape
	// Drawings are what is drawn on each sheet before it is cut, by separation; Off
	// is what of the lines to draw lies on no piece.
	Drawings []Drawing
	Off      OffLines
	pen      []penLine
	// LeftOut names what the user left out.
	LeftOut []string
	// Background is the lowest layer that covers the whole page of the art; 0
	// when none does.
	Background job.LayerID
	// Warnings are the plan's own; those of the import stay with the items.
	Warnings []job.Warning
	// PiecesOf counts the pieces in which a layer is to be seen. One piece may
	// hold several layers of its separation.
	PiecesOf map[job.LayerID]int
	// Verdict is the one sentence on where the job stands.
	Verdict Verdict
}

// Separation is all that is cut from one sheet colour: every place that it
// claims. Where nothing stacks, no two separations have a place in common.
type Separation struct {
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
	// Pieces indexes Plan.Pieces.
	Pieces []int
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
	// sheet is what it is cut from, 0 for a sheet of the colour itself.
	sheet job.SheetID
}

// Called is the name for people: Word, or else Name.
func (s *Separation) Called() any {
	if s.Word.Word != "" {
		return s.Word
	}
	return s.Name
}

// Piece is one connected part of one separation.
type Piece struct {
	Separation int
	Outline    geometry.Path
	Bounds     geometry.Rect
	// Inside is a point inside the piece, where a number can stand.
	Inside  geometry.Point
	AreaMM2 float64
	// CutMM is the length of its outline.
	CutMM float64
}

// Frame is a line cut around the art on the base's sheet.
type Frame struct {
	Outline  geometry.Path
	Bounds   geometry.Rect
	MarginMM float64
	// CornerMM is how far its corners are rounded.
	CornerMM float64
}

// Stacked is where two different separations lie over each other.
type Stacked struct {
	AreaMM2 float64
	// Places are the connected stacked regions, largest first.
	Places []StackedPlace
	// Outline is the boundary of all of them, even-odd.
	Outline geometry.Path
}

// StackedPlace is one connected region where colours stack.
type StackedPlace struct {
	Outline geometry.Path
	Bounds  geometry.Rect
	// Inside is a point of the place.
	Inside  geometry.Point
	AreaMM2 float64
	// Layers are the layers that lie over each other there, bottom first.
	Layers []job.LayerID
}

// Healed counts what was given to a neighbour for being thinner than HealMM.
type Healed struct {
	Faces   int
	AreaMM2 float64
}

// Proof compares the picture that is cut with the one that was drawn. The areas
// are read off the map, where every place knows what was drawn there and who has
// it.
type Proof struct {
	// ArtMM2 is the area of the picture, places that stay bare too.
	ArtMM2 float64
	// HealedMM2 went to a neighbour for being too thin to be anything.
	HealedMM2 float64
	// MendedMM2 changed hands by mends; UncoveredMM2 of it is nobody's any longer.
	MendedMM2, UncoveredMM2 float64
}

// SamePercent is how much of the picture is as drawn, mends aside.
func (p Proof) SamePercent() float64 { return 100 - p.share(p.HealedMM2) }

// MendedPercent is how much of the picture mends changed.
func (p Proof) MendedPercent() float64 { return p.share(p.MendedMM2) }

func (p Proof) share(v float64) float64 {
	if !(p.ArtMM2 > 0) {
		return 0
	}
	return 100 * v / p.ArtMM2
}

// Message is the proof in words: 'same picture 100.00 %, mends changed 0.21 %'.
func (p Proof) Message() message.Message {
	m := message.Message{ID: "proof", Values: map[string]any{"same": percent(p.SamePercent(), false)}}
	if p.MendedMM2 > 0 {
		m.ID, m.Values["mended"] = "proof-mended", percent(p.MendedPercent(), true)
	}
	return m
}

// percent writes two decimals. What is not all is never rounded up to it, nor
// what is there down to nothing.
func percent(v float64, up bool) message.Exact {
	if up {
		return message.Exact{Value: math.Ceil(v*100-1e-9) / 100, Decimals: 2}
	}
	return message.Exact{Value: math.Floor(v*100+1e-9) / 100, Decimals: 2}
}

// Verdict says where the job stands.
type Verdict struct {
	State VerdictState
	message.Message
}

// VerdictState is the verdict's mark: ring, triangle, tick.
type VerdictState uint8

const (
	// Nothing: there is nothing to cut yet.
	Nothing VerdictState = iota
	// Trouble: something stands in the way of one press.
	Trouble
	// Ready for one press.
	Ready
)
