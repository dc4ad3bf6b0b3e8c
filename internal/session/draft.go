package session

import (
	"context"

	"abut/internal/job"
	"abut/internal/message"
)

// Draft is a change that is being made and is no step yet: a number that is
// typed, a layer that is dragged. There is at most one. Whatever else is done
// settles it first, and there is one rule for that: what makes sense counts, and
// what makes none is given up and said.
type Draft struct {
	s     *Session
	label string
	ended func()

	// edit is what it would do, nil while that is nothing or not known yet; shown
	// that it is to be seen; wrong why there is none.
	edit  Edit
	shown bool
	wrong error
	// work works the edit out, told by the task that began at.
	work Work
	task string
	told func(error)
	run  *Task
	at   At
}

// Work works a change of a job out in the background.
type Work func(context.Context, job.Job) (Edit, error)

// Begin begins a change, once what was being made before is settled. ended, which
// may be nil, is told once that it is a step, is worked out to become one, or was
// given up. Without a document nothing comes of it.
func (s *Session) Begin(label string, ended func()) *Draft {
	s.keepDraft()
	s.draft = &Draft{s: s, label: label, ended: ended}
	return s.draft
}

// Draft returns the change that is being made, nil when there is none.
func (s *Session) Draft() *Draft { return s.draft }

// Show has the change be an edit, and shows what it leads to: the plan follows in
// the background. nil is no change.
func (d *Draft) Show(edit Edit) { d.set(Draft{edit: edit, shown: true}) }

// Hold is Show without showing.
func (d *Draft) Hold(edit Edit) { d.set(Draft{edit: edit}) }

// Wrong has the change make no sense, for a reason.
func (d *Draft) Wrong(why error) { d.set(Draft{wrong: why}) }

// Work has the change be what comes of work in the background, and shows it once
// that is known. told is told the outcome each time.
func (d *Draft) Work(task string, w Work, told func(error)) {
	d.set(Draft{work: w, task: task, told: told, shown: true})
}

// Later has the change be what comes of work that begins once it is to count;
// told, which may be nil, is told the outcome then.
func (d *Draft) Later(task string, w Work, told func(error)) {
	d.set(Draft{work: w, task: task, told: told})
}

func (d *Draft) set(to Draft) {
	s := d.s
	if s.draft != d || s.history == nil {
		return
	}
	d.stop()
	d.edit, d.shown, d.wrong, d.work, d.task, d.told = to.edit, to.shown, to.wrong, to.work, to.task, to.told
	d.again()
}

// again shows the draft of the job as it is by now.
func (d *Draft) again() {
	s := d.s
	switch {
	case d.work != nil && d.shown:
		d.stop()
		d.edit = nil
		s.working(d)
	case d.edit != nil && d.shown:
		s.show(d.edit)
	default:
		s.hide()
		if d.counts() {
			s.auto.shown()
		}
	}
}

// counts reports whether a draft would change something if it was kept now.
func (d *Draft) counts() bool {
	return d != nil && d.wrong == nil && (d.edit != nil || d.work != nil && !d.shown)
}

// outcome returns what works out, on any goroutine, what would become of the job if a draft that
// is not shown was kept now: the job itself where that is refused.
func (d *Draft) outcome(j job.Job) func() job.Job {
	made := func(edit Edit, err error) job.Job {
		if err == nil {
			if out, refused := edit(j); refused == nil {
				return out
			}
		}
		return j
	}
	if d.edit != nil {
		out := made(d.edit, nil)
		return func() job.Job { return out }
	}
	work := d.work
	return func() job.Job {
		return made(guarded(context.Background(), func(ctx context.Context) (Edit, error) { return work(ctx, j) }))
	}
}

// working works a draft out and shows it.
func (s *Session) working(d *Draft) {
	j, at := s.Job(), s.At()
	var t *Task
	t = run(s, message.Message{ID: d.task}, func(ctx context.Context) (Edit, error) { return d.work(ctx, j) }, func(edit Edit, err error) {
		if s.draft != d || d.run != t {
			return
		}
		d.run = nil
		if err == nil {
			d.edit, d.at = edit, at
			s.show(edit)
		}
		if d.told != nil {
			d.told(err)
		}
	})
	d.run = t
}

// stop gives up what is being worked out for the draft.
func (d *Draft) stop() {
	if d.run != nil {
		d.run.Stop()
		d.run = nil
	}
}

// Keep ends the draft and makes it one step, at once or when it is worked out. An
// error is one of the edit, or what was told to Wrong: then there is no step.
func (d *Draft) Keep() error {
	s := d.s
	if s.draft != d {
		return nil
	}
	d.end()
	switch {
	case d.wrong != nil:
		s.hide()
		return d.wrong
	case d.work != nil && (d.edit == nil || d.at != s.At()):
		s.Later(d.task, d.label, d.work, d.told) // what is shown stays until then
		return nil
	case d.edit != nil:
		return s.step(d.label, d.edit)
	}
	s.hide()
	return nil
}

// Drop ends the draft: nothing is changed.
func (d *Draft) Drop() {
	if d.s.draft == d {
		d.end()
		d.s.hide()
	}
}

func (d *Draft) end() {
	d.stop()
	d.s.draft = nil
	if d.ended != nil {
		d.ended()
	}
}

// keepDraft settles what is being made before something else is done.
func (s *Session) keepDraft() {
	if s.draft != nil {
		s.trouble(s.draft.Keep())
	}
}

// Shown returns the job as it is to be seen: with what is being made.
func (s *Session) Shown() job.Job {
	if s.preview != nil {
		return *s.preview
	}
	return s.Job()
}

// show shows what an edit would lead to, without a step.
func (s *Session) show(edit Edit) {
	j, err := edit(s.Job())
	if err != nil {
		s.hide() // what is refused is said when it is to count
		return
	}
	s.preview = &j
	s.planExact = false
	s.fit(j)
	s.auto.shown()
	s.changed(ShownChanged)
}

// hide goes back to the job as it stands.
func (s *Session) hide() {
	c := ShownChanged
	switch {
	case s.preview == nil:
	case s.committed != nil:
		s.fitter.stop()
		s.plan, s.planExact, s.planError = s.committed, true, nil
		s.weak.look()
		c |= PlanChanged
	default:
		s.planExact = false
		s.fit(s.Job())
	}
	s.preview = nil
	s.auto.hidden()
	s.changed(c)
	s.resume()
}
