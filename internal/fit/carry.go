package fit

import (
	"math"

	"abut/internal/message"
)

// Carry is how a separation's pieces get to the carrier.
type Carry string

const (
	// Stays: the base's pieces never move.
	Stays Carry = "stays"
	// ByHand: one or a few sturdy pieces.
	ByHand Carry = "hand"
	// WithFilm: lettering, many or thin pieces, on low-tack film.
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

// setCarry says how each separation goes over, and why.
func (p *Plan) setCarry() {
	for k := range p.Separations {
		s := &p.Separations[k]
		s.Carry, s.CarryReason = p.carry(k)
	}
}

func (p *Plan) carry(k int) (Carry, message.Message) {
	s := &p.Separations[k]
	thinnest := math.Inf(1)
	for _, i := range s.Pieces {
		if q := &p.Pieces[i]; q.CutMM > 0 {
			thinnest = math.Min(thinnest, 2*q.AreaMM2/q.CutMM)
		}
	}
	say := func(id string) message.Message {
		return message.Message{ID: id, Values: map[string]any{"count": message.Count(len(s.Pieces)), "width": message.MM(thinnest)}}
	}
	switch {
	case k == 0:
		return Stays, say("carry-stays")
	case len(s.Pieces) > fewPieces:
		return WithFilm, say("carry-film-many")
	case thinnest < sturdyMM:
		return WithFilm, say("carry-film-thin")
	default:
		return ByHand, say("carry-hand")
	}
}

// Number returns the piece's number in order of assembly: its separation's,
// and where several are laid by hand, which of them it is: outer before inner.
// The second is 0 where all go over at once or never move.
func (p *Plan) Number(piece int) (separation, of int) {
	s := &p.Separations[p.Pieces[piece].Separation]
	if s.Carry == ByHand && len(s.Pieces) > 1 {
		of = piece - s.Pieces[0] + 1
	}
	return p.Pieces[piece].Separation + 1, of
}
