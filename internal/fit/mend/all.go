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
	known := &memory{surrounds, new(weak.Memory)}
	out, last, err := all(ctx, j, known, done)
	if err != nil || last == nil {
		return out, nil, err
	}
	surrounds.Remember(last.job, last.placed)
	c.mu.Lock()
	c.answers = known.outlines
	c.mu.Unlock()
	if *last.apart {
		return out, nil, nil
	}
	asked, _ := jobMends(last.job, last.placed)
	m := last.before
	m.answers, m.known = nil, new(asDrawn) // they are large, and the next map is another one
	c.mu.Lock()
	c.last = &before{m.base.Division, m.base.Materials, asked, limitsOf(j.Settings), m, last.had}
	c.mu.Unlock()
	return out, m.base, nil
}

// all returns, too, the settler of what it has made, but for what is kept; nil where none was
// needed.
func all(ctx context.Context, j job.Job, known *memory, done func(share float64, sofar job.Job)) (job.Job, *settler, error) {
	p, err := begin(ctx, j, known, done)
	if err != nil {
		return j, nil, err
	}
	for {
		s, err := p.look(ctx)
		if err != nil {
			return j, nil, err
		}
		if len(s.open) == 0 && p.first {
			if !p.drawnAnew {
				return j, s, nil
			}
			return p.job, s, nil
		}
		p.first = false
		if err := p.settle(ctx, s); err != nil {
			return j, nil, err
		}
		if len(s.made) == 0 {
			if again, err := p.layAnew(ctx); err != nil {
				return j, nil, err
			} else if again {
				continue
			}
			if s, err = p.wholly(ctx, s); err != nil {
				return j, nil, err
			}
			out, err := s.keepRest(p.job)
			return out, s, err
		}
		if p.job, err = s.with(p.job); err == nil {
			p.laid, err = s.goOn(ctx, p.job)
		}
		if err != nil {
			return j, nil, err
		}
	}
}

// progress is how far mending all spots has come, from one map to the next.
type progress struct {
	asked job.Job // as it came
	job   job.Job // with the mends so far
	// drawnAnew: there are things among them that were drawn anew.
	drawnAnew bool
	laid      *laidOut
	known     *memory
	done      func(share float64, sofar job.Job)
	// shows is the picture as it was drawn, whatever was drawn anew since; nil where there
	// is none.
	shows *picture
	// things are left as they are; see settler for the others.
	things, firm []keptThing
	anew         keptThings
	rounds       []round // see settler
	first        bool    // no map was looked at yet
	sparing      bool    // see spares
	gone         []geometry.Rect
	left         float64 // what there was to do on the map before
	was          *drawnSo
	spent        int
	apart        bool // see settler
	checks       int  // how often layAnew did so
}

// mostChecks is how often layAnew does so at most: each time a few mends may lapse, and others be found.
const mostChecks = 3

// layAnew lays the job out from its beginning, as who opens it does, where its map is not quite that by now, and reports whether
// it did: a mend may lapse there, and what it was about is to be looked at again.
func (p *progress) layAnew(ctx context.Context) (bool, error) {
	if !p.apart || p.checks == mostChecks {
		return false, nil
	}
	p.apart = false
	p.checks++
	laid, err := layOut(ctx, p.job, p.known)
	p.laid = laid
	return err == nil, err
}

// begin draws things anew where that helps.
func begin(ctx context.Context, j job.Job, known *memory, done func(share float64, sofar job.Job)) (*progress, error) {
	out, shows, things, laid, err := drawn(ctx, j, known)
	if err == nil && laid == nil {
		laid, err = layOut(ctx, out, known)
	}
	if err != nil {
		return nil, err
	}
	drawnAnew := countMends(out) > countMends(j)
	if done != nil && drawnAnew {
		done(0, out)
	}
	return &progress{
		asked: j, job: out, drawnAnew: drawnAnew, laid: laid, known: known, done: done,
		shows: shows, things: things,
		firm:  slices.DeleteFunc(slices.Clone(things), func(k keptThing) bool { return k.anew && !k.dots }),
		first: true, sparing: true, left: math.Inf(1),
	}, nil
}

// look finds what is left on the map as it is by now, and what of it must be left alone.
func (p *progress) look(ctx context.Context) (*settler, error) {
	s, err := p.start(ctx)
	if err != nil {
		return nil, err
	}
	if p.first {
		pieces, _ := s.pieces()
		w := s.settings.Narrowest()
		p.things = slices.Concat(p.things, rays(s.open, w), beads(s.open, pieces, w))
		if p.was, err = s.remember(ctx); err != nil {
			return nil, err
		}
		seen := sidesIn(p.was.outlines)
		p.rounds = append(roundsOf(s.placed, seen, roundWidths*w), barsOf(s.placed, seen, w)...)
		s.rounds = p.rounds
	}
	s.leave(p.things)
	if err := p.miss(ctx, s); err != nil {
		return nil, err
	}
	if !p.first && s.takes(s.gone, everywhere, p.gone) {
		if s, err = p.takeBack(ctx, s); err != nil {
			return nil, err
		}
	}
	p.gone = s.gone
	s.pairHalves()
	for _, o := range s.open {
		o.final = o.final || s.spares(&o.Spot)
	}
	s.total = s.pending()
	return s, nil
}

// start returns a settler of the map.
func (p *progress) start(ctx context.Context) (*settler, error) {
	s, err := startSettling(ctx, &p.job, p.laid)
	if err != nil {
		return nil, err
	}
	s.done, s.spent, s.sparing, s.anew, s.firm = p.done, &p.spent, p.sparing, p.anew, p.firm
	s.apart, s.rounds = &p.apart, p.rounds
	return s, nil
}

// miss looks what of the picture as it was drawn does not show any more. What is not there
// in the beginning nobody misses.
func (p *progress) miss(ctx context.Context, s *settler) error {
	if p.shows == nil {
		return nil
	}
	if p.first {
		return p.shows.forget(ctx, s.mending, nil)
	}
	missing, err := p.shows.missing(ctx, s.mending, nil)
	for _, i := range missing {
		t := &p.shows.things[i]
		if !slices.ContainsFunc(p.gone, func(r geometry.Rect) bool { return same(r, t.bounds) }) {
			s.hidden = append(s.hidden, t.places...)
		}
		s.gone = append(s.gone, t.bounds)
	}
	return err
}

// mostTaken is how often mends are taken back for what still is lost: without one of them another may
// lie elsewhere.
const mostTaken = 4

// takeBack takes those mends back that took something from the picture: on the whole map,
// and one after the other, they may take more than in windows. Nothing else is tried then.
func (p *progress) takeBack(ctx context.Context, s *settler) (_ *settler, err error) {
	for range mostTaken {
		had := countMends(p.job)
		if p.job, err = s.without(p.job, p.asked, p.gone); err != nil {
			return nil, err
		}
		if s, err = p.again(ctx); err != nil {
			return nil, err
		}
		if err = p.miss(ctx, s); err != nil || countMends(p.job) == had || !s.takes(s.gone, everywhere, p.gone) {
			break
		}
	}
	return s, err
}

// wholly takes those mends back that mend a thing in parts only, or show otherwise (see partly), as long as
// there are any, unless something would be lost without them.
func (p *progress) wholly(ctx context.Context, s *settler) (*settler, error) {
	for range mostTaken {
		now, err := p.withoutParts(ctx, s)
		if err != nil || now == s {
			return s, err
		}
		s = now
	}
	return s, nil
}

// withoutParts does so once, and returns the settler as it is where there is nothing to take back.
func (p *progress) withoutParts(ctx context.Context, s *settler) (*settler, error) {
	back, err := s.partly(ctx, p.asked, p.was)
	if err != nil || len(back) == 0 {
		return s, err
	}
	before := *p
	if p.job, err = job.ForgetMends(p.job, back); err != nil {
		return nil, err
	}
	now, err := p.again(ctx)
	if err == nil {
		err = p.miss(ctx, now)
	}
	if err == nil && now.takes(now.gone, everywhere, before.gone) {
		*p = before
		return s, nil
	}
	return now, err
}

// again lays the job out anew. Nothing else is tried on that map.
func (p *progress) again(ctx context.Context) (s *settler, err error) {
	if p.laid, err = layOut(ctx, p.job, p.known); err != nil {
		return nil, err
	}
	if s, err = p.start(ctx); err != nil {
		return nil, err
	}
	s.leave(p.things)
	for _, o := range s.open {
		o.final = true
	}
	return s, nil
}

// settle mends what is left. What was tried in windows may turn out a little otherwise on
// the whole map: so it is called once more, while that gets any further.
func (p *progress) settle(ctx context.Context, s *settler) error {
	further := s.total <= p.left-s.step()
	p.left = s.total
	if further {
		if err := s.settle(ctx); err != nil {
			return err
		}
	}
	if len(s.made) > 0 || !p.sparing {
		return nil
	}
	p.insist(s)
	return s.settle(ctx)
}

// insist has what is left of what someone drew so mended all the same, if it looks
// the same but for being broader: better than listed. What was drawn anew may grow to one
// side besides, and stays as clean as it is. Of several alike none becomes broad by itself.
func (p *progress) insist(s *settler) {
	p.sparing, s.sparing = false, false
	p.anew = filed(slices.DeleteFunc(slices.Clone(p.things), func(k keptThing) bool { return k.letters || !k.anew && !k.word }))
	s.anew = p.anew
	p.things = slices.DeleteFunc(p.things, func(k keptThing) bool { return !k.letters && !k.several })
	p.things = append(p.things, s.rows()...)
	s.leave(p.things)
	s.pairHalves()
	for _, o := range s.open {
		o.final = s.spares(&o.Spot)
	}
	p.left = s.pending()
	s.total = p.left
}

// leave has the mends leave things as they are, and take nothing from them nor from what is firm. From
// dashes that were drawn anew they may take what does not show, in the end.
func (s *settler) leave(things []keptThing) {
	s.things, s.whole = filed(things), make([]bool, len(s.placed))
	for i, p := range s.placed {
		is := func(k keptThing) bool { return k.layer == p.Layer.ID && (s.sparing || !k.anew || !k.several) }
		s.whole[i] = slices.ContainsFunc(things, is) || slices.ContainsFunc(s.firm, is)
	}
}

// keepRest keeps what could not be mended, with the reason.
func (s *settler) keepRest(j job.Job) (job.Job, error) {
	var kept []job.Mend
	for _, o := range s.open {
		mend := s.about(&o.Spot, min(s.first, job.MaxRounds-1))
		mend.Do, mend.Reason = job.Keep, ReasonTooDense
		if _, ok := s.target(&o.Spot, job.Mend{Do: job.Give}); !ok && o.Of == own.Bare {
			mend.Reason = ReasonNowhere
		}
		kept = append(kept, mend)
	}
	return job.AddMends(j, kept)
}
