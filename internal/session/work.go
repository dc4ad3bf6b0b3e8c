package session

import (
	"context"
	"fmt"
	"runtime/debug"
	"slices"
	"time"

	"abut/geometry/parallel"
	"abut/internal/message"
	"abut/internal/workshop"
)

// showAfter is how long work goes on before it is worth showing: shorter waits
// are not felt as such, and a bar that flickers is.
const showAfter = 500 * time.Millisecond

// Task is work in the background.
type Task struct {
	// What is being done, for people.
	What    message.Message
	Started time.Time
	// Percent is how much is done, where the work can tell; else 0.
	Percent int
	shown   bool
	// quiet work is never shown: nobody waits for it. void work stops with the
	// next edit.
	quiet, void bool
	// writes: it leaves files, so the program does not end while it goes on. lasting:
	// nor is it stopped for that.
	writes, lasting bool
	// stopped: whoever waited gave it up. undone: what it has done by then goes, too.
	stopped, undone bool
	stop            context.CancelFunc
}

// Stop gives the task up. What it was to do is not done, but for the mends that are
// made by then.
func (t *Task) Stop() {
	t.stopped = true
	t.stop()
}

// Task returns the work that has gone on long enough to be shown, nil when
// there is none.
func (s *Session) Task() *Task {
	for _, t := range s.tasks {
		if t.shown {
			return t
		}
	}
	return nil
}

// Busy reports whether anything goes on in the background.
func (s *Session) Busy() bool { return len(s.tasks) > 0 }

// Opening reports whether a file is being read that is to be opened.
func (s *Session) Opening() bool { return s.opening != nil }

// begin enters a task; end, called on the session's goroutine, takes it out.
func (s *Session) begin(what message.Message) (ctx context.Context, t *Task, end func()) {
	ctx, stop := context.WithCancel(context.Background())
	t = &Task{What: what, Started: time.Now(), stop: stop}
	s.tasks = append(s.tasks, t)
	timer := time.AfterFunc(showAfter, func() {
		s.deliver(func() {
			if !t.quiet && slices.Contains(s.tasks, t) {
				t.shown = true
				s.changed(WorkChanged)
			}
		})
	})
	return ctx, t, func() {
		timer.Stop()
		stop()
		s.tasks = slices.DeleteFunc(s.tasks, func(o *Task) bool { return o == t })
		if t.shown {
			s.changed(WorkChanged)
		}
		if len(s.parked) > 0 {
			s.deliver(s.park) // after what is to be done with the outcome
		}
	}
}

// progress takes over the share that is done, from any goroutine.
func (t *Task) progress(s *Session, share float64) { s.deliver(func() { t.reached(s, share) }) }

// reached is progress on the session's goroutine.
func (t *Task) reached(s *Session, share float64) {
	if percent := int(100 * share); percent > t.Percent && slices.Contains(s.tasks, t) {
		t.Percent = percent
		if t.shown {
			s.changed(WorkChanged)
		}
	}
}

// run does work in the background and hands the outcome to done on the
// session's goroutine. A fault in the work arrives there as an error. Work that
// is stopped is not waited for, so it must change nothing that others see; see
// finish.
func run[T any](s *Session, what message.Message, work func(context.Context) (T, error), done func(T, error)) *Task {
	return start(s, what, func(ctx context.Context) (T, error) {
		return parallel.Aside(ctx, func() (T, error) { return guarded(ctx, work) })
	}, done)
}

// finish is run for work that writes: what is said of it has to be true, so it
// is waited for.
func finish[T any](s *Session, what message.Message, work func(context.Context) (T, error), done func(T, error)) *Task {
	t := start(s, what, work, done)
	t.writes = true
	return t
}

func start[T any](s *Session, what message.Message, work func(context.Context) (T, error), done func(T, error)) *Task {
	ctx, t, end := s.begin(what)
	go func() {
		v, err := guarded(ctx, work)
		s.deliver(func() {
			end()
			done(v, err)
		})
	}()
	return t
}

// Each does the same work for each of the keys in the background, one after
// another, and hands every outcome over on the session's goroutine. Nobody waits
// for it, so it is never shown. The returned function gives up what is left.
func Each[K, T any](s *Session, keys []K, work func(context.Context, K) (T, error), ready func(K, T, error)) (stop func()) {
	given := false
	t := run(s, message.Message{}, func(ctx context.Context) (struct{}, error) {
		for _, key := range keys {
			v, err := guarded(ctx, func(ctx context.Context) (T, error) { return work(ctx, key) })
			if ctx.Err() != nil {
				break
			}
			s.deliver(func() {
				if !given {
					ready(key, v, err)
				}
			})
		}
		return struct{}{}, nil //nolint:nilerr // each key's error is handed over with it
	}, func(struct{}, error) {})
	t.quiet = true
	return func() {
		given = true
		t.Stop()
	}
}

// guarded is the boundary at which a fault in background work becomes an error,
// so that it costs the work at hand and not the document.
func guarded[T any](ctx context.Context, work func(context.Context) (T, error)) (v T, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = Fault(p)
		}
	}()
	return work(ctx)
}

// Fault returns the error for a recovered panic; call it where it was
// recovered.
func Fault(p any) error {
	return &workshop.Error{
		Message: message.Message{ID: "ui-fault", Args: map[string]string{"detail": fmt.Sprint(p)}},
		Err:     fmt.Errorf("%v\n%s", p, debug.Stack()),
	}
}

// stopVoid stops the work that an edit has made void.
func (s *Session) stopVoid() {
	if s.mending != nil {
		s.mending.stop() // it begins anew
	}
	for _, t := range s.tasks {
		if t.void {
			t.Stop()
		}
	}
}
