package session

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
)

// choice is what MendAll makes of a version of the document, so that what can be done about a single spot is told
// by nobody else. It is worked out once, in the background, when somebody asks about a spot.
type choice struct {
	of At
	// known is closed once job is known, or err says why it is not.
	known chan struct{}
	job   job.Job
	err   error
}

// choose begins to work out what MendAll does, unless that is known or under way.
func (s *Session) choose() *choice {
	if c := s.weak.choice; c != nil && c.of == s.At() {
		return c
	}
	c := &choice{of: s.At(), known: make(chan struct{})}
	j, cache := s.Job(), s.weak.cache
	t := run(s, message.Message{ID: "ui-task-mend"}, func(ctx context.Context) (job.Job, error) { return cache.MendAll(ctx, j, nil) }, func(out job.Job, err error) {
		c.job, c.err = out, err
		close(c.known)
	})
	t.quiet, t.void = true, true
	s.weak.choice = c
	return c
}

// chosen returns what MendAll makes of the document, false where that is not known.
func (s *Session) chosen() (job.Job, bool) {
	c := s.weak.choice
	if c == nil || c.of != s.At() {
		return job.Job{}, false
	}
	select {
	case <-c.known:
		return c.job, c.err == nil
	default:
		return job.Job{}, false
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
