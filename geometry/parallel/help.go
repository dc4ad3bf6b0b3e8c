package parallel

import (
	"sync"
	"sync/atomic"
	"time"
)

// help is work that the caller does too, until nothing of it is left, and asks another
// worker to share.
//
// The passes of a map are parted some thirty times within a few milliseconds. Each time the
// system would put a core to sleep that has nothing to do for a moment and wake it again, which takes
// some 20 to 80 µs: as long as the work. So who has helped lingers for the next that ask, and who waits
// for the last bit looks for a while before sleeping.
type help struct {
	work  func()
	state atomic.Int32
	doing sync.Mutex // held by whoever helps
}

// The states of help.
const (
	open int32 = iota
	taken
	awaited // the caller sleeps until it is done
	done
	withdrawn // nobody came before all was done
)

var (
	// offered is what is asked of those who linger.
	offered atomic.Pointer[help]
	// lingerers are fewer than Workers.
	lingerers atomic.Int32
)

// ask has another worker share the work, one who lingers if there is any.
func ask(work func()) *help {
	h := &help{work: work}
	if lingerers.Load() > 0 && offered.CompareAndSwap(nil, h) {
		if lingerers.Load() > 0 || !offered.CompareAndSwap(h, nil) {
			return h // whoever leaves looks once more
		}
	}
	go func() {
		for h := h; h != nil && h.give(); {
			h = linger()
		}
	}()
	return h
}

// give does the work, if it is still asked for, and reports whether to linger: not after coming
// too late, for lack of a free core as it seems, and who sleeps until it is done goes on in the place
// of who did it.
func (h *help) give() bool {
	h.doing.Lock()
	defer h.doing.Unlock()
	if !h.state.CompareAndSwap(open, taken) {
		return false
	}
	h.work()
	return h.state.Swap(done) != awaited
}

// end returns when nobody does the work any more, for which nothing of it may be left.
func (h *help) end() {
	if h.state.CompareAndSwap(open, withdrawn) {
		offered.CompareAndSwap(h, nil)
		return
	}
	if look(func() bool { return h.state.Load() == done }) || !h.state.CompareAndSwap(taken, awaited) {
		return
	}
	h.doing.Lock() // whoever helps is done
	defer h.doing.Unlock()
}

// linger returns what is asked for within a moment, or nil.
func linger() (h *help) {
	if lingerers.Add(1) < Workers {
		look(func() bool {
			h = offered.Load()
			return h != nil && offered.CompareAndSwap(h, nil)
		})
	}
	lingerers.Add(-1)
	if h == nil {
		h = offered.Swap(nil)
	}
	return h
}

const (
	// moment is how long looking pays: longer than most passes on one core between
	// those on several, and about what sleeping and waking takes.
	moment = 50 * time.Microsecond
	// looks are at most so many, whatever the clock says. Asking it between two leaves the core's
	// units to who shares them.
	looks = 2000
)

// look looks until something is so, for a moment, and reports whether it is.
func look(so func() bool) bool {
	begun := time.Now()
	for range looks {
		if so() {
			return true
		}
		if time.Since(begun) > moment {
			break
		}
	}
	return false
}
