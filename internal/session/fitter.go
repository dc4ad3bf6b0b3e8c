package session

import (
	"context"
	"time"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// staleAfter is how long a fit may go on that nobody waits for any more. A
// shorter one is left to end, since its plan is newer than the one shown: while
// a layer is dragged, the area then follows instead of starving.
const staleAfter = 200 * time.Millisecond

// mostHeld is how long a plan waits at most for what HoldPlan says: a window that is not drawn, since it was
// minimised at once, is to have one, too.
const mostHeld = time.Second

// HoldPlan has plans wait until a channel is closed, a second at most: while the first picture is painted and drawn,
// working out what follows from it would take half of the processors from that.
func (s *Session) HoldPlan(until <-chan struct{}) { s.fitter.held = until }

// wait returns once a plan may be worked out.
func (f *fitter) wait(ctx context.Context) {
	if f.held == nil {
		return
	}
	timer := time.NewTimer(mostHeld)
	defer timer.Stop()
	select {
	case <-f.held:
	case <-timer.C:
	case <-ctx.Done():
	}
}

// fitter works out plans, one at a time, latest wins. Every request has a
// number; a result is taken when nothing newer has been taken.
type fitter struct {
	s     *Session
	cache *fit.Cache
	// last is the number of the newest request, taken that of the newest
	// result that was taken over.
	last, taken uint64
	next        *job.Job
	running     *Task
	// held is closed once plans may be worked out; nil where they may.
	held <-chan struct{}
}

// fit asks for the plan of a job or preview.
func (s *Session) fit(j job.Job) {
	s.weak.drop()
	f := &s.fitter
	f.last++
	f.next = &j
	if f.running == nil {
		f.start()
		return
	}
	if time.Since(f.running.Started) > staleAfter {
		f.running.Stop()
	}
}

// fitStopped is the message of a plan that whoever waited for it gave up.
const fitStopped = "fit-stopped"

// FitStopped reports whether there is no plan since whoever waited for it gave it up.
func (s *Session) FitStopped() bool { return workshop.Is(s.planError, fitStopped) }

// FitAgain works the plan out that was given up.
func (s *Session) FitAgain() {
	if s.FitStopped() {
		s.planError = nil
		s.fit(s.Shown())
		s.changed(PlanChanged)
	}
}

// stop drops what is asked for and what is being worked out.
func (f *fitter) stop() {
	f.last++
	f.taken = f.last
	f.next = nil
	if f.running != nil {
		f.running.Stop()
	}
}

func (f *fitter) start() {
	s := f.s
	j, number, cache := *f.next, f.last, f.cache
	f.next = nil
	ctx, t, end := s.begin(message.Message{ID: "ui-task-fit"})
	f.running = t
	go func() {
		f.wait(ctx)
		plan, err := guarded(ctx, func(ctx context.Context) (*fit.Plan, error) { return cache.Compute(ctx, j) })
		s.deliver(func() {
			end()
			f.running = nil
			f.take(number, plan, err)
			if f.next != nil {
				f.start()
			}
		})
	}()
}

// take takes a result over unless a newer one was.
func (f *fitter) take(number uint64, plan *fit.Plan, err error) {
	s := f.s
	if number <= f.taken || s.history == nil {
		return
	}
	if err != nil {
		if number != f.last {
			return
		}
		if fit.IsCancelled(err) { // by whoever waited: what another job made void is not the newest
			err = &workshop.Error{Message: message.Message{ID: fitStopped}, Err: err}
			s.planning = nil
		}
		f.taken = number
		s.planError = err
		s.changed(PlanChanged)
		s.resume()
		return
	}
	f.taken = number
	s.plan, s.planExact, s.planError = plan, number == f.last, nil
	if s.planExact && s.preview == nil {
		s.committed = plan
		s.weak.look()
	}
	s.changed(PlanChanged)
	s.resume()
}
