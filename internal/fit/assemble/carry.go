package assemble

import (
	"math"
	"strconv"

	"abut/internal/message"
)

// Carry is how a separation's pieces get to the carrier.
type Carry string

const (
	// Stays is for the base's pieces, which never move.
	Stays Carry = "stays"
	// ByHand is for one or a few sturdy pieces.
	ByHand Carry = "hand"
	// WithFilm is for lettering, many or thin pieces, on low-tack film.
	WithFilm Carry = "film"
)

const (
	// sturdyMM is the mean width (twice the area over the length of the outline)
	// from which a piece is carried by hand. A ring of this width keeps its shape
	// between two fingers (common practice: a judgement).
	sturdyMM = 4
	// fewPieces is how many are laid one by one, each edge to edge with what lies
	// there; more are quicker, and truer to each other, on film (our choice).
	fewPieces = 3
)

// SetCarry says how each separation goes over, and why.
func (a *Assembly) SetCarry() {
	for k := range a.Separations {
		s := &a.Separations[k]
		s.Carry, s.CarryReason = s.carry(k == 0)
	}
}

func (s *Separation) carry(base bool) (Carry, message.Message) {
	thinnest := math.Inf(1)
	for _, p := range s.Pieces {
		if p.CutMM > 0 {
			thinnest = math.Min(thinnest, 2*p.AreaMM2/p.CutMM)
		}
	}
	say := func(id string) message.Message {
		return message.Message{ID: id, Values: map[string]any{"count": message.Count(len(s.Pieces)), "width": message.MM(thinnest)}}
	}
	switch {
	case base:
		return Stays, say("carry-stays")
	case len(s.Pieces) > fewPieces:
		return WithFilm, say("carry-film-many")
	case thinnest < sturdyMM:
		return WithFilm, say("carry-film-thin")
	default:
		return ByHand, say("carry-hand")
	}
}

// Number returns a piece's number in order of assembly: its separation's, and
// which of its pieces it is: outer before inner, larger before smaller. The second
// is 0 for an only piece, both for a piece that is not there.
func (a *Assembly) Number(id PieceID) (separation, of int) {
	s, k := a.Find(id.Of)
	if s != nil && len(s.Pieces) > 1 {
		of = id.N + 1
	}
	return k + 1, of
}

// NumberText is a piece's number as people read it, on screen and in print: 2,
// or 2.1 of several.
func (a *Assembly) NumberText(id PieceID) string {
	s, of := a.Number(id)
	if of == 0 {
		return strconv.Itoa(s)
	}
	return strconv.Itoa(s) + "." + strconv.Itoa(of)
}
