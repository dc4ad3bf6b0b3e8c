package ui

import (
	"runtime/debug"
	"testing"
	"time"
)

// Whatever work delivers is delivered, and puts rest off.
func TestRest_IsPutOffByWhatIsDelivered(t *testing.T) {
	fired := make(chan struct{})
	r := &rest{time.AfterFunc(time.Hour, func() { close(fired) })}
	var got []int
	deliver := r.put(func(f func()) { f() })
	for i := range 3 {
		deliver(func() { got = append(got, i) })
	}
	if len(got) != 3 || got[0] != 0 || got[2] != 2 {
		t.Errorf("delivered %v", got)
	}
	if !r.timer.Stop() {
		t.Error("the timer does not run after something was delivered")
	}
	select {
	case <-fired:
		t.Error("it rested while work was delivered")
	default:
	}
}

// What nobody holds any more is spare until it is given back.
func TestSpareBytes_CountWhatIsLeftOver(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(-1)) // nothing is collected meanwhile
	debug.FreeOSMemory()
	const size = 64 << 20
	before := spareBytes()
	block := make([]byte, size)
	for i := 0; i < size; i += 4096 {
		block[i] = 1
	}
	held := spareBytes()
	if block[4096] != 1 || held < before+size/2 {
		t.Errorf("%d bytes spare before and %d after %d were taken since the last collection", before, held, size)
	}
	debug.FreeOSMemory()
	if after := spareBytes(); after > before+size/2 {
		t.Errorf("%d bytes spare after all was given back", after)
	}
}
