package mend

import (
	"context"
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// problem is a spot that is solved.
type problem struct {
	spot  *Spot
	own   float64 // what is to do about it
	clean bool    // see clean
}

// allowed lists what may be done about a spot, as remedies does.
func (s *settler) allowed(ctx context.Context, p *problem) (options []job.Mend, hard int) {
	options, hard = s.remedies(p.spot, s.settings)
	if s.parted(p.spot, s.settings.Narrowest()) && s.drawn(p.spot) {
		// Someone drew two that touch: they part.
		options = slices.DeleteFunc(options, func(m job.Mend) bool { return m.Do == job.Widen })
		hard = len(options)
	}
	if !s.sparing && s.line(p.spot) {
		// A line may become broader. Whoever drew it would miss it.
		options = slices.DeleteFunc(options, func(m job.Mend) bool { return m.Do != job.Widen })
		hard = len(options)
	}
	if !s.sparing && !p.clean {
		options = append(options, s.blunting(p.spot)...)
		hard = len(options)
	}
	if p.clean {
		options = slices.DeleteFunc(options, func(m job.Mend) bool { return !s.staysClean(p.spot, m) })
		options = append(options, s.closing(p.spot)...)
		hard = len(options)
	}
	if s.atTip(p.spot) {
		options = slices.DeleteFunc(options, func(m job.Mend) bool { return m.Do == job.Widen || m.WidthMM >= s.settings.Narrowest() })
		hard = min(hard, len(options))
	}
	if s.staysSmall(ctx, p.spot) {
		options = slices.DeleteFunc(options, func(m job.Mend) bool { return m.Do == job.Widen })
		hard = len(options)
	}
	options, hard = s.withoutThorns(p.spot, options, hard)
	if s.needle(p.spot) {
		options = slices.DeleteFunc(options, func(m job.Mend) bool { return !staysPointed(m) })
		hard = len(options)
	}
	return s.frontLast(p.spot, options, hard, s.settings.Narrowest()), hard
}

// staysSmall reports whether a spot never grows: grown it would be a new shape, or stick out of what it is a rest of.
func (s *settler) staysSmall(ctx context.Context, p *Spot) bool {
	return s.crumb(p) && s.swells(p, s.settings) || s.blot(ctx, p) || s.rest(p) || spike(p)
}

// atTip reports whether a point may be cut off at its tip alone: one of a star, for made broad, or cut off to its root, it
// would be missed among the others; and what ends in a letter's notch, or is a corner of one, whose shape it would change.
func (s *settler) atTip(p *Spot) bool {
	w := s.settings.Narrowest()
	return s.things.about(p, func(k *keptThing) bool { return k.star && k.of == p.Of || k.notch(p, w) })
}

// needle reports whether a point is one of several rays of which all become broader as tapered says, or none.
func (s *settler) needle(p *Spot) bool {
	return p.Kind == weak.Point && s.things.about(p, func(k *keptThing) bool { return k.needles && k.of == p.Of })
}

// withoutThorns leaves out what would give the end of a point to a line that was drawn anew, or that of a shadow to what lies in
// front of it: they would have a thorn there. Made broad, a shadow would bite into that.
func (s *settler) withoutThorns(p *Spot, options []job.Mend, hard int) ([]job.Mend, int) {
	var out []job.Mend
	left, front := hard, s.shadowOf(p)
	for i, m := range options {
		switch {
		case p.Kind != weak.Point || !s.thorns(p, m) && (len(front) == 0 || s.leavesAlone(m, front)):
			out = append(out, m)
		case i < hard:
			left--
		}
	}
	return out, left
}

// leavesAlone reports whether a mend of the end of a shadow neither gives it to what lies in front nor takes from that.
func (s *settler) leavesAlone(m job.Mend, front []own.Material) bool {
	return m.Do == job.Drop || m.Do == job.Give && m.Chosen && !slices.Contains(front, s.Named(s.Rules, m.To))
}

// thorns reports whether a mend does so.
func (s *settler) thorns(p *Spot, m job.Mend) bool {
	return m.Do == job.Give && m.Chosen && s.things.about(p, func(k *keptThing) bool {
		return k.anew && !k.letters && k.of != own.Bare && k.of.Colour == m.To
	})
}

const (
	// crumbTimes is how many times as large a crumb may become that nobody drew, and leftSquares is
	// how large, in squares of the narrowest width, something is at most that is one.
	crumbTimes  = 2.5
	leftSquares = 0.6
	// restTimes is how many times as far as one of its rests something reaches at least of which others lay over all
	// but a crumb there, and restSquares how large, in squares of the narrowest width, that is at most.
	restTimes   = 6
	restSquares = 3
)

// rest reports whether a small piece between others is a rest of something that is much larger, and shows elsewhere: of
// the sea between the lobes of a heart. Made broad it would stick out of that. What lies all within something, as the
// inside of a letter does, is none.
func (s *settler) rest(p *Spot) bool {
	w := s.settings.Narrowest()
	if p.Of == own.Bare || p.Kind != weak.Speck && !p.Whole || p.AreaMM2 >= restSquares*w*w || p.along(p.Neighbours[0].Of) > 1-besideShare {
		return false
	}
	return s.Bounds[s.anchor(p)].Longer() >= restTimes*p.Bounds.Longer()
}

// swells reports whether a small piece would become much larger by being large enough: where two things
// leave a crumb of a third that would be a new shape.
func (m *mending) swells(s *Spot, settings job.Settings) bool {
	w := settings.Narrowest()
	by := m.widening(s, w)
	if s.Kind == weak.Speck {
		by = growing(s, settings)
	}
	return s.AreaMM2 < leftSquares*w*w && s.AreaMM2+by > crumbTimes*s.AreaMM2
}

// blot reports whether a small thing would become a much larger disc by being large enough, for it is so thin that it is no larger in
// its own shape: a nostril was a button.
func (s *settler) blot(ctx context.Context, p *Spot) bool {
	if p.Kind != weak.Speck || p.AreaMM2+growing(p, s.settings) <= crumbTimes*p.AreaMM2 {
		return false
	}
	_, own := s.larger(ctx, p, s.settings.Speck()+widenMM, s.settings.Narrowest()+widenMM)
	return !own
}

// halfBroad is how broad, in narrowest widths, a line is at least that was drawn broader and may become so the rest of
// the way to both sides of its middle where the blank is beside it, which cannot be chosen to give way: either side
// moves by no more than a quarter. A waist would take from what is thin on both sides of it.
const halfBroad = 0.5

// staysClean reports whether what was drawn anew, or is small, stays as clean by a mend: other
// than as a whole a small thing would become a disc or a bar.
func (s *settler) staysClean(p *Spot, m job.Mend) bool {
	rim := p.Kind == weak.Sliver && p.touches(own.Bare)
	even := rim && p.WidthMM > halfBroad*s.settings.Narrowest() && m.WidthMM == 0 && !m.Smooth
	near := nearly(p, s.settings)
	small := s.small(p) && (p.Whole || !near)
	return m.Do == job.Widen && (m.Whole || !small && (m.Chosen || near || even))
}

// closing returns mends that close a narrow space beside lines that were drawn anew by
// giving it to who lies on its other side: the lines stay as clean as they are. A corner that they leave with others may
// be theirs, too: without it they are simpler.
func (s *settler) closing(p *Spot) (out []job.Mend) {
	w := s.settings.Narrowest()
	corner := s.corner(p, w)
	if !corner && !narrow(p, w) {
		return nil
	}
	for _, n := range p.Neighbours {
		if n.Of == own.Bare || n.Of == p.Of || !corner && s.anew.about(p, func(k *keptThing) bool { return k.of == p.Of || k.of == n.Of }) {
			continue
		}
		m := s.about(p, 0)
		m.Do, m.To, m.Chosen = job.Give, n.Of.Colour, true
		out = append(out, m)
	}
	return out
}
