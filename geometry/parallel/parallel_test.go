package parallel

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
)

func TestDo_DoesEverythingOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		done := make([]atomic.Int32, n)
		if err := Do(context.Background(), n, func(i int) { done[i].Add(1) }); err != nil {
			t.Fatal(err)
		}
		for i := range done {
			if v := done[i].Load(); v != 1 {
				t.Fatalf("of %d: %d was done %d times", n, i, v)
			}
		}
	}
}

func TestDo_StopsWithTheContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var done atomic.Int32
	err := Do(ctx, 1000, func(int) {
		if done.Add(1) == 10 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) || done.Load() > 10+workers {
		t.Errorf("%v after %d", err, done.Load())
	}
}

func breaks(int) { panic("a broken edge") }

func TestDo_APanicReachesTheCallerWithItsStack(t *testing.T) {
	defer func() {
		text, _ := recover().(string)
		if !strings.Contains(text, "a broken edge") || !strings.Contains(text, "breaks") {
			t.Errorf("what came was %q", text)
		}
	}()
	_ = Do(context.Background(), 100, breaks)
	t.Error("it went on")
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
