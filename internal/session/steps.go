package session

import (
	"errors"
	"slices"

	"abut/internal/job"
)

// At names a state that a session was in: which document was open, and after how
// many edits. What is worked out in the background, and what a panel's row does,
// carries the state that it belongs to.
type At struct{ document, version int }

// At returns the state that the session is in.
func (s *Session) At() At { return At{s.document, s.version} }

// SameDocument reports whether two states are of one document.
func (a At) SameDocument(b At) bool { return a.document == b.document }

// ErrStale is DoAt's error for a state of a document that is not open any more.
var ErrStale = errors.New("another document is open by now")

// Edit is a change of a job. It leaves the job that it is given as it is.
type Edit func(job.Job) (job.Job, error)

// Do makes an edit one step of the history, after what was being made. label is a
// sentence's id, for the undo command.
func (s *Session) Do(label string, edit Edit) error {
	s.keepDraft()
	return s.step(label, edit)
}

// DoAt is Do for something that was shown of a state: once another document is
// open, which may have layers of the same ids, it is ErrStale and nothing is
// done.
func (s *Session) DoAt(at At, label string, edit Edit) error {
	if at.document != s.document {
		return ErrStale
	}
	return s.Do(label, edit)
}

// Nudge is Do for one of many small edits: those with the same key that follow
// each other closely become one step.
func (s *Session) Nudge(key, label string, edit Edit) error {
	s.keepDraft()
	return s.make(edit, func(j job.Job) { s.history.Nudge(key, label, j, slices.Clone(s.selection)) })
}

func (s *Session) step(label string, edit Edit) error {
	return s.make(edit, func(j job.Job) { s.history.Do(label, j, slices.Clone(s.selection)) })
}

// make is the one door through which a job is edited.
func (s *Session) make(edit Edit, keep func(job.Job)) error {
	if s.history == nil {
		return nil
	}
	j, err := edit(s.history.Value())
	if err != nil {
		s.hide()
		return err
	}
	keep(j)
	s.edited()
	return nil
}

// edited follows a step in either direction.
func (s *Session) edited() {
	j := s.history.Value()
	keep := s.selection[:0:0]
	for _, id := range s.selection {
		if _, _, ok := j.Layer(id); ok {
			keep = append(keep, id)
		}
	}
	c := JobChanged
	if len(keep) != len(s.selection) {
		c |= SelectionChanged
	}
	s.selection = keep
	s.preview, s.committed = nil, nil
	s.version++
	s.stopVoid()
	s.planExact, s.planError = false, nil
	s.fit(j)
	s.auto.touch()
	if s.draft != nil {
		s.draft.again()
	}
	s.changed(c | SavedChanged)
}

// Undo takes the last step back and selects what it was done to. While the mends
// are being worked out, it is those that are given up.
func (s *Session) Undo() {
	if s.mending != nil {
		s.mending.undone = true
		s.mending.Stop()
		return
	}
	s.travel(func() (job.Job, []job.LayerID, bool) { return s.history.Undo() })
}

// Redo brings the step back that Undo took.
func (s *Session) Redo() { s.travel(func() (job.Job, []job.LayerID, bool) { return s.history.Redo() }) }

func (s *Session) travel(move func() (job.Job, []job.LayerID, bool)) {
	if s.history == nil {
		return
	}
	s.keepDraft()
	_, selection, ok := move()
	if !ok {
		s.hide()
		return
	}
	s.selection = slices.Clone(selection)
	s.edited()
	s.changed(SelectionChanged)
}

// GoTo undoes or redoes until n steps are done.
func (s *Session) GoTo(n int) {
	if s.history == nil || n == s.history.Steps() {
		return
	}
	s.travel(func() (j job.Job, ids []job.LayerID, ok bool) {
		for s.history.Steps() > n && s.history.CanUndo() {
			j, ids, ok = s.history.Undo()
		}
		for s.history.Steps() < n && s.history.CanRedo() {
			j, ids, ok = s.history.Redo()
		}
		return j, ids, ok
	})
}

// CanUndo reports whether a step can be taken back.
func (s *Session) CanUndo() bool { return s.history != nil && s.history.CanUndo() }

// CanRedo reports whether a step can be brought back.
func (s *Session) CanRedo() bool { return s.history != nil && s.history.CanRedo() }

// UndoLabel returns the label of the step that Undo takes back: the id of the
// sentence that it was done with.
func (s *Session) UndoLabel() string {
	if !s.CanUndo() {
		return ""
	}
	return s.history.UndoLabel()
}

// RedoLabel returns the label of the step that Redo brings back.
func (s *Session) RedoLabel() string {
	if !s.CanRedo() {
		return ""
	}
	return s.history.RedoLabel()
}

// Steps returns the labels of all steps, the first one first, and how many of
// them are done; the rest can be brought back.
func (s *Session) Steps() (labels []string, done int) {
	if s.history == nil {
		return nil, 0
	}
	return s.history.Labels(), s.history.Steps()
}

// Selection returns the selected layers.
func (s *Session) Selection() []job.LayerID { return slices.Clone(s.selection) }

// Select selects layers, after what was being made of others. It is no step of
// the history.
func (s *Session) Select(ids []job.LayerID) {
	if slices.Equal(ids, s.selection) {
		return
	}
	s.keepDraft()
	s.selection = slices.Clone(ids)
	s.changed(SelectionChanged)
}
