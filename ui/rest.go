package ui

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"time"
)

const (
	// restAfter is how long nothing must come of work in the background before memory
	// is given back: less would come between two edits, and what is given back has to be
	// fetched again.
	restAfter = 2 * time.Second
	// worthGiving is how many bytes make that pay: a picture of a few shapes leaves less.
	worthGiving = 16 << 20
)

// rest gives memory back to the system where the program has come to rest. Opening a
// picture takes twice what stays of it, and the collector would keep that for work that
// may not come.
type rest struct{ timer *time.Timer }

func newRest() *rest {
	return &rest{time.AfterFunc(restAfter, func() {
		if spareBytes() > worthGiving {
			runtime.GC() // what pools keep from one piece of work to the next goes with the second
			debug.FreeOSMemory()
		}
	})}
}

// put returns deliver such that each time is a sign of work.
func (r *rest) put(deliver func(func())) func(func()) {
	return func(f func()) {
		r.timer.Reset(restAfter)
		deliver(f)
	}
}

// spareBytes returns how much of the heap is garbage as far as the last collection tells,
// or free and not yet given back.
func spareBytes() uint64 {
	s := []metrics.Sample{
		{Name: "/memory/classes/heap/objects:bytes"},
		{Name: "/memory/classes/heap/unused:bytes"},
		{Name: "/memory/classes/heap/free:bytes"},
		{Name: "/gc/heap/live:bytes"},
	}
	metrics.Read(s)
	held, live := s[0].Value.Uint64()+s[1].Value.Uint64()+s[2].Value.Uint64(), s[3].Value.Uint64()
	return held - min(held, live)
}
