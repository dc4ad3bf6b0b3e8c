package ui

import (
	"slices"
	"testing"
)

// What waits for the event thread is handed to it as one, in order; what comes of that, and
// what comes after the end, is not.
func TestWayOut_DeliversWhatWaitsAtOneGo(t *testing.T) {
	var handed []func()
	w := &wayOut{do: func(f func()) { handed = append(handed, f) }}
	var done []int
	add := func(n int) func() { return func() { done = append(done, n) } }
	w.deliver(add(1))
	w.deliver(func() { w.deliver(add(4)) })
	w.deliver(add(3))
	if len(handed) != 1 {
		t.Fatalf("handed over %d times", len(handed))
	}
	handed[0]()
	if !slices.Equal(done, []int{1, 3}) || len(handed) != 2 {
		t.Fatalf("done %v, handed over %d times", done, len(handed))
	}
	w.deliver(func() { w.shut.Store(true) })
	w.deliver(add(5))
	handed[1]()
	w.deliver(add(6))
	if !slices.Equal(done, []int{1, 3, 4}) || len(handed) != 2 {
		t.Errorf("done %v, handed over %d times", done, len(handed))
	}
}

// Before the event thread runs, the toolkit runs at once what it is handed there: what waits, and what
// comes of that, is done and not waited for.
func TestWayOut_DeliversBeforeTheEventThreadRuns(t *testing.T) {
	w := &wayOut{do: func(f func()) { f() }}
	var done []int
	w.deliver(func() {
		done = append(done, 1)
		w.deliver(func() { done = append(done, 2) })
	})
	if !slices.Equal(done, []int{1, 2}) {
		t.Errorf("done %v", done)
	}
}
