package session

import (
	"context"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// Weak is what is known about the weak spots of the plan at hand.
type Weak struct {
	State WeakState
	// Spots are those that were found, kept ones too.
	Spots []fit.WeakSpot
	// Things are what the spots belong to, and Smallest the size from which there are
	// none.
	Things   []fit.WeakThing
	Smallest workshop.Smallest
	// Crowded says why they were not counted, when they are TooMany.
	Crowded job.Warning
}

// WeakState is how far the search for weak spots is.
type WeakState uint8

const (
	// WeakUnknown says that there is no exact plan, or none that is worth it: where
	// colours stack, that comes first.
	WeakUnknown WeakState = iota
	// WeakLooking says that they are being looked for.
	WeakLooking
	// WeakFound says that Spots are all there are.
	WeakFound
	// WeakTooMany says that so much is thin that they cannot be listed.
	WeakTooMany
	// WeakStopped says that the search was given up.
	WeakStopped
)

// Open counts the spots that are neither mended nor kept.
func (w Weak) Open() int { return w.count(func(s *fit.WeakSpot) bool { return !s.Kept }) }

// Stuck counts the spots for which no mend was found, and which nobody accepted.
func (w Weak) Stuck() int { return w.count((*fit.WeakSpot).Stuck) }

func (w Weak) count(is func(*fit.WeakSpot) bool) int {
	n := 0
	for i := range w.Spots {
		if is(&w.Spots[i]) {
			n++
		}
	}
	return n
}

// weakness works out what follows from an exact plan: what is cut of it with
// the job's clearance, and its weak spots. Latest wins; a drag or an edit gives
// it up at once, so that the next plan need not wait.
type weakness struct {
	s *Session
	// plan is what cut and weak belong to.
	plan *fit.Plan
	cut  *fit.Plan
	weak Weak
	// number is that of the newest search: older ones come too late.
	number  uint64
	running *Task
	// cache is for mends that are tried, and choice what MendAll does, nil where nobody asked.
	cache  *fit.Cache
	choice *choice
}

// look begins the search, unless the plan is known or being looked at already.
func (f *weakness) look() {
	s := f.s
	if s.committed == nil || f.plan == s.committed {
		return
	}
	f.drop()
	p, j, cache := s.committed, s.Job(), s.fitter.cache
	f.plan, f.cut, f.weak = p, nil, Weak{}
	if len(p.Separations) == 0 || len(p.Stacked.Places) > 0 {
		f.cut = p
		return
	}
	f.weak.State = WeakLooking
	f.number++
	number := f.number
	ctx, t, end := s.begin(message.Message{ID: "ui-task-weak"})
	t.quiet = true
	f.running = t
	go func() {
		cut, err := guarded(ctx, func(ctx context.Context) (*fit.Plan, error) { return fit.Cut(ctx, p, j.Settings) })
		if err == nil {
			s.deliver(func() {
				if f.number == number && f.plan == p {
					f.cut = cut
					s.changed(WeakChanged)
				}
			})
		}
		found, err := guarded(ctx, func(ctx context.Context) (Weak, error) { return findWeak(ctx, cache, p, j) })
		s.deliver(func() {
			end()
			if f.number != number || f.plan != p {
				return
			}
			f.running = nil
			switch {
			case err == nil:
				f.weak = found
				s.lookAhead()
			case fit.IsCancelled(err):
				f.weak.State = WeakStopped
			default:
				f.weak.State = WeakStopped
				s.trouble(err)
			}
			s.changed(WeakChanged)
		})
	}()
}

// mostAhead is of how many spots what mending does is worked out ahead: more have pictures of noise, which take minutes and a
// gigabyte, and nobody goes through those one by one.
const mostAhead = 1000

// lookAhead begins what mending does: it is what comes next, and with it a spot's card says at once which of its choices that is.
func (s *Session) lookAhead() {
	if n := s.weak.weak.Open(); s.weak.current() && n > 0 && n <= mostAhead {
		s.ahead()
	}
}

// findWeak looks for what is too thin in a plan, and what that belongs to.
func findWeak(ctx context.Context, cache *fit.Cache, p *fit.Plan, j job.Job) (Weak, error) {
	spots, warnings, err := workshop.FindWeak(ctx, cache, p, j)
	w := Weak{State: WeakFound, Spots: spots}
	if err == nil {
		w.Things, err = fit.WeakThings(ctx, j, spots)
	}
	if err == nil {
		err = fit.CheckPens(ctx, j, w.Things)
	}
	if err == nil {
		w.Smallest, err = workshop.FindSmallest(ctx, p, j)
	}
	if err == nil && spots == nil && len(warnings) > 0 {
		w.State, w.Crowded = WeakTooMany, warnings[0]
	}
	return w, err
}

// drop gives the search up. What was found already stays known.
func (f *weakness) drop() {
	if f.running != nil {
		f.number++
		f.running.Stop()
		f.running, f.plan = nil, nil
	}
}

// forget drops everything, as another document is opened.
func (f *weakness) forget() {
	f.drop()
	f.s.dropChoice()
	f.plan, f.cut, f.weak, f.cache = nil, nil, Weak{}, nil
}

// current reports whether what is known belongs to what is shown.
func (f *weakness) current() bool {
	s := f.s
	return s.plan != nil && s.planExact && s.preview == nil && s.plan == f.plan
}

// Weak returns what is known about the weak spots of the plan at hand.
func (s *Session) Weak() Weak {
	if !s.weak.current() {
		return Weak{}
	}
	return s.weak.weak
}

// Cut returns what is cut of the plan at hand: the plan with the job's
// clearance. It is the plan itself until that is worked out.
func (s *Session) Cut() *fit.Plan {
	if s.weak.current() && s.weak.cut != nil {
		return s.weak.cut
	}
	return s.plan
}

// StopLooking gives the search for weak spots up, LookAgain begins it once
// more.
func (s *Session) StopLooking() {
	if t := s.weak.running; t != nil {
		t.Stop()
	}
}

// LookAgain looks for weak spots after StopLooking.
func (s *Session) LookAgain() {
	if s.weak.current() && s.weak.weak.State == WeakStopped {
		s.weak.plan = nil
		s.weak.look()
		s.changed(WeakChanged)
	}
}
