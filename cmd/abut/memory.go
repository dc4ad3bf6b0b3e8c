package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// The collector waits until there is twice what lives, which is right for the few megabytes of most
// pictures. Mending a mandala of thousands of strokes lives in 800 of them, and a laptop may not have
// 800 more to wait for. Nearly all that lives is numbers, which the collector need not follow: that it comes sooner
// hardly takes longer.
const (
	// leastSpare is how much more than what lives there may be at any time, in bytes.
	leastSpare = 192 << 20
	// leastPercent is how much more there may be at any time, in percent of what lives. With 30 the mends of such a
	// mandala take 3 % longer than with 100, and a quarter less memory.
	leastPercent, mostPercent = 30, 100
)

// spare returns how much more than what lives there may be before the collector comes, in
// percent, as debug.SetGCPercent has it.
func spare(live uint64) int {
	if live == 0 {
		return mostPercent
	}
	return int(min(max(leastSpare*100/live, leastPercent), mostPercent))
}

// tightenMemory has the collector leave less room the more there lives, unless whoever calls the
// program says otherwise.
func tightenMemory() {
	if os.Getenv("GOGC") == "" {
		watch(mostPercent)
	}
}

// watch sets the headroom each time the collector has been, which then finds that nobody holds what it made.
func watch(percent int) {
	// Smaller things share blocks, and would live as long as what they share it with.
	sentinel := new([4]uint64)
	runtime.AddCleanup(sentinel, func(percent int) {
		sample := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
		if metrics.Read(sample); sample[0].Value.Kind() == metrics.KindUint64 {
			if now := spare(sample[0].Value.Uint64()); now != percent {
				debug.SetGCPercent(now)
				percent = now
			}
		}
		watch(percent)
	}, percent)
}
