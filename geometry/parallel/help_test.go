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
	for until := time.Now().Add(10 * time.Second); runtime.NumGoroutine() > before || lingerers.Load() > 0; time.Sleep(time.Millisecond) {
		if time.Now().After(until) {
			t.Fatalf("%d goroutines, %d before; %d linger", runtime.NumGoroutine(), before, lingerers.Load())
		}
	}
}

// BenchmarkDo tells what it takes to share nothing at all, as often as that is done.
func BenchmarkDo(b *testing.B) {
	for b.Loop() {
		_ = Do(context.Background(), Workers, func(int) {})
	}
}
