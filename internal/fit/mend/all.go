package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Why All keeps a spot: ids of sentences.
const (
	// ReasonTooDense: whatever was tried would show, for thin parts lie so close
	// together that making room for one leaves another one thin, or a lump.
	ReasonTooDense = "unmendable-too-dense"
	// ReasonNowhere: nothing lies beside a gap that could close it.
	ReasonNowhere = "unmendable-nowhere"
)

// All returns the job with a mend for every weak spot that has none yet: first
// things are drawn broader or larger, then what is thin all the same is settled
// between the pieces. Spots are given to a neighbour or widened, whichever changes
// less of the picture; gaps are closed, or opened where they nearly are. But for that
// and for tips that are blunted nothing is left bare by it, and no thing is taken from
// the picture or left a rest of (see part). What cannot be mended is kept, with the
// reason. Once more on the result changes nothing.
//
// A mend is tried before it is made: with what must follow it, since a neighbour
// that it makes thin may have room on its other side. It is made when less is left
// to mend around it afterwards (see toDo), and else the next thing is tried that
// could be done about the spot; what takes something from the picture, such as all
// of a small piece, comes last. So thin neighbours cannot take the same place from
// each other in turn, and it ends: what is left falls by stepSquares at least each
// time, and in between only so much can be tried.
//
// done is told the share that is done, from 0 to 1, now and then, with the job as far as
// it is mended; it may be nil.
//
// It is a pure edit: neither the job nor a plan of it is changed. Cost: some
// milliseconds for each thing that is tried, in a window of the picture (see
// thorough for how much), and a pass of Compute and Weak for some dozen rounds.
func All(ctx context.Context, j job.Job, done func(share float64, sofar job.Job)) (job.Job, error) {
	out, _, err := new(Cache).All(ctx, j, new(own.Surrounds), done)
	return out, err
}

// All is the function All for a cache that then knows the mends that were made. It returns,
// too, the places that the art owns without them, for Make; nil where that is not known.
func (c *Cache) All(ctx context.Context, j job.Job, surrounds *own.Surrounds, done func(share float64, sofar job.Job)) (job.Job, *own.Places, error) {
	out, last, err := all(ctx, j, &memory{surrounds, new(weak.Memory)}, done)
	if err != nil || last == nil {
		return out, nil, err
	}
	asked, _ := jobMends(last.job, last.placed)
	m := last.before
	m.answers = nil // it is large, and the next map is another one
	c.mu.Lock()
	c.last = &before{m.base.Division, m.base.Materials, asked, limitsOf(j.Settings), m, last.had}
	c.mu.Unlock()
	surrounds.Remember(last.job, last.placed)
	return out, m.base, nil
}

// all returns, too, the settler of what it has made, but for what is kept; nil where none was
// needed.
func all(ctx context.Context, j job.Job, known *memory, done func(share float64, sofar job.Job)) (job.Job, *settler, error) {
	out, shows, things, laid, err := drawn(ctx, j, known)
	if err == nil && laid == nil {
		laid, err = layOut(ctx, out, known)
	}
	if err != nil {
		return j, nil, err
	}
	drawnAnew := countMends(out) > countMends(j)
	if done != nil && drawnAnew {
		done(0, out)
	}
	before, spent, first, sparing := math.Inf(1), 0, true, true
	var gone []geometry.Rect
	var anew []keptThing
	firm := slices.DeleteFunc(slices.Clone(things), func(k keptThing) bool { return k.anew && !k.dots })
	for {
		s, err := startSettling(ctx, &out, laid)
		if err != nil {
			return j, nil, err
		}
		s.done, s.spent, s.sparing, s.anew, s.firm = done, &spent, sparing, anew, firm
		if first {
			pieces, _ := s.pieces()
			things = slices.Concat(things, rays(s.open, j.Settings.Narrowest()), beads(s.open, pieces, j.Settings.Narrowest()))
		}
		s.leave(things)
		if shows != nil {
			// Of the picture as it was drawn, whatever was drawn anew since.
			if first {
				err = shows.forget(ctx, s.mending, nil)
			} else {
				var lost []geometry.Rect
				lost, err = shows.lost(ctx, s.mending, nil)
				s.gone = append(s.gone, lost...)
			}
			if err != nil {
				return j, nil, err
			}
		}
		if !first && s.takes(s.gone, everywhere, gone) {
			// On the whole map, and one after the other, they took more than in windows.
			if out, err = s.without(ctx, out, j, gone); err != nil {
				return j, nil, err
			}
			if laid, err = layOut(ctx, out, known); err == nil {
				s, err = startSettling(ctx, &out, laid)
			}
			if err != nil {
				return j, nil, err
			}
			s.done, s.spent, s.sparing, s.anew, s.firm = done, &spent, sparing, anew, firm
			s.leave(things)
			for _, o := range s.open {
				o.final = true
			}
		}
		gone = s.gone
		for _, o := range s.open {
			o.final = o.final || s.spares(&o.Spot)
		}
		s.total = s.pending()
		left := s.pending()
		if len(s.open) == 0 {
			if first && !drawnAnew {
				return j, s, nil
			}
			return out, s, nil
		}
		first = false
		// What was tried in windows may turn out a little otherwise on the whole
		// map: so once more, while that gets any further.
		if left <= before-s.step() {
			if err := s.settle(ctx); err != nil {
				return j, nil, err
			}
		}
		before = left
		if len(s.made) == 0 && sparing {
			// What is left of what someone drew so is mended all the same, if it looks
			// the same but for being broader: better than listed. What was drawn anew may grow to one
			// side besides, and stays as clean as it is. Of several alike none becomes broad by itself.
			sparing, s.sparing = false, false
			anew = slices.DeleteFunc(slices.Clone(things), func(k keptThing) bool { return k.letters || !k.anew && !k.word })
			s.anew = anew
			things = slices.DeleteFunc(things, func(k keptThing) bool { return !k.letters && !k.several })
			s.leave(things)
			for _, o := range s.open {
				o.final = s.spares(&o.Spot)
			}
			before = s.pending()
			s.total = before
			if err := s.settle(ctx); err != nil {
				return j, nil, err
			}
		}
		if len(s.made) == 0 {
			out, err = s.keepRest(out)
			return out, s, err
		}
		if out, err = s.with(out); err == nil {
			laid, err = s.goOn(ctx, out)
		}
		if err != nil {
			return j, nil, err
		}
	}
}

// leave has the mends leave things as they are, and take nothing from them nor from what is firm.
func (s *settler) leave(things []keptThing) {
	s.things, s.whole = things, make([]bool, len(s.placed))
	for i, p := range s.placed {
		is := func(k keptThing) bool { return k.layer == p.Layer.ID }
		s.whole[i] = slices.ContainsFunc(things, is) || slices.ContainsFunc(s.firm, is)
	}
}

// keepRest keeps what could not be mended, with the reason.
func (s *settler) keepRest(j job.Job) (job.Job, error) {
	out := j
	for _, o := range s.open {
		mend := s.about(&o.Spot, min(s.first, job.MaxRounds-1))
		mend.Do, mend.Reason = job.Keep, ReasonTooDense
		if _, ok := s.target(&o.Spot, job.Mend{Do: job.Give}); !ok && o.Of == own.Bare {
			mend.Reason = ReasonNowhere
		}
		var err error
		if out, err = job.AddMend(out, mend); err != nil {
			return j, err
		}
	}
	return out, nil
}
