// Package history keeps the states that a document went through, so that every
// edit can be undone. It holds whole values and knows nothing of what they are:
// values that share what did not change make a step cheap.
package history

import "time"

// mergeWithin is how soon a nudge must follow the last one to become part of
// the same step. Held arrow keys repeat some thirty times a second and a person
// taps a few times a second; a second's pause is a change of mind.
const mergeWithin = time.Second

// History is a value's present state with the steps before and after it. T is
// the value, S a selection: what a step was done to comes back with the step,
// in undo and in redo alike, but selecting is no step of its own. Make one with
// New. It is not safe for concurrent use.
type History[T, S any] struct {
	now   func() time.Time
	start T
	steps []step[T, S]
	// at counts the steps that are done; those behind it can be redone.
	at int
	// mergeable: the last thing that happened was a nudge, not an undo or redo.
	mergeable bool
	// made counts the steps that were ever made.
	made int
}

type step[T, S any] struct {
	// state is the number of its value; see State.
	state     int
	label     string
	value     T
	selection S
	key       string
	time      time.Time
}

// New returns a history that begins with start and has no steps.
func New[T, S any](start T) *History[T, S] {
	return &History[T, S]{now: time.Now, start: start}
}

// Value returns the present state.
func (h *History[T, S]) Value() T {
	if h.at == 0 {
		return h.start
	}
	return h.steps[h.at-1].value
}

// State tells values from each other: it is that of before once a step was taken back or done again,
// and another after each new step. That of the start is 0.
func (h *History[T, S]) State() int {
	if h.at == 0 {
		return 0
	}
	return h.steps[h.at-1].state
}

// Do makes value the present state, as one step. label says what was done, for
// the undo command; selection is what it was done to. Steps that had been
// undone are forgotten.
func (h *History[T, S]) Do(label string, value T, selection S) {
	h.push(step[T, S]{label: label, value: value, selection: selection})
	h.mergeable = false
}

// Nudge is Do for one of many small edits. It merges with the last step when
// that was a nudge with the same key, at most a second ago, and nothing has
// been undone since: one undo then takes the whole run back. key names what is
// nudged and how.
func (h *History[T, S]) Nudge(key, label string, value T, selection S) {
	s := step[T, S]{label: label, value: value, selection: selection, key: key, time: h.now()}
	if h.mergeable && h.at > 0 {
		last := &h.steps[h.at-1]
		if since := s.time.Sub(last.time); last.key == key && since >= 0 && since <= mergeWithin {
			h.made++
			s.state = h.made
			*last = s
			return
		}
	}
	h.push(s)
	h.mergeable = true
}

func (h *History[T, S]) push(s step[T, S]) {
	h.made++
	s.state = h.made
	clear(h.steps[h.at:]) // let go of what can no longer be redone
	h.steps = append(h.steps[:h.at], s)
	h.at++
}

// Undo goes back one step. It returns the state before it and what the step
// was done to, and false when there is nothing to undo.
func (h *History[T, S]) Undo() (value T, selection S, ok bool) {
	if h.at == 0 {
		return h.start, selection, false
	}
	h.at--
	h.mergeable = false
	return h.Value(), h.steps[h.at].selection, true
}

// Redo goes forward one step. It returns the state after it and what the step
// was done to, and false when there is nothing to redo.
func (h *History[T, S]) Redo() (value T, selection S, ok bool) {
	if h.at == len(h.steps) {
		return h.Value(), selection, false
	}
	h.at++
	h.mergeable = false
	return h.Value(), h.steps[h.at-1].selection, true
}

// CanUndo reports whether there is a step to undo.
func (h *History[T, S]) CanUndo() bool { return h.at > 0 }

// CanRedo reports whether there is a step to redo.
func (h *History[T, S]) CanRedo() bool { return h.at < len(h.steps) }

// UndoLabel returns the label of the step that Undo would take back, empty
// when there is none.
func (h *History[T, S]) UndoLabel() string {
	if h.at == 0 {
		return ""
	}
	return h.steps[h.at-1].label
}

// RedoLabel returns the label of the step that Redo would bring back, empty
// when there is none.
func (h *History[T, S]) RedoLabel() string {
	if h.at == len(h.steps) {
		return ""
	}
	return h.steps[h.at].label
}

// Steps returns how many steps can be undone.
func (h *History[T, S]) Steps() int { return h.at }

// Labels returns the labels of all steps, those that were undone too; Steps says
// how many of them are done.
func (h *History[T, S]) Labels() []string {
	out := make([]string, len(h.steps))
	for i := range h.steps {
		out[i] = h.steps[i].label
	}
	return out
}
