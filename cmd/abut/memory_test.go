package main

import (
	"runtime"
	"runtime/debug"
	"testing"
	"time"
)

func TestSpare_IsLessTheMoreLives(t *testing.T) {
	for live, want := range map[uint64]int{0: 100, 8 << 20: 100, 192 << 20: 100, 384 << 20: 50, 800 << 20: 30, 8 << 30: 30} {
		if got := spare(live); got != want {
			t.Errorf("%d MiB: %d %%, not %d", live>>20, got, want)
		}
	}
}

// Once much lives the collector comes sooner, and later again once it is gone.
func TestTightenMemory_FollowsWhatLives(t *testing.T) {
	before := debug.SetGCPercent(100)
	t.Cleanup(func() { debug.SetGCPercent(before) })
	t.Setenv("GOGC", "")
	tightenMemory()
	becomes := func(what string, ok func(percent int) bool) {
		t.Helper()
		for range 200 {
			runtime.GC()
			now := debug.SetGCPercent(100)
			debug.SetGCPercent(now)
			if ok(now) {
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
		t.Errorf("with %s it stays as it was", what)
	}
	much := make([]byte, 400<<20)
	becomes("400 MiB", func(percent int) bool { return percent < 60 })
	runtime.KeepAlive(much)
	becomes("nothing", func(percent int) bool { return percent == 100 })
}
