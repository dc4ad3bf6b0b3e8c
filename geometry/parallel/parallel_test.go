package parallel

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

func TestDo_CallsEachOnce(t *testing.T) {
	for _, n := range []int{-1, 0, 1, 2, 3, 1000} {
		calls := make([]atomic.Int32, max(n, 0))
		if err := Do(context.Background(), n, func(i int) { calls[i].Add(1) }); err != nil {
			t.Errorf("%d items: %v", n, err)
		}
		for i := range calls {
			if k := calls[i].Load(); k != 1 {
				t.Errorf("%d items: %d calls for item %d", n, k, i)
			}
		}
	}
}

func TestDo_RunsSideBySideAndNoMoreThanItsWorkersAtOnce(t *testing.T) {
	var now, most atomic.Int32
	var together sync.WaitGroup
	together.Add(Workers)
	err := Do(context.Background(), 100, func(i int) {
		k := now.Add(1)
		defer now.Add(-1)
		for m := most.Load(); k > m && !most.CompareAndSwap(m, k); m = most.Load() {
		}
		if i < Workers { // the first ones wait for each other
			together.Done()
			together.Wait()
		}
	})
	if k := most.Load(); err != nil || k != Workers {
		t.Errorf("%d calls at once, want %d (%v)", k, Workers, err)
	}
}

func TestDo_BeginsNothingOnceTheContextIsDone(t *testing.T) {
	for _, n := range []int{0, 1, 2, 100} {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if err := Do(ctx, n, func(int) { t.Errorf("%d items: called", n) }); !errors.Is(err, context.Canceled) {
			t.Errorf("%d items: %v, want context.Canceled", n, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	var calls atomic.Int32
	err := Do(ctx, 1000, func(int) {
		calls.Add(1)
		cancel()
	})
	if k := calls.Load(); !errors.Is(err, context.Canceled) || k > Workers {
		t.Errorf("cancelled in the first call: %d calls, %v", k, err)
	}
}

// broken is a function with a name to look for in a stack.
func broken(v any) { panic(v) }

func caughtFrom(f func()) (v any) {
	defer func() { v = recover() }()
	f()
	return nil
}

func TestDo_APanicReachesTheCallerWithTheWorkersStack(t *testing.T) {
	cause := errors.New("no such thing")
	var calls atomic.Int32
	v := caughtFrom(func() {
		_ = Do(context.Background(), 1000, func(i int) {
			calls.Add(1)
			broken(fmt.Errorf("item: %w", cause))
		})
	})
	p, ok := v.(*Panic)
	if !ok {
		t.Fatalf("got %T %v, want a *Panic", v, v)
	}
	if text := fmt.Sprint(p); !strings.Contains(text, "item: no such thing") || !strings.Contains(text, "parallel.broken") {
		t.Errorf("neither what nor where: %s", text)
	}
	if !errors.Is(p, cause) {
		t.Errorf("%v does not lead to its cause", p.Value)
	}
	if k := calls.Load(); k > Workers {
		t.Errorf("%d calls after a panic", k)
	}
}

func TestDo_APanicWithinAWorkersWorkerKeepsTheInnermostStack(t *testing.T) {
	v := caughtFrom(func() {
		_ = Do(context.Background(), 2, func(int) {
			_ = Do(context.Background(), 2, func(int) { broken("deep") })
		})
	})
	p, ok := v.(*Panic)
	if !ok || p.Value != "deep" || !strings.Contains(p.Error(), "parallel.broken") {
		t.Errorf("got %v", v)
	}
}

func TestRanges_AreAllItemsInOrder(t *testing.T) {
	for _, n := range []int{0, 1, 9, 10, 11, 1000} {
		var lo, hi [Workers]int
		var parts atomic.Int32
		err := Ranges(context.Background(), n, 10, func(part, from, to int) error {
			parts.Add(1)
			lo[part], hi[part] = from, to
			return nil
		})
		want := Workers
		if n < 10 {
			want = 1
		}
		if k := int(parts.Load()); err != nil || k != want {
			t.Errorf("%d items: %d parts, want %d (%v)", n, k, want, err)
		}
		at := 0
		for p := range want {
			if lo[p] != at {
				t.Errorf("%d items: part %d is %d to %d, want it from %d", n, p, lo[p], hi[p], at)
			}
			at = hi[p]
		}
		if at != n {
			t.Errorf("%d items: the parts end at %d", n, at)
		}
	}
}

func TestRanges_ReturnsTheFirstRangesError(t *testing.T) {
	err := Ranges(context.Background(), 100, 10, func(part, _, _ int) error { return fmt.Errorf("part %d", part) })
	if err == nil || err.Error() != "part 0" {
		t.Errorf("got %v, want that of part 0", err)
	}
	v := caughtFrom(func() {
		_ = Ranges(context.Background(), 100, 10, func(int, int, int) error { panic("here") })
	})
	if p, ok := v.(*Panic); !ok || p.Value != "here" {
		t.Errorf("got %v, want a *Panic", v)
	}
}

func TestAside_IsLeftWhenTheContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	hold := make(chan bool)
	defer close(hold)
	go cancel()
	if v, err := Aside(ctx, func() (int, error) { <-hold; return 1, nil }); v != 0 || !errors.Is(err, context.Canceled) {
		t.Errorf("%d, %v", v, err)
	}
}

func TestAside_ReturnsWhatTheWorkDoes(t *testing.T) {
	wrong := errors.New("wrong")
	if v, err := Aside(context.Background(), func() (int, error) { return 1, wrong }); v != 1 || err != wrong {
		t.Errorf("%d, %v", v, err)
	}
	defer func() {
		if v := recover(); v != "broken" {
			t.Errorf("the panic that came up: %v", v)
		}
	}()
	_, _ = Aside(context.Background(), func() (int, error) { panic("broken") })
}

func TestCollect_ReturnsWhatIsFoundOfEachRange(t *testing.T) {
	sum := func(_, lo, hi int) (all int, err error) {
		for i := lo; i < hi; i++ {
			all += i
		}
		return all, nil
	}
	if all, err := Collect(context.Background(), 9, 10, sum); err != nil || all != [Workers]int{36} {
		t.Errorf("of one range: %v, %v", all, err)
	}
	if all, err := Collect(context.Background(), 10, 10, sum); err != nil || all != [Workers]int{10, 35} {
		t.Errorf("of two: %v, %v", all, err)
	}
	all, err := Collect(context.Background(), 10, 0, func(part, _, _ int) (int, error) { return part + 1, fmt.Errorf("part %d", part) })
	if err == nil || err.Error() != "part 0" || all != [Workers]int{1, 2} {
		t.Errorf("%v, got %v, want that of part 0", all, err)
	}
	made := testing.AllocsPerRun(100, func() { _, _ = Collect(context.Background(), 9, 10, sum) })
	if made > 0 {
		t.Errorf("%g allocations where nothing is shared", made)
	}
}
