package mend

import (
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// longParted is how long, in narrowest widths, a place is at most that may be cut apart: two
// outlines that touch like arcs of a radius of a dozen widths are as near for so long.
const longParted = 10

// parted reports whether a spot goes down to what one does not see between its ends, with others
// on its two sides: it looks like two points that touch, and may be cut apart there as each of
// them may be blunted. Between two of one material it would join those, and what is longer or
// larger than a point that is blunted is no such place: a railing that its gallery touches at
// corners only is one spot with it; but for a strip that is narrow all along and that nobody drew, such as
// that between a chin and a coat. Nor is what is thinnest at its very end.
func (m *mending) parted(s *Spot, w float64) bool {
	between := s.Kind == weak.Neck || s.Kind == weak.Sliver && !s.Whole && s.whole != nil && s.tip().Sub(s.At).Len() > w/2
	short := s.AreaMM2 <= mostBlunted*w*w && s.LengthMM <= longParted*w
	return between && s.WidthMM < 2*seenMM && !s.surrounded() && (short || narrow(s, w) && !m.drawn(s))
}

// closedShare is how broad, in narrowest widths, a space beside a line is on average that is
// better closed than listed.
const closedShare = 0.35

// narrow reports whether a spot is one that is better closed.
func narrow(p *Spot, w float64) bool { return p.AreaMM2 <= closedShare*w*p.LengthMM }

// deadEnd reports whether a spot is a small end of a larger gap.
func (m *mending) deadEnd(s *Spot, w float64) bool {
	if s.Kind != weak.Gap || s.Whole || s.AreaMM2 > mostBlunted*w*w || s.LengthMM > shortPoint*w || len(s.Outline) != 1 {
		return false
	}
	on := map[geometry.Point]bool{} // where sides end that someone is beside
	sides := m.sidesOf(s, s.Neighbours, w)
	for _, x := range sides {
		on[x.a] = true
	}
	open := 0
	for _, x := range sides {
		if !on[x.b] {
			open++
		}
	}
	return open == 1
}

// corner reports whether a spot is a small space that others leave where they meet, or all but meet: enclosed by them, or the
// end of a larger one.
func (m *mending) corner(s *Spot, w float64) bool {
	return s.Kind == weak.Gap && s.AreaMM2 <= cornerSquares*w*w && (s.Whole && !m.drawn(s) || m.deadEnd(s, w))
}

// touchedTurning is how much more outlines may turn where a gap is closed whose sides touch
// already, as far as one sees, or the narrow end of one: it ended in a point there, and now ends
// upright.
const touchedTurning = 1.25 * math.Pi

// cornerSquares is how large, in squares of the narrowest width, the end of a gap is at most that is a
// corner between two outlines, however broad: closed, it ends a little before.
const cornerSquares = 1

// mostTurning is how much more outlines may turn by a mend of a spot; w is the narrowest width.
func (m *mending) mostTurning(s *Spot, mend job.Mend, w float64) float64 {
	gap := s.Kind == weak.Gap
	switch {
	case mend.Do == job.Widen && mend.Whole:
		return wholeTurning
	case mend.Do == job.Widen && gap:
		return openedTurning
	case mend.Do != job.Give:
		return moreTurning
	case m.parted(s, w):
		return 2 * moreTurning // each of two points is blunted
	case gap && (s.WidthMM < 2*seenMM || (narrow(s, w) || s.AreaMM2 <= cornerSquares*w*w) && m.deadEnd(s, w)):
		return touchedTurning
	case gap:
		return drawnTurning
	}
	return moreTurning
}

const (
	// lastBlunted is how large a share of its piece goes at most when all its points are blunted
	// rather than listed, and lastSlender that of slender ones.
	lastBlunted = 0.12
	lastSlender = 0.18
)

// blunting returns mends that cut off a point that is too large a share of its piece to be blunted
// as long as anything else may help. Of a piece that is all points, such as a star, it does not.
func (s *settler) blunting(p *Spot) (out []job.Mend) {
	w := s.settings.Narrowest()
	if p.Kind != weak.Point || p.AreaMM2 > mostBlunted*w*w || p.reachesOut(p.bluntLengthMM(w), w) || blunts(p, w) {
		return nil
	}
	all := 0.0
	for _, o := range s.open {
		if o.Of == p.Of && o.Kind == weak.Point && o.whole.Bounds() == p.whole.Bounds() {
			all += o.bluntAreaMM2(w)
		}
	}
	share := lastBlunted
	if p.WidthMM < slender*w {
		share = lastSlender
	}
	if all > share*p.pieceMM2() {
		return nil
	}
	m := s.about(p, 0)
	m.Do = job.Drop
	for _, n := range p.Neighbours {
		if n.Of != own.Bare && n.Of != p.Of {
			m.Do = job.Give
		}
	}
	return append(out, m)
}
