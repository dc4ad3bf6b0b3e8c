package session

import (
	"context"
	"reflect"
	"sync"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// withOffcuts has what is laid out lie on what is left of the user's own sheets first.
func (s *Session) withOffcuts(o *workshop.WriteOptions) (err error) {
	if s.Job().Settings.Layout.On() {
		o.Layout.Drawer, err = s.Drawer()
	}
	return err
}

// Layouter tries out ways in which the open document is laid out on sheets. What was
// asked for last is what comes.
type Layouter struct {
	// OnResult is told a quick layout and then the best, with done, or why there is none.
	// Stopping the task that is shown makes the best so far that.
	OnResult func(l workshop.Laid, done bool, err error)
	// Care is what helps with cutting, which belongs to what is cut.
	Care workshop.WriteOptions

	s      *Session
	at     At
	task   *Task
	giveUp context.CancelFunc
	// what is laid out, made once.
	making  sync.Mutex
	designs *workshop.Designs
}

// Layouter returns one for the open document, nil without one.
func (s *Session) Layouter() *Layouter {
	if s.history == nil {
		return nil
	}
	return &Layouter{s: s, at: s.At()}
}

// Ask lays out in the background, with what lies somewhere already; what was under way is
// given up.
func (l *Layouter) Ask(how job.Layout, laid job.Laid) {
	l.Stop()
	s, cache, o := l.s, l.s.fitter.cache.Fork(), l.Care
	j, err := job.SetLayout(s.Job(), how)
	if err == nil {
		j, err = job.SetLaid(j, laid)
	}
	if err == nil {
		o.Layout.Drawer, err = s.Drawer()
	}
	if err != nil {
		l.OnResult(workshop.Laid{}, true, err)
		return
	}
	soon, enough := context.WithCancel(context.Background())
	var task *Task
	task = run(s, message.Message{ID: "ui-task-layout"}, func(ctx context.Context) (workshop.Laid, error) {
		d, err := l.made(ctx, cache, j)
		if err != nil {
			return workshop.Laid{}, err
		}
		return workshop.LayOut(ctx, soon, d, j, o, func(first workshop.Laid) {
			s.deliver(func() {
				if l.task == task {
					l.OnResult(first, false, nil)
				}
			})
		}, func(share float64) { s.deliver(func() { task.reached(s, share) }) })
	}, func(laid workshop.Laid, err error) {
		enough()
		if l.task == task {
			l.task = nil
			l.OnResult(laid, true, err)
		}
	})
	l.task, l.giveUp, task.stop = task, task.stop, enough
}

// made are the designs, which do not depend on how they are laid out.
func (l *Layouter) made(ctx context.Context, cache *fit.Cache, j job.Job) (workshop.Designs, error) {
	l.making.Lock()
	defer l.making.Unlock()
	if l.designs == nil {
		d, err := workshop.DesignsOf(ctx, cache, j)
		if err != nil {
			return d, err
		}
		l.designs = &d
	}
	return *l.designs, nil
}

// Move works out in the background where something of a layout lies once it is turned and
// moved, and what is in the way of that; see workshop.Laid.Move.
func (l *Layouter) Move(laid workshop.Laid, sheet, k, quarters int, by geometry.Point, done func(job.LaidThing, workshop.Obstacle)) {
	Each(l.s, []int{k}, func(ctx context.Context, k int) (moved, error) {
		t, why, err := laid.Move(ctx, sheet, k, quarters, by)
		return moved{t, why}, err
	}, func(_ int, m moved, err error) {
		if err == nil {
			done(m.thing, m.why)
		}
	})
}

type moved struct {
	thing job.LaidThing
	why   workshop.Obstacle
}

// Busy reports whether a better layout may still come.
func (l *Layouter) Busy() bool { return l.task != nil }

// Stop gives up what is under way.
func (l *Layouter) Stop() {
	if l.task != nil {
		l.task = nil
		l.giveUp()
	}
}

// Laid lays the open document out in the background as Export does. done gets that on
// the session's goroutine, unless it was stopped or something else is open by then.
func (s *Session) Laid(done func(workshop.Laid)) {
	var o workshop.WriteOptions
	if err := s.withOffcuts(&o); err != nil {
		s.trouble(err)
		return
	}
	j, cache, at := s.Job(), s.fitter.cache.Fork(), s.At()
	var task *Task
	task = run(s, message.Message{ID: "ui-task-laid"}, func(ctx context.Context) (workshop.Laid, error) {
		d, err := workshop.DesignsOf(ctx, cache, j)
		if err != nil {
			return workshop.Laid{}, err
		}
		return workshop.LayOut(ctx, context.Background(), d, j, o, func(workshop.Laid) {}, func(share float64) {
			s.deliver(func() { task.reached(s, share) })
		})
	}, func(laid workshop.Laid, err error) {
		switch {
		case at != s.At():
		case err == nil:
			done(laid)
		case !fit.IsCancelled(err):
			s.trouble(err)
		}
	})
	task.void = true
}

// Use has the document laid out like that, as one step, with all lying where it does;
// without copies as one picture.
func (l *Layouter) Use(how job.Layout, laid job.Laid) {
	l.Stop()
	label := "ui-step-layout"
	if !how.On() {
		label = "ui-step-unlaid"
	}
	if now := l.s.Job().Settings; how != now.Layout || !reflect.DeepEqual(laid, now.Laid) {
		l.s.trouble(l.s.DoAt(l.at, label, func(j job.Job) (job.Job, error) {
			j, err := job.SetLayout(j, how)
			if err == nil && how.On() {
				j, err = job.SetLaid(j, laid)
			}
			return j, err
		}))
	}
}
