package session

import (
	"context"

	"abut/internal/message"
)

// coming is a change that was asked for and is being worked out, or waits for
// those before it.
type coming struct {
	task, label string
	work        Work
	landed      func(error)
	// once: what comes of the work does not depend on the job.
	once bool
}

// Later makes a change one step once it is worked out in the background, after
// those that were asked for before. It is worked out anew when the job was edited
// meanwhile, and given up when another document was opened. landed, which may be
// nil, is told the outcome; an error was said by then.
func (s *Session) Later(task, label string, w Work, landed func(error)) {
	s.later(coming{task: task, label: label, work: w, landed: landed})
}

func (s *Session) later(c coming) {
	if s.history == nil {
		return
	}
	s.keepDraft()
	s.coming = append(s.coming, c)
	if len(s.coming) == 1 {
		s.next()
	}
}

// waiter is what goes on once what was asked for of its document is done.
type waiter struct {
	document int
	then     func()
}

// next works out what was asked for first or, when nothing is left, goes on with
// what waited for that.
func (s *Session) next() {
	if len(s.coming) == 0 {
		s.resume()
		return
	}
	if s.landing != nil {
		return // whoever was told of a change may have asked for another: it is begun
	}
	c, j, at := s.coming[0], s.Job(), s.At()
	s.landing = run(s, message.Message{ID: c.task}, func(ctx context.Context) (Edit, error) { return c.work(ctx, j) }, func(edit Edit, err error) {
		if at.document != s.document {
			return
		}
		s.landing = nil
		if err == nil && at != s.At() && !c.once {
			s.next()
			return
		}
		if err == nil {
			err = s.step(c.label, edit)
		} else if s.draft == nil {
			s.hide()
		}
		s.coming = s.coming[1:] // what waits for it still did
		s.refused(err)
		if c.landed != nil {
			c.landed(err)
		}
		s.next()
	})
}

// refused says what went wrong with a change that was asked for; then nothing
// goes on that waited for it.
func (s *Session) refused(err error) {
	if err != nil {
		s.waiting, s.finishing, s.planning = nil, nil, nil
		s.trouble(err)
	}
}

// Settle has everything count that was done before: what is being made becomes a
// step, and what was asked for is worked out. Then, at once when there is nothing
// of the kind, then is called; it is not called when something was refused, which
// was said.
func (s *Session) Settle(then func()) {
	if s.draft != nil {
		if err := s.draft.Keep(); err != nil {
			s.trouble(err)
			return
		}
	}
	if len(s.coming) == 0 {
		then()
		return
	}
	s.waiting = append(s.waiting, waiter{s.document, then})
}

// Finish is Settle for what needs the document as it will be: it waits for mends
// that are being worked out, too.
func (s *Session) Finish(then func()) {
	s.Settle(func() {
		if s.mending == nil {
			then()
			return
		}
		s.finishing = append(s.finishing, waiter{s.document, then})
	})
}

// Ready is Finish for what needs the plan of the document as it will be; it goes
// on, too, when there can be none. One that was given up is worked out after all.
func (s *Session) Ready(then func()) {
	s.Finish(func() {
		s.FitAgain()
		if s.history == nil || s.planExact || s.planError != nil {
			then()
			return
		}
		s.planning = append(s.planning, waiter{s.document, then})
	})
}

// Waiting reports whether something waits for what was asked for before.
func (s *Session) Waiting() bool { return len(s.waiting)+len(s.finishing)+len(s.planning) > 0 }

// resume goes on with what waited, in the order in which it came. One may begin
// something that the next has to wait for.
func (s *Session) resume() {
	goOn(s, &s.waiting, s.Settle)
	if s.mending == nil {
		goOn(s, &s.finishing, s.Finish)
	}
	if s.planExact || s.planError != nil {
		goOn(s, &s.planning, s.Ready)
	}
}

func goOn(s *Session, list *[]waiter, again func(func())) {
	old := *list
	*list = nil
	for _, w := range old {
		if w.document == s.document {
			again(w.then)
		}
	}
}

// abandon drops all that was asked for, as another document is opened.
func (s *Session) abandon() {
	if s.landing != nil {
		s.landing.Stop()
	}
	if s.mending != nil {
		s.mending.Stop()
	}
	s.coming, s.landing, s.mending = nil, nil, nil
	s.waiting, s.finishing, s.planning = nil, nil, nil
	if d := s.draft; d != nil {
		d.end()
	}
}
