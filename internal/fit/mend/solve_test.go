package mend

import (
	"testing"

	"abut/internal/fit/sketch"
)

// Of two states that solve nothing the one with less left to do is better; where that differs by rounding the cleaner one.
func TestBetter_IsTheCleanerOfTwoThatLeaveAsMuch(t *testing.T) {
	v := &solver{settings: sketch.Art(t, "green rect 0 0 60 30").Settings, start: state{left: 3}}
	p := &problem{own: 2}
	first := &state{left: 1.101, bends: 2}
	for _, c := range []struct {
		next state
		wins bool
	}{
		{state{left: 1.1, bends: 5}, false},
		{state{left: 1.102, bends: 1}, true},
		{state{left: 1.05, bends: 5}, true},
		{state{left: 1.15, bends: 1}, false},
	} {
		if got := v.better(first, &c.next, p); (got == &c.next) != c.wins {
			t.Errorf("%+v wins: %t", c.next, !c.wins)
		}
	}
}
