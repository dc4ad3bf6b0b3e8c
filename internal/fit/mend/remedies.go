package mend

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// smallSquares is how large, in squares of the narrowest width, a piece may be
// that is given away as a whole when nothing else helps.
const smallSquares = 12

const (
	// mostBlunted is how large, in squares of the narrowest width, a point is that
	// is blunted, and bluntShare how large a share of its piece: a star without its points
	// is none. What ends between two others was drawn by nobody: betweenShare of that.
	mostBlunted  = 3
	bluntShare   = 0.06
	betweenShare = 0.15
	// shortPoint, in narrowest widths, is how long a point is that is better blunted than
	// made broad; stubby is that of the end of a line.
	shortPoint = 2.5
	stubby     = 1.25
	// nearlyOpen, in narrowest widths, is how broad a space is that is opened rather than
	// closed.
	nearlyOpen = 0.5
	// slender is how broad, in narrowest widths, a point is on average that nobody misses
	// however long it is, such as that of a crescent, and slenderShare how large a share of
	// its piece.
	slender      = 0.35
	slenderShare = 0.12
)

// blunts reports whether a spot is an end that may be blunted.
func blunts(s *Spot, w float64) bool {
	if s.Kind == weak.Sliver && !s.Whole && s.LengthMM <= stubby*w {
		return s.AreaMM2 <= bluntShare*math.Abs(s.whole.SignedArea())
	}
	if s.Kind != weak.Point {
		return false
	}
	most := mostBlunted * w * w
	if s.whole != nil {
		piece := math.Abs(s.whole.SignedArea())
		if s.WidthMM < slender*w && s.AreaMM2 <= slenderShare*piece {
			return true
		}
		share := bluntShare
		if len(s.Neighbours) > 1 {
			share = betweenShare
		}
		most = math.Min(most, share*piece)
	}
	return s.AreaMM2 <= math.Max(most, crumbSquares*w*w)
}

// loose reports whether a spot may be mended though it is of a thing that is left as it is:
// it stays as clean.
func loose(s *Spot, w float64) bool { return s.Kind == weak.Point || blunts(s, w) || hair(s) }

// remedies lists what can be done about a spot, what is liked best first; from
// index hard on what the picture loses something by.
func (s *mending) remedies(spot *Spot, settings job.Settings) (out []job.Mend, hard int) {
	w := settings.Narrowest()
	about := s.about(spot, 0)
	add := func(change func(*job.Mend)) {
		m := about
		change(&m)
		if !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	// Whom it touches, by colour: the likest first; those with a border that is
	// long enough to become one with it before the others.
	var beside []Neighbour
	for _, n := range spot.Neighbours {
		if n.Of != own.Bare && n.Of != spot.Of {
			beside = append(beside, n)
		}
	}
	longest := 0.0
	for _, n := range beside {
		longest = math.Max(longest, n.LengthMM)
	}
	if spot.Of != own.Bare {
		colour := spot.Of.Colour
		long := func(n Neighbour) int {
			if n.LengthMM >= longest/2 {
				return 1
			}
			return 0
		}
		slices.SortStableFunc(beside, func(a, b Neighbour) int {
			return cmp.Or(cmp.Compare(long(b), long(a)), cmp.Compare(a.Of.Colour.DeltaE(colour), b.Of.Colour.DeltaE(colour)))
		})
	}
	give := func() {
		if len(beside) == 0 {
			return
		}
		all := func() { add(func(m *job.Mend) { m.Do = job.Give }) }
		// The picture's edge stays as it was drawn where one takes all that ends there.
		edge := spot.Kind == weak.Point && len(beside) == 1 && len(spot.Neighbours) > 1
		if !edge {
			all()
		}
		for _, n := range beside {
			add(func(m *job.Mend) { m.Do, m.To, m.Chosen = job.Give, n.Of.Colour, true })
		}
		if edge {
			all()
		}
	}
	melt := func(width float64) {
		for _, n := range beside {
			add(func(m *job.Mend) { m.Do, m.To, m.Chosen, m.WidthMM = job.Recolour, n.Of.Colour, true, width })
		}
	}
	if spot.Kind == weak.Gap {
		open := func() { add(func(m *job.Mend) { m.Do = job.Widen }) }
		if spot.WidthMM >= nearlyOpen*w {
			open()
		}
		give()
		open()
		melt(w)
		melt(1.2 * w)
		melt(1.5 * w)
		return out, len(out)
	}
	broaden := func() {
		add(func(m *job.Mend) { m.Do = job.Widen })
		for _, n := range beside {
			add(func(m *job.Mend) { m.Do, m.To, m.Chosen = job.Widen, n.Of.Colour, true })
		}
	}
	// The end of a line that lacks a little gets that, rather than to end before.
	short := spot.Kind == weak.Point || spot.LengthMM <= shortPoint*w && !nearly(spot, settings)
	if spot.Kind == weak.Point || blunts(spot, w) {
		if !short {
			broaden()
		}
		if blunts(spot, w) {
			if give(); len(beside) == 0 {
				add(func(m *job.Mend) { m.Do = job.Drop })
			}
		}
		if short {
			broaden()
		}
		return out, len(out)
	}
	free := math.Max(w, 2*w-spot.WidthMM)
	widen := func() {
		add(func(m *job.Mend) { m.Do = job.Widen })
		for _, n := range beside {
			add(func(m *job.Mend) { m.Do, m.To, m.Chosen = job.Widen, n.Of.Colour, true })
		}
		if spot.Kind != weak.Speck {
			add(func(m *job.Mend) { m.Do, m.WidthMM = job.Widen, 1.15*w })
			add(func(m *job.Mend) { m.Do, m.WidthMM = job.Widen, free })
			add(func(m *job.Mend) { m.Do, m.Smooth = job.Widen, true })
		}
	}
	if spot.Kind == weak.Neck && s.surrounded(spot) && !hair(spot) {
		// Given away, it would join what lies on both sides of it, such as two dashes.
		widen()
		return out, len(out)
	}
	var gives bool
	switch {
	case spot.Kind == weak.Speck:
		gives = growing(spot, settings) > 2*spot.AreaMM2
	case spot.Whole:
		gives = s.widening(spot, w) > 2*spot.AreaMM2
	default:
		gives = spot.AreaMM2 <= s.widening(spot, w) && s.surrounded(spot)
	}
	if gives {
		give()
		hard = len(out)
		widen()
	} else {
		widen()
		hard = len(out)
		give()
	}
	if piece := math.Abs(spot.whole.SignedArea()); piece < smallSquares*w*w {
		add(func(m *job.Mend) { m.Do, m.Whole = job.Give, true })
		for _, n := range beside {
			add(func(m *job.Mend) { m.Do, m.To, m.Chosen, m.Whole = job.Give, n.Of.Colour, true, true })
		}
	}
	melt(w)
	if spot.Kind == weak.Speck {
		melt(spot.LengthMM + w/2)
	} else {
		melt(1.4 * w)
	}
	return out, hard
}
