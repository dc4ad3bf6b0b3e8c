package planar

import (
	"sync"

	"abut/geometry/parallel"
)

// scratch is room that one Build leaves to the next: a drag builds maps of much
// the same size many times a second.
type scratch struct {
	input        input
	cells        cellScratch
	all          []int32
	order        []int32
	runs         runs
	items, spare []keyed
	startOf      []VertexID
	ends         []VertexID // of segments, as startOf
	vertices     [2][]Point
	fragments    [3][]fragment // as they come, sorted, settled
	bent         [parallel.Workers][]fragment
	between      [parallel.Workers][]VertexID
	lines        []line
	leaves       []leafCell
	near         [parallel.Workers][]bool
	isNear       []bool
	next         []int32
	nodes        []statusNode
	free         []int32
	arriving     []int32
	gaps         gaps
	windings     *windings
	covers       covers
	coverOf      []int32
	faceOf       []FaceID
	found        [parallel.Workers + 1][]Point
	place        []int32
	spans, wide  []span
	points       []Point
	ids          []VertexID
}

// sort sorts keyed items, in the room that it keeps for them: see sortKeyed.
func (sc *scratch) sort(p *pace, items []keyed, width int) error {
	sc.spare = room(sc.spare, cap(items))[:len(items)]
	sc.items = items
	return sortKeyed(p, items, sc.spare, width)
}

// mostKept is how many chords and crossings leave their room, some 100 bytes each, to the next
// map. That of more is given up piece by piece as soon as it is of no more use: a
// million would hold a hundred megabytes.
const mostKept = 1 << 18

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// room returns a slice of length 0 and room for n, the given one if it will do.
func room[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, 0, n)
	}
	return s[:0]
}
