package session

import (
	"cmp"
	"context"
	"slices"
	"time"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
)

// choice is what MendAll makes of a version of the document, so that what can be done about a single spot is told
// by nobody else. It is worked out once, in the background: as soon as the spots are known, for mending is what comes next then,
// or when somebody asks.
type choice struct {
	of   At
	task *Task
	// wanted: somebody waits for it; else late gives it up after a while.
	wanted bool
	late   *time.Timer
	// share is how much is done, and made what is mended by then; follow, which may be nil, is told of it.
	share  float64
	made   *job.Job
	follow func(share float64)
	// known is closed once job is known, or err says why it is not.
	known chan struct{}
	job   job.Job
	err   error
}

// aheadFor is how long what MendAll does is worked out while nobody waits for it: most pictures are through by then, and a
// noisy one, which takes minutes, does not keep the machine busy for nothing.
const aheadFor = 10 * time.Second

// choose begins to work out what MendAll does, unless that is known or under way.
func (s *Session) choose() *choice {
	c := s.ahead()
	c.wanted = true
	return c
}

// ahead is choose while nobody waits for it.
func (s *Session) ahead() *choice {
	if c := s.weak.choice; c != nil && c.of == s.At() {
		return c
	}
	s.dropChoice()
	c := s.mendsIn(s.Job())
	c.late = time.AfterFunc(aheadFor, func() { s.deliver(func() { s.giveUp(c) }) })
	s.weak.choice = c
	return c
}

// mendsIn begins to work out what MendAll makes of a job.
func (s *Session) mendsIn(j job.Job) *choice {
	c, cache := &choice{of: s.At(), known: make(chan struct{})}, s.fitter.cache
	c.task = run(s, message.Message{ID: "ui-task-mend"}, func(ctx context.Context) (job.Job, error) {
		return cache.MendAll(ctx, j, func(share float64, made job.Job) {
			s.deliver(func() { c.reached(share, made) })
		})
	}, func(out job.Job, err error) {
		if c.late != nil {
			c.late.Stop()
		}
		c.job, c.err = out, err
		close(c.known)
	})
	c.task.quiet, c.task.void = true, true
	return c
}

// reached is told how far it is.
func (c *choice) reached(share float64, made job.Job) {
	c.share, c.made = share, &made
	if c.follow != nil {
		c.follow(share)
	}
}

// giveUp stops what nobody came to wait for.
func (s *Session) giveUp(c *choice) {
	if s.weak.choice == c && !c.wanted {
		s.dropChoice()
	}
}

// dropChoice forgets what MendAll does, and stops working it out.
func (s *Session) dropChoice() {
	if c := s.weak.choice; c != nil {
		s.stopChoice(c)
	}
}

func (s *Session) stopChoice(c *choice) {
	c.task.Stop()
	if s.weak.choice == c {
		s.weak.choice = nil
	}
}

// done reports whether it is known, from any goroutine.
func (c *choice) done() bool {
	select {
	case <-c.known:
		return true
	default:
		return false
	}
}

// wait returns what MendAll makes of it.
func (c *choice) wait(ctx context.Context) (job.Job, error) {
	select {
	case <-c.known:
		return c.job, c.err
	case <-ctx.Done():
		return job.Job{}, ctx.Err()
	}
}

const (
	// sameMM is how far apart a spot and a mend of it may be said to lie, by rounding.
	sameMM = 0.1
	// besideWidths is how far from a spot, in narrowest widths, mends may lie that leave nothing of it.
	besideWidths = 1.75
)

// usual lists what MendAll did about a spot, as one might do it to that alone: how the thing is drawn anew that it is
// of, what was done about the spot, or about what lies beside it; the first of these that changes anything at the spot is it.
// There is nothing where the spot is kept.
func usual(ctx context.Context, before, after job.Job, spot fit.WeakSpot, round uint8) (out [][]job.Mend, _ error) {
	thing, err := mend.AboutThing(ctx, before, after, spot.At, spot.Kind, spot.Piece.Of)
	if err != nil {
		return nil, err
	}
	var own, beside []job.Mend
	kept := false
	near := spot.Bounds.Grow(besideWidths * before.Settings.Narrowest())
	for _, m := range mend.More(before, after) {
		at := placeOf(before, m)
		same := m.Spot == spot.Kind && at.Sub(spot.At).Len() <= sameMM && !m.Do.OfThing()
		switch {
		case m.Do == job.Keep:
			kept = kept || same
		case same:
			own = append(own, m)
		case near.Contains(at):
			beside = append(beside, m)
		}
	}
	if kept && len(thing) == 0 {
		return nil, nil
	}
	for _, mends := range [][]job.Mend{thing, own, beside} {
		if len(mends) > 0 {
			out = append(out, alone(mends, round))
		}
	}
	return out, nil
}

// alone returns mends as somebody makes them by hand, the first in a round and the others in those after it.
func alone(mends []job.Mend, round uint8) []job.Mend {
	slices.SortStableFunc(mends, func(a, b job.Mend) int { return cmp.Compare(a.Round, b.Round) })
	last := mends[0].Round
	for i := range mends {
		m := &mends[i]
		if m.Round != last {
			last, round = m.Round, min(round+1, job.MaxRounds-1)
		}
		if !m.Do.OfThing() {
			m.Round = round
		}
		m.Reason, m.ByHand = "", true
	}
	return mends
}

// placeOf is where on the board a mend's spot lies.
func placeOf(j job.Job, m job.Mend) geometry.Point {
	l, it, _ := j.Layer(m.Layer)
	return it.Placement.Apply(l.Transform.Apply(m.At))
}
