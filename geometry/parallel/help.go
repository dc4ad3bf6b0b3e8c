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
// some 20 to 80 µs: as long as the work. So who has helped lingers for the next that ask, who is called too late for
// one pass helps with those that follow, and who waits for the last bit looks for a while before sleeping.
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
	// offered is what is asked of those who are near.
	offered atomic.Pointer[help]
	// near are those who will look at what is offered before they leave: who lingers, and who was called and
	// is on the way.
	near atomic.Int32
	// lingerers are fewer than Workers.
	lingerers atomic.Int32
)

// ask has another worker share the work, one who is near if there is any.
func ask(work func()) *help {
	h := &help{work: work}
	switch {
	case !offered.CompareAndSwap(nil, h): // somebody else asks, too
		go h.stay()
	case near.Load() == 0:
		call()
	}
	return h
}

// call has a worker come for what is offered by then. Until a core is awake a short pass is over, and so may the next
// be: who finds nothing lingers, but not who comes late, for lack of a free core as it seems.
func call() {
	near.Add(1)
	called := time.Now()
	go func() {
		if time.Since(called) < moment {
			linger().stay()
		} else {
			leave().stay()
		}
	}()
}

// stay does the work, if any, and then what is asked for within a moment.
func (h *help) stay() {
	for h != nil && h.give() {
		h = linger()
	}
}

// give does the work, if it is still asked for, and reports whether to linger: not after coming
// too late, and who sleeps until it is done goes on in the place of who did it.
func (h *help) give() bool {
	h.doing.Lock()
	defer h.doing.Unlock()
	if !h.state.CompareAndSwap(open, taken) {
		return false
	}
	h.work()
	near.Add(1) // before who waits for it goes on and asks again
	if h.state.Swap(done) == awaited {
		near.Add(-1)
		return false
	}
	return true
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

// linger returns what is offered within a moment, or nil, to one who is near until then.
func linger() (h *help) {
	if lingerers.Add(1) < Workers {
		look(func() bool {
			h = offered.Load()
			return h != nil && offered.CompareAndSwap(h, nil)
		})
	}
	lingerers.Add(-1)
	if h == nil {
		return leave()
	}
	near.Add(-1)
	if offered.Load() != nil && near.Load() == 0 { // by who still counted on this one
		call()
	}
	return h
}

// leave returns what is offered at the last moment, or nil, to one who was near.
func leave() *help {
	near.Add(-1)
	return offered.Swap(nil)
}

const (
	// moment is how long looking pays: longer than what one core does alone between passes of a map
	// on several, and a few times what sleeping and waking takes.
	moment = 200 * time.Microsecond
	// looks are at most so many, whatever the clock says. Asking it between two leaves the core's
	// units to who shares them.
	looks = 8000
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
