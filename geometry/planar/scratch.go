package planar

import "sync"

// scratch is room that one Build leaves to the next: a drag builds maps of much
// the same size many times a second.
type scratch struct {
	cells        cellScratch
	ids          []int32
	items, spare []keyed
	fragments    [3][]fragment
	leaves       []leafCell
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// room returns a slice of length 0 and room for n, the given one if it will do.
func room[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, 0, n)
	}
	return s[:0]
}
