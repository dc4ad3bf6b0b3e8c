package planar

import (
	"runtime"
	"sync"

	"abut/geometry/parallel"
)

// scratch is room that one Build leaves to the next: a drag builds maps of much
// the same size many times a second.
type scratch struct {
	outlines     []outline
	chords       chords
	cells        [parallel.Workers]cellScratch
	all          []int32
	order        []int32
	runs         runs
	items, spare []keyed
	startOf      []VertexID
	stretches    []stretch
	vertices     [2][]Point
	leaving      []fragment    // as they come
	fragments    [2][]fragment // sorted, settled
	bent         [parallel.Workers][]fragment
	settled      [parallel.Workers][]fragment // by workers but the first
	vicinity     [parallel.Workers]vicinity
	lines        []line
	lineIDs      []int32
	near         [parallel.Workers][]bool
	isNear       []bool
	next         []int32
	deltas       deltaTable
	besides      [parallel.Workers]deltaTable // of workers but the first
	arriving     []int32
	nodes        [parallel.Workers][]statusNode
	free         [parallel.Workers][]int32
	gaps         [parallel.Workers]gaps
	windings     [parallel.Workers]*windings
	covers       covers
	coverOf      []int32
	faceOf       []FaceID
	areas        [parallel.Workers][]int64 // of faces, but for the first worker
	found        [parallel.Workers + 1][]Point
	place        []int32
	spans, wide  []span
	points       []Point
	ids          []VertexID
}

// apart keeps what one worker writes again and again off the cache line of what
// another does.
type apart [64]byte

// sort sorts keyed items, in the room that it keeps for them: see sortShared.
func (sc *scratch) sort(p *pace, items []keyed, width int) error {
	sc.spare = room(sc.spare, cap(items))[:len(items)]
	sc.items = items
	return sortShared(p, items, sc.spare, width)
}

// mostKept is how many chords and crossings leave their room, some 100 bytes each, to the next
// map. That of more is given up piece by piece as soon as it is of no more use: a
// million would hold a hundred megabytes.
const mostKept = 1 << 18

// collect has the room that was given up taken by what comes next. By itself the collector waits until there is twice what
// lived when it came last, the map before among it: a million chords built again and again took 390 MiB, and take under 300. Hardly any
// of it are pointers, so it takes a twentieth of what the map does.
func collect() { runtime.GC() }

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// room returns a slice of length 0 and room for n, the given one if it will do.
func room[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, 0, n)
	}
	return s[:0]
}
