package fit

import (
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/assemble"
	"abut/internal/fit/mend"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// What a plan is made of, from the rooms behind it.
type (
	// Separation is all that is cut from one sheet colour.
	Separation = assemble.Separation
	// Material is what a separation is cut from; the parts of a plan refer to it by
	// that.
	Material = own.Material
	// Piece is one connected part of one separation.
	Piece = own.Piece
	// PieceID names a piece.
	PieceID = assemble.PieceID
	// Frame is a line cut around the art on the base's sheet.
	Frame = assemble.Frame
	// Beyond is something that the art with its frame is too large for.
	Beyond = assemble.Beyond
	// MadeMend is a mend of the job and what became of it.
	MadeMend = mend.Made
	// Error says why no plan could be made, in a message for people.
	Error = own.Error
)

// Plan is what follows from a job: what is cut from which sheet, what stacks,
// where the frame runs. All coordinates are board millimetres unless said
// otherwise, not mirrored: mirroring belongs to what writes files. Its parts refer
// to separations by what these are cut from.
type Plan struct {
	assemble.Assembly
	Stacked Stacked
	// Healed is what was too thin to be anything: faces narrower than
	// own.HealMM that went to a neighbour.
	Healed planar.Healed
	// Bare is the area that bare layers own, left blank on purpose.
	BareMM2 float64
	// Mends are the job's mends and what became of each, in the job's order.
	Mends []MadeMend
	// GivenAway are the pieces of the art of which the mends have left nothing.
	GivenAway []mend.GivenAway
	// Proof compares what is cut with what was drawn.
	Proof Proof
	// Surrounds are the outlines that follow for the job's surrounds.
	Surrounds map[job.LayerID][]job.Shape
	// Drawings are what is drawn on each sheet before it is cut, in order of
	// assembly; Off is what of the lines to draw lies on no piece.
	Drawings []Drawing
	Off      OffLines
	pen      []penLine
	// LeftOut names what the user left out.
	LeftOut []string
	// Background is the lowest layer that covers the whole page of the art, or else stays bare
	// around all that is cut; 0 when none does.
	Background job.LayerID
	// Warnings are the plan's own; those of the import stay with the items.
	Warnings []job.Warning
	// PiecesOf counts the pieces in which a layer is to be seen. One piece may
	// hold several layers of its separation.
	PiecesOf map[job.LayerID]int
	// Verdict is the one sentence on where the job stands.
	Verdict Verdict
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
