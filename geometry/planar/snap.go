package planar

import (
	"context"
	"math"
	"runtime"
	"slices"
)

// arrangement is the snap-rounded input: distinct vertices in sweep order and
// the fragments between them, which meet at vertices only.
//
// Snap rounding (Hobby, "Practical segment intersection with finite precision
// output", 1999): every end point and every crossing makes the unit square
// around its grid point hot, and each segment is led through the centres of
// the hot squares that it passes. Fragments then share end points or nothing:
// no crossing is made by the rounding itself. A segment moves by at most half a
// step in x and in y.
//
// Bending may bring a fragment into a hot square that its segment passed by.
// Those are led through its centre too, until none is left (Halperin and
// Packer, "Iterated snap rounding", 2002), so that every vertex keeps its
// distance from edges that are not its own and a second run changes nothing.
// Edges that nearly coincide take several rounds; see toGrid for what it costs.
//
// Either end of what was bent lies within half a step of its segment in x and in y, and so
// does all of it; a hot square that it passes is around a vertex within a step. Segments note
// what is so close, and only parts beside it are looked at again.
//
// What coincides goes the same way from there on, so it is one fragment whenever fragments
// are sorted: art is full of shapes that lie on each other.
type arrangement struct {
	vertices []Point
	// The fragments: those that are whole chords, and those that were led through
	// vertices. Either has one for two ends, by from and then by to; one of each may
	// coincide.
	whole, bent []fragment
	segs        []segment
	origins     []origin // that segs name
	deltas      *deltaTable
	crowd       int // how many segments start at one vertex, at most
}

// worthSplitting is how many chords, or as much other work, make it pay to share it with a second
// worker. A pass takes some 8 ns for each; sharing it takes less than a microsecond while
// the other lingers, and where a core must wake first, who asked goes on alone, once in a map (BenchmarkWorkers compares
// one and two at sizes around it). Where there is one core, nothing is shared. Tests have the least
// shared.
var worthSplitting = leastShared()

func leastShared() int {
	if runtime.GOMAXPROCS(0) == 1 {
		return math.MaxInt
	}
	return 1 << 12
}

// snap returns the arrangement of the input. Its fragments live in the scratch.
func snap(ctx context.Context, in *input, deltas *deltaTable, budget int, sc *scratch) (*arrangement, error) {
	segs := in.segments
	arr := &arrangement{segs: segs, origins: in.origins, deltas: deltas}
	if len(segs) == 0 {
		return arr, ctx.Err()
	}
	lo, hi, pace := in.lo, in.hi, unhurried(ctx)
	whole, err := arr.number(pace, in, lo, hi, sc)
	if err != nil {
		return nil, err
	}
	if len(segs) > mostKept {
		sc.items, sc.spare, sc.stretches, sc.leaving = nil, nil, nil, whole
	}
	lines, ids, err := arr.lines(ctx, whole, sc)
	if err != nil {
		return nil, err
	}
	// Where n segments start, n arrive: a vertex has no more than twice as many lines.
	near, err := newIndex(ctx, lines, ids, 2*arr.crowd, lo, hi, budget, sc)
	if err != nil {
		return nil, err
	}
	crossings, err := near.findCrossings(ctx, budget, sc)
	if err != nil {
		return nil, err
	}
	if err := arr.add(pace, crossings, whole, lo, hi, sc); err != nil {
		return nil, err
	}
	large := len(segs)+len(crossings) > mostKept
	if large {
		sc.lines, sc.lineIDs, sc.runs, sc.cells, sc.found = nil, nil, runs{}, [len(sc.cells)]cellScratch{}, [len(sc.found)][]Point{}
		collect()
	}
	if n := len(arr.vertices); !large || cap(arr.vertices) > n+n/4 {
		arr.vertices = slices.Clone(arr.vertices) // they stay with the map, the rest is scratch
	}
	err = arr.settle(ctx, whole, near.near, lo, hi, budget, sc)
	if large {
		*sc = scratch{windings: sc.windings, deltas: sc.deltas}
		collect()
	}
	return arr, err
}
