package history

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// clock is a time that a test moves on.
type clock struct{ now time.Time }

func (c *clock) time() time.Time { return c.now }

func newTest(start int) (*History[int, string], *clock) {
	c := &clock{time.Unix(1e9, 0)}
	h := New[int, string](start)
	h.now = c.time
	return h, c
}

func TestHistory_FreshHasNothingToUndo(t *testing.T) {
	h, _ := newTest(7)
	if h.CanUndo() || h.CanRedo() || h.UndoLabel() != "" || h.RedoLabel() != "" || h.Value() != 7 {
		t.Errorf("%+v", h)
	}
	if v, _, ok := h.Undo(); ok || v != 7 {
		t.Error(v, ok)
	}
	if v, _, ok := h.Redo(); ok || v != 7 {
		t.Error(v, ok)
	}
}

func TestHistory_SelectionComesBackWithAStep(t *testing.T) {
	h, _ := newTest(0)
	h.Do("Move", 1, "beak")
	h.Do("Knock out", 2, "wing")
	if h.UndoLabel() != "Knock out" {
		t.Error(h.UndoLabel())
	}
	if v, sel, ok := h.Undo(); v != 1 || sel != "wing" || !ok {
		t.Error(v, sel, ok)
	}
	if v, sel, ok := h.Undo(); v != 0 || sel != "beak" || !ok {
		t.Error(v, sel, ok)
	}
	if h.RedoLabel() != "Move" {
		t.Error(h.RedoLabel())
	}
	if v, sel, ok := h.Redo(); v != 1 || sel != "beak" || !ok {
		t.Error(v, sel, ok)
	}
}

func TestHistory_DoForgetsWhatWasUndone(t *testing.T) {
	h, _ := newTest(0)
	h.Do("a", 1, "")
	h.Do("b", 2, "")
	h.Undo()
	h.Do("c", 3, "")
	if h.CanRedo() || h.Value() != 3 || h.Steps() != 2 {
		t.Errorf("%+v", h)
	}
}

func TestNudge_MergesOnlyARunThatFollowsClosely(t *testing.T) {
	h, c := newTest(0)
	nudge := func(key string, v int, after time.Duration) int {
		c.now = c.now.Add(after)
		h.Nudge(key, "Nudge", v, "beak")
		return h.Steps()
	}
	for i, step := range []struct {
		key   string
		after time.Duration
		steps int
	}{
		{"right", 0, 1},
		{"right", mergeWithin, 1},
		{"right", mergeWithin, 1}, // counted from the last nudge, not the first
		{"down", 0, 2},            // another direction
		{"right", 0, 3},           // and back
		{"right", mergeWithin + 1, 4},
		{"right", -time.Hour, 5}, // a clock that was set back
	} {
		if got := nudge(step.key, i+1, step.after); got != step.steps {
			t.Errorf("nudge %d: %d steps, want %d", i, got, step.steps)
		}
	}
	h.Do("Recolour", 100, "")
	if got := nudge("right", 101, 0); got != 7 {
		t.Errorf("merged across another step: %d", got)
	}
	h.Undo()
	h.Redo()
	if got := nudge("right", 102, 0); got != 8 {
		t.Errorf("merged after undo and redo: %d", got)
	}
	if v, _, _ := h.Undo(); v != 101 {
		t.Error(v)
	}
}

// A random run of edits, nudges, undos and redos against the obvious model: a
// list of states and a position.
func TestHistory_RandomRunsUndoToTheStartAndRedoToTheEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, c := newTest(-1)
		states, at := []int{-1}, 0
		next := 0
		for i := range rapid.IntRange(0, 60).Draw(t, "length") {
			c.now = c.now.Add(time.Duration(rapid.IntRange(0, 1500).Draw(t, "ms")) * time.Millisecond)
			switch rapid.IntRange(0, 3).Draw(t, fmt.Sprint("op", i)) {
			case 0:
				h.Do("edit", next, "")
				states, at = append(slices.Clone(states[:at+1]), next), at+1
				next++
			case 1:
				before := h.Steps()
				h.Nudge(rapid.SampledFrom([]string{"x", "y"}).Draw(t, "key"), "nudge", next, "")
				switch h.Steps() {
				case before + 1:
					states, at = append(slices.Clone(states[:at+1]), next), at+1
				case before:
					if at != len(states)-1 {
						t.Fatal("merged although there was something to redo")
					}
					states[at] = next
				}
				next++
			case 2:
				if _, _, ok := h.Undo(); ok != (at > 0) {
					t.Fatal("undo", ok)
				} else if ok {
					at--
				}
			case 3:
				if _, _, ok := h.Redo(); ok != (at < len(states)-1) {
					t.Fatal("redo", ok)
				} else if ok {
					at++
				}
			}
			if h.Value() != states[at] {
				t.Fatalf("value %d, want %d", h.Value(), states[at])
			}
		}
		for h.CanRedo() {
			h.Redo()
		}
		end := h.Value()
		for h.CanUndo() {
			h.Undo()
		}
		if h.Value() != -1 {
			t.Fatalf("undo all gives %d", h.Value())
		}
		for h.CanRedo() {
			h.Redo()
		}
		if h.Value() != end || end != states[len(states)-1] {
			t.Fatalf("redo all gives %d, want %d", h.Value(), end)
		}
	})
}

func TestHistory_StateIsThatOfTheValue(t *testing.T) {
	h, c := newTest(0)
	seen := map[int]bool{h.State(): true}
	fresh := func(what string) int {
		t.Helper()
		if seen[h.State()] {
			t.Errorf("%s: state %d was another's", what, h.State())
		}
		seen[h.State()] = true
		return h.State()
	}
	h.Do("Move", 1, "")
	moved := fresh("a step")
	h.Nudge("arrow", "Nudge", 2, "")
	fresh("a nudge")
	c.now = c.now.Add(mergeWithin / 2)
	h.Nudge("arrow", "Nudge", 3, "")
	fresh("a nudge that joined the last")
	h.Undo()
	if h.State() != moved {
		t.Errorf("taken back it is %d, was %d", h.State(), moved)
	}
	h.Do("Turn", 4, "")
	turned := fresh("another in its place")
	h.Undo()
	h.Undo()
	if h.State() != 0 {
		t.Errorf("at the start it is %d", h.State())
	}
	h.Redo()
	h.Redo()
	if h.State() != turned {
		t.Errorf("done again it is %d, was %d", h.State(), turned)
	}
}
