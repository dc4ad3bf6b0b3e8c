package mend

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// smallSquares is how large, in squares of the narrowest width, a small piece is at most.
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
	// however long it is, such as that of a crescent.
	slender = 0.35
)

// blunts reports whether a spot is an end that may be blunted.
func blunts(s *Spot, w float64) bool {
	if s.Kind == weak.Sliver && !s.Whole && s.LengthMM <= stubby*w {
		return (!limb(s) || tapers(s)) && s.AreaMM2 <= bluntShare*s.pieceMM2()
	}
	return s.Kind == weak.Point && s.spares(s.bluntLengthMM(w), s.bluntAreaMM2(w), w)
}

// chisels reports whether a point may be cut off straight: that takes less of it than a round end.
func chisels(s *Spot, w float64) bool {
	share := s.chiselMM(w) / w
	return s.Kind == weak.Point && s.spares(share*s.LengthMM, share*share*s.AreaMM2, w)
}

// spares reports whether a point's piece can spare so much of its length and its area.
func (s *Spot) spares(lengthMM, areaMM2, w float64) bool {
	if s.reachesOut(lengthMM, w) {
		return false
	}
	most := mostBlunted * w * w
	if s.whole != nil {
		share := bluntShare
		if len(s.Neighbours) > 1 {
			share = betweenShare
		}
		most = math.Min(most, share*s.pieceMM2())
	}
	return areaMM2 <= math.Max(most, crumbSquares*w*w)
}

// loose reports whether a spot may be mended though it is of a thing that is left as it is:
// it stays as clean.
func loose(s *Spot, w float64) bool { return s.Kind == weak.Point || blunts(s, w) || hair(s) }

// remedies lists what can be done about a spot, what is liked best first; from
// index hard on what the picture loses something by.
func (m *mending) remedies(spot *Spot, settings job.Settings) (out []job.Mend, hard int) {
	r := &remedies{spot: spot, settings: settings, w: settings.Narrowest(), about: m.about(spot, 0), beside: liked(spot)}
	r.rest, r.bay = len(spot.Neighbours) > 1 || !m.drawn(spot), m.bay(spot, r.w)
	r.blank = r.likesBlank(1)
	r.notch = r.blank && !r.likesBlank(muchLiker) && m.edgeRunsOn(spot, r.w)
	r.peeks = m.peeks(spot, r.w)
	switch {
	case spot.Kind == weak.Gap:
		r.gap()
	case spot.Kind == weak.Point || blunts(spot, r.w):
		hard = r.end()
		return r.list, hard
	case spot.Kind == weak.Neck && spot.surrounded() && !hair(spot):
		// Given away, it would join what lies on both sides of it, such as two dashes.
		r.widen()
	default:
		return r.list, r.thin(m.gives(spot, settings))
	}
	return r.list, len(r.list)
}

// bay reports whether a spot is the long end of a space that something else, which lies in front,
// leaves of what is beneath it, such as that between two leaves. Filled in, it would be a web.
func (m *mending) bay(s *Spot, w float64) bool {
	if s.Kind != weak.Point || s.bluntLengthMM(w) <= longestBlunted*w || len(s.Neighbours) > 1 {
		return false
	}
	return m.along(s, m.anchor(s)) < 1-drawnShare
}

// remedies are what can be done about a spot.
type remedies struct {
	spot     *Spot
	settings job.Settings
	w        float64
	about    job.Mend
	beside   []Neighbour // see liked
	rest     bool        // it is left over between others, and has no corners worth keeping
	bay      bool        // see bay
	blank    bool        // see likesBlank
	peeks    bool        // see peeks
	notch    bool        // left to that, it is one in an edge that runs on
	list     []job.Mend
}

// liked returns whom a spot touches, by colour: the likest first; those with a border that is
// long enough to become one with it before the others.
func liked(spot *Spot) (beside []Neighbour) {
	longest := 0.0
	for _, n := range spot.Neighbours {
		if n.Of != own.Bare && n.Of != spot.Of {
			beside = append(beside, n)
			longest = math.Max(longest, n.LengthMM)
		}
	}
	if spot.Of == own.Bare {
		return beside
	}
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
	return beside
}

// gives reports whether a spot is better given away than widened: that changes less of the
// picture.
func (m *mending) gives(spot *Spot, settings job.Settings) bool {
	switch {
	case spot.Kind == weak.Speck:
		return growing(spot, settings) > 2*spot.AreaMM2
	case spot.Whole:
		return m.widening(spot, settings.Narrowest()) > 2*spot.AreaMM2
	}
	return spot.AreaMM2 <= m.widening(spot, settings.Narrowest()) && spot.surrounded()
}

// add lists a mend that is not there yet.
func (r *remedies) add(change func(*job.Mend)) {
	m := r.about
	change(&m)
	if !slices.Contains(r.list, m) {
		r.list = append(r.list, m)
	}
}

// addEach lists a mend for each of those beside the spot.
func (r *remedies) addEach(change func(*job.Mend)) {
	for _, n := range r.beside {
		r.add(func(m *job.Mend) {
			m.To, m.Chosen = n.Of.Colour, true
			change(m)
		})
	}
}

// gap opens or closes a gap, or gives a bar along it to one of those beside it.
func (r *remedies) gap() {
	open := func() { r.add(func(m *job.Mend) { m.Do = job.Widen }) }
	if r.spot.WidthMM >= nearlyOpen*r.w {
		open()
	}
	r.give()
	open()
	r.addEach(func(m *job.Mend) { m.Do, m.WidthMM = job.Recolour, r.w })
}

// end blunts a point or the end of a line, or makes it broad. The end of a line that lacks a
// little gets that, rather than to end before, and a limb is shorter only where nothing else helps: from
// the index on that it returns.
func (r *remedies) end() (hard int) {
	short := r.spot.Kind == weak.Point || r.spot.LengthMM <= shortPoint*r.w && !nearly(r.spot, r.settings) && !limb(r.spot)
	if !short {
		r.broaden()
	}
	if hard = len(r.list); !limb(r.spot) {
		hard = math.MaxInt
	}
	r.shorter()
	if short && !(r.bay && r.spot.LengthMM > taperTimes*r.w) { // so much of the leaves beside it would be a bite
		r.taper()
		r.broaden()
	}
	r.allThin()
	return min(hard, len(r.list))
}

// shorter blunts a point: round, and straight. That takes less of it, and little enough of the end of a bay to be no web.
func (r *remedies) shorter() {
	rounds := blunts(r.spot, r.w)
	if rounds && !r.bay {
		drop := func() { r.add(func(m *job.Mend) { m.Do = job.Drop }) }
		if r.peeks || r.blank && !r.notch {
			drop()
		}
		if r.give(); r.blank || len(r.beside) == 0 {
			drop()
		}
	}
	if rounds && (!r.bay || r.spot.bluntLengthMM(r.w) <= shortPoint*r.w) || !r.bay && chisels(r.spot, r.w) {
		r.straight()
	}
}

// straight cuts a point off in a straight line, and gives the end to one of those who lie along it.
func (r *remedies) straight() {
	if r.spot.Kind != weak.Point || !r.spot.betweenTwo() {
		return
	}
	width := r.spot.chiselMM(r.w)
	for _, n := range r.beside {
		if r.spot.along(n.Of) >= alongShare {
			r.add(func(m *job.Mend) { m.Do, m.To, m.Chosen, m.WidthMM = job.Give, n.Of.Colour, true, width })
		}
	}
}

// allThin gives away all that is thin of a short point: what was next to it may be thin without the rest.
func (r *remedies) allThin() {
	if r.spot.Kind != weak.Point || !blunts(r.spot, r.w) || r.bay || r.spot.LengthMM > longestBlunted*r.w {
		return
	}
	r.add(func(m *job.Mend) { m.Do, m.WidthMM = job.Give, r.w })
	r.addEach(func(m *job.Mend) { m.Do, m.WidthMM = job.Give, r.w })
}

// muchLiker is how many times as far, as ΔE, a colour is from those beside it as from the blank for it to look much more like that
// (by eye: mint and silver beside a dark line are 4 and 6 times as far, the sea of a globe is twice as far from its coast).
const muchLiker = 3

// likesBlank reports whether a point at the picture's edge looks more like the blank than like
// what it lies beside: there it would be a thorn, and on the blank nobody misses it. That leaves a notch in an edge that runs on
// past it, where it is left to the blank only if nothing else can be done, unless it looks that many times as much like it:
// beside a pale one a dark thorn is seen before a notch is.
func (r *remedies) likesBlank(times float64) bool {
	if r.spot.Kind != weak.Point || !r.spot.touches(own.Bare) {
		return false
	}
	of, blank := r.spot.Of.Colour, r.settings.BlankColour()
	return !slices.ContainsFunc(r.beside, func(n Neighbour) bool { return n.Of.Colour.DeltaE(of) <= times*blank.DeltaE(of) })
}

// thin gives away what is thin between its ends, or widens it, and returns from where on the
// picture loses something.
func (r *remedies) thin(gives bool) (hard int) {
	if gives {
		r.give()
		hard = len(r.list)
		r.widen()
	} else {
		r.widen()
		hard = len(r.list)
		r.give()
	}
	r.touch()
	return hard
}

// give gives the spot to those beside it, together or to one of them.
func (r *remedies) give() {
	if len(r.beside) == 0 {
		return
	}
	all := func() { r.add(func(m *job.Mend) { m.Do = job.Give }) }
	// The picture's edge stays as it was drawn where one takes all that ends there.
	edge := r.spot.Kind == weak.Point && len(r.beside) == 1 && len(r.spot.Neighbours) > 1
	if !edge {
		all()
	}
	r.addEach(func(m *job.Mend) { m.Do = job.Give })
	if edge {
		all()
	}
}

const (
	// hardlyApart is how broad, in narrowest widths, a rim is at most where it is parted: what it goes around all but
	// touches the picture's edge there. Where more is between them a notch would be seen (by eye).
	hardlyApart = 0.3
	// partedAt and partedFar are how broad, in narrowest widths, the two ends are that are tried: about as broad as points are
	// where they are blunted, and a little more.
	partedAt, partedFar = 0.45, 0.6
)

// touch leaves the thinnest of a rim to the blank: what all but touches the picture's edge touches it, and stays as round
// as it is.
func (r *remedies) touch() {
	if r.spot.Kind != weak.Neck || r.spot.WidthMM > hardlyApart*r.w || r.spot.along(own.Bare) < besideShare {
		return
	}
	for _, width := range []float64{partedAt, partedFar} {
		r.add(func(m *job.Mend) { m.Do, m.WidthMM = job.Drop, width*r.w })
	}
}

// broaden widens the spot on all sides, or on that of one of those beside it.
func (r *remedies) broaden() {
	r.add(func(m *job.Mend) { m.Do = job.Widen })
	r.addEach(func(m *job.Mend) { m.Do = job.Widen })
}

// taper makes a point broad up to its tip by sides that run there in straight lines.
func (r *remedies) taper() {
	if r.spot.Kind == weak.Point && !r.bay {
		r.add(func(m *job.Mend) { m.Do, m.Smooth = job.Widen, true })
	}
}

// grow makes all of the piece larger on the side of one of those beside it, so that who covers the rest keeps that edge, or else
// on all sides.
func (r *remedies) grow() {
	whole := func(m *job.Mend) { m.Do, m.Whole, m.Smooth = job.Widen, true, r.rest }
	r.addEach(whole)
	r.add(whole)
}

// widen does so by more than it must be, too: so what is thin beside it may have room.
func (r *remedies) widen() {
	r.broaden()
	if r.spot.Whole || r.spot.Kind == weak.Speck {
		r.grow()
	}
	if r.spot.Kind == weak.Speck {
		return
	}
	r.add(func(m *job.Mend) { m.Do, m.WidthMM = job.Widen, 1.15*r.w })
	r.add(func(m *job.Mend) { m.Do, m.WidthMM = job.Widen, math.Max(r.w, 2*r.w-r.spot.WidthMM) })
	r.add(func(m *job.Mend) { m.Do, m.Smooth = job.Widen, true })
}
