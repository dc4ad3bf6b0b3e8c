package parallel

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// Whoever helped one caller may linger for another: each still has all of its calls, and none
// of them goes on once Do has returned.
func TestDo_ManyShortOnesFromSeveralSidesAtOnce(t *testing.T) {
	const callers, rounds, items = 4, 2000, 3
	var wg sync.WaitGroup
	for range callers {
		wg.Go(func() {
			for range rounds {
				calls, inner := [items]int{}, [items]atomic.Int32{}
				err := Do(context.Background(), items, func(i int) {
					calls[i]++ // a race where one is called twice, or goes on
					_ = Do(context.Background(), items, func(int) { inner[i].Add(1) })
				})
				for i, n := range calls {
					if k := inner[i].Load(); err != nil || n != 1 || k != items {
						t.Errorf("item %d: %d calls, %d within (%v)", i, n, k, err)
						return
					}
				}
			}
		})
	}
	wg.Wait()
}

// With one core nobody comes before the caller has done all of it.
func TestDo_WaitsForNobodyWhoHasNotBegun(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	first := true
	err := Do(context.Background(), 2, func(i int) {
		if first && i != 0 {
			t.Errorf("item %d comes first", i)
		}
		first = false
	})
	if err != nil || first {
		t.Errorf("nothing done: %v", err)
	}
}

func TestDo_WhoHelpedIsGoneAfterAWhile(t *testing.T) {
	before := runtime.NumGoroutine()
	for range 100 {
		_ = Do(context.Background(), 2, func(int) {})
	}
	for until := time.Now().Add(10 * time.Second); runtime.NumGoroutine() > before || near.Load() > 0; time.Sleep(time.Millisecond) {
		if time.Now().After(until) {
			t.Fatalf("%d goroutines, %d before; %d near", runtime.NumGoroutine(), before, near.Load())
		}
	}
}

// Who asks again at once finds the one who has just helped; not where that one made way for who slept.
func TestGive_WhoHelpedIsNearBeforeAnybodyGoesOn(t *testing.T) {
	for _, slept := range []bool{false, true} {
		before := near.Load()
		h := &help{}
		h.work = func() {
			if slept {
				h.state.Store(awaited)
			}
		}
		stays, more := h.give(), near.Load()-before
		if stays == slept || stays != (more == 1) {
			t.Errorf("slept %v: stays %v, %d more are near", slept, stays, more)
		}
		near.Store(before)
	}
}

// Where passes are over before a core is awake, whoever was called helps with those that follow.
func TestAsk_OneIsCalledForAllThatAsk(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // nobody comes meanwhile
	before := runtime.NumGoroutine()
	for range 10 {
		h := ask(func() { t.Error("called after all was done") })
		h.end()
	}
	if more := runtime.NumGoroutine() - before; more > 1 {
		t.Errorf("%d were called for what is asked one after another", more)
	}
}

// BenchmarkDo tells what it takes to share nothing at all, as often as that is done.
func BenchmarkDo(b *testing.B) {
	for b.Loop() {
		_ = Do(context.Background(), Workers, func(int) {})
	}
}
