package planar

import (
	"context"
	"math/bits"
	"slices"
	"sync"
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
type arrangement struct {
	vertices  []Point
	fragments []fragment // sorted by from, then to
}

// fragment is a part of a segment between neighbouring hot pixels, from the
// vertex that sorts first.
type fragment struct {
	from, to VertexID
	segment  int32
	sign     int32 // +1 when the segment runs the same way, else −1
}

// poll is how many leaf cells or vertices go by between looks at the context:
// some 10 µs of work, so that cancelling is prompt and costs nothing.
const poll = 256

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

// snap returns the arrangement of the input. Its fragments live in the scratch.
func snap(ctx context.Context, in *input, budget int, sc *scratch) (*arrangement, error) {
	segs := in.segments
	if len(segs) == 0 {
		return &arrangement{}, ctx.Err()
	}
	lo, hi := segs[0].a, segs[0].a
	ids := room(sc.ids, len(segs))
	for i := range segs {
		ids = append(ids, int32(i))
		p := segs[i].a // every end is some segment's start
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	sc.ids = ids
	grid := newCells(segs, ids, lo.X, lo.Y, hi.X, hi.Y, snapMargin, &sc.cells)
	sc.leaves = grid.leaves(sc.leaves[:0])
	crossings, err := findCrossings(ctx, segs, sc.leaves, budget)
	clear(sc.leaves) // they hold on to the grid
	if err != nil {
		return nil, err
	}
	arr := &arrangement{}
	// Contours are closed, so every end is also some segment's start.
	startOf := arr.number(segs, crossings, lo, hi, sc)
	if len(crossings) > len(segs) {
		grid.refine(segs, arr.vertices, &sc.cells)
	}
	hits, err := findHits(ctx, segs, grid, arr.vertices, budget)
	if err != nil {
		return nil, err
	}
	frags, bent := arr.split(segs, startOf, in.endsOf(startOf), hits, sc)
	if frags, err = arr.settle(ctx, frags, bent, budget, sc); err != nil {
		return nil, err
	}
	arr.fragments = arr.sorted(frags, sc)
	return arr, nil
}

// number makes the distinct starts and crossings into vertices, sorted, and
// returns the vertex that each segment starts at.
func (arr *arrangement) number(segs []segment, crossings []Point, lo, hi Point, sc *scratch) []VertexID {
	yBits := bits.Len32(uint32(hi.Y - lo.Y))
	width := yBits + bits.Len32(uint32(hi.X-lo.X))
	key := func(p Point) uint64 { return uint64(p.X-lo.X)<<yBits | uint64(p.Y-lo.Y) }
	items := room(sc.items, len(segs)+len(crossings))
	for i := range segs {
		items = append(items, keyed{key(segs[i].a), int32(i)})
	}
	for _, p := range crossings {
		items = append(items, keyed{key(p), -1})
	}
	sc.items, sc.spare = items, room(sc.spare, len(items))[:len(items)]
	items = radixSort(items, sc.spare, width)
	startOf := make([]VertexID, len(segs))
	arr.vertices = make([]Point, 0, len(items))
	for i, it := range items {
		if i == 0 || it.key != items[i-1].key {
			arr.vertices = append(arr.vertices, Point{
				lo.X + int32(it.key>>yBits),
				lo.Y + int32(it.key&(1<<yBits-1)),
			})
		}
		if it.id >= 0 {
			startOf[it.id] = VertexID(len(arr.vertices) - 1)
		}
	}
	return startOf
}

// endsOf returns the vertex that each segment ends at: the start of the next in
// its ring.
func (in *input) endsOf(startOf []VertexID) []VertexID {
	ends := make([]VertexID, len(startOf))
	copy(ends, startOf[1:])
	for r, first := range in.rings {
		last := int32(len(startOf))
		if r+1 < len(in.rings) {
			last = in.rings[r+1]
		}
		ends[last-1] = startOf[first]
	}
	return ends
}

// hit says that a segment passes through a vertex's hot pixel.
type hit struct {
	segment int32
	vertex  VertexID
}

// hitsPerCrossing is how many hits the budget allows for each crossing. A
// crossing hits both its segments; edges that nearly coincide add to that, since
// each passes through the pixels of all the others' vertices.
const hitsPerCrossing = 4

// findHits returns every vertex whose pixel a segment passes between its ends.
func findHits(ctx context.Context, segs []segment, grid *cells, vertices []Point, budget int) ([]hit, error) {
	found := make([][]hit, chunks)
	err := inChunks(len(vertices), func(chunk, lo, hi int) error {
		n := 0
		var hits []hit
		for v := lo; v < hi; v++ {
			p := vertices[v]
			members := grid.near(p)
			for _, id := range members {
				s := &segs[id]
				if p.X < min(s.a.X, s.b.X) || p.X > max(s.a.X, s.b.X) || p.Y < min(s.a.Y, s.b.Y) || p.Y > max(s.a.Y, s.b.Y) {
					continue
				}
				if p != s.a && p != s.b && inHotPixel(s.a, s.b, p) {
					hits = append(hits, hit{id, VertexID(v)})
				}
			}
			if n += len(members); n > poll*crowded {
				n = 0
				if err := ctx.Err(); err != nil {
					return err
				}
			}
			if len(hits) > hitsPerCrossing*budget {
				return &ComplexityError{At: p.MM(), Budget: budget}
			}
		}
		found[chunk] = hits
		return nil
	})
	return slices.Concat(found...), err
}

// split cuts every segment at its hits. Of those that were cut it also returns
// the fragments' indices: they may be bent.
func (arr *arrangement) split(segs []segment, startOf, endOf []VertexID, hits []hit, sc *scratch) (frags []fragment, bent []int32) {
	whole := room(sc.fragments[0], len(segs))
	for i := range segs {
		whole = append(whole, fragment{startOf[i], endOf[i], int32(i), 1}.ordered())
	}
	sc.fragments[0] = whole
	frags, bent = arr.cut(whole, hits, sc.fragments[1])
	sc.fragments[1] = frags
	return frags, bent
}

// ordered returns the fragment from the vertex that sorts first.
func (f fragment) ordered() fragment {
	if f.from > f.to {
		f.from, f.to, f.sign = f.to, f.from, -f.sign
	}
	return f
}

// cut splits fragments at vertices, in the given room; a hit's segment indexes
// frags here.
func (arr *arrangement) cut(frags []fragment, hits []hit, space []fragment) (parts []fragment, bent []int32) {
	first := make([]int32, len(frags)+1)
	for _, h := range hits {
		first[h.segment+1]++
	}
	for i := range frags {
		first[i+1] += first[i]
	}
	order := make([]VertexID, len(hits))
	next := slices.Clone(first[:len(frags)])
	for _, h := range hits {
		order[next[h.segment]] = h.vertex
		next[h.segment]++
	}
	parts = room(space, len(frags)+len(hits))
	for i, f := range frags {
		between := order[first[i]:first[i+1]]
		if len(between) == 0 {
			parts = append(parts, f)
			continue
		}
		if len(between) > 1 {
			arr.sortAlong(between, arr.vertices[f.to].Y < arr.vertices[f.from].Y)
		}
		at := f.from
		add := func(v VertexID) {
			bent = append(bent, int32(len(parts)))
			// A rising segment may be bent into a step straight up.
			parts = append(parts, fragment{at, v, f.segment, f.sign}.ordered())
			at = v
		}
		for _, v := range between {
			add(v)
		}
		add(f.to)
	}
	return parts, bent
}

// settle repeats the rounding for fragments that were bent, until none passes
// through another vertex's pixel.
func (arr *arrangement) settle(ctx context.Context, frags []fragment, bent []int32, budget int, sc *scratch) ([]fragment, error) {
	for len(bent) > 0 {
		// Where edges nearly coincide many fragments are the same: one stands for all.
		arr.sortByEnds(frags, bent, sc)
		segs := make([]segment, 0, len(bent))
		ids, first := make([]int32, 0, len(bent)), make([]int32, 0, len(bent)+1)
		lo, hi := arr.vertices[frags[bent[0]].from], arr.vertices[frags[bent[0]].from]
		for i, f := range bent {
			if i > 0 && frags[f].from == frags[bent[i-1]].from && frags[f].to == frags[bent[i-1]].to {
				continue
			}
			a, b := arr.vertices[frags[f].from], arr.vertices[frags[f].to]
			ids, first = append(ids, int32(len(segs))), append(first, int32(i))
			segs = append(segs, segment{a: a, b: b})
			lo = Point{min(lo.X, a.X, b.X), min(lo.Y, a.Y, b.Y)}
			hi = Point{max(hi.X, a.X, b.X), max(hi.Y, a.Y, b.Y)}
		}
		first = append(first, int32(len(bent)))
		grid := newCells(segs, ids, lo.X, lo.Y, hi.X, hi.Y, snapMargin, &sc.cells)
		found, err := findHits(ctx, segs, grid, arr.vertices, budget)
		if err != nil || len(found) == 0 {
			return frags, err
		}
		var hits []hit
		for _, h := range found {
			for _, f := range bent[first[h.segment]:first[h.segment+1]] {
				hits = append(hits, hit{f, h.vertex})
			}
		}
		frags, bent = arr.cut(frags, hits, nil)
	}
	return frags, nil
}

// sortByEnds orders listed fragments, given in their own order, by the vertices
// that they run between.
func (arr *arrangement) sortByEnds(frags []fragment, list []int32, sc *scratch) {
	width := bits.Len(uint(len(arr.vertices)))
	items := room(sc.items, len(list))
	for _, f := range list {
		items = append(items, keyed{uint64(frags[f].from)<<width | uint64(frags[f].to), f})
	}
	sc.items, sc.spare = items, room(sc.spare, len(items))[:len(items)]
	for i, it := range radixSort(items, sc.spare, 2*width) {
		list[i] = it.id
	}
}

// sortAlong orders vertices as a segment meets them from its left end: it is
// monotone, so by x and then by y in its own direction.
func (arr *arrangement) sortAlong(vs []VertexID, rising bool) {
	if !rising {
		slices.Sort(vs) // vertices are numbered by x, then y
		return
	}
	slices.SortFunc(vs, func(a, b VertexID) int {
		p, q := arr.vertices[a], arr.vertices[b]
		if p.X != q.X {
			return int(p.X) - int(q.X)
		}
		return int(q.Y) - int(p.Y)
	})
}

// sorted orders fragments by from, then to, then segment.
func (arr *arrangement) sorted(frags []fragment, sc *scratch) []fragment {
	start := make([]int32, len(arr.vertices)+1)
	for i := range frags {
		start[frags[i].from+1]++
	}
	for i := range arr.vertices {
		start[i+1] += start[i]
	}
	out := room(sc.fragments[2], len(frags))[:len(frags)]
	sc.fragments[2] = out
	next := slices.Clone(start[:len(arr.vertices)])
	for i := range frags {
		out[next[frags[i].from]] = frags[i]
		next[frags[i].from]++
	}
	for v := range arr.vertices {
		group := out[start[v]:start[v+1]]
		switch {
		case len(group) < 2:
		case len(group) < 12:
			for i := 1; i < len(group); i++ {
				for k := i; k > 0 && group[k].to < group[k-1].to; k-- {
					group[k], group[k-1] = group[k-1], group[k]
				}
			}
		default:
			slices.SortStableFunc(group, func(a, b fragment) int { return int(a.to) - int(b.to) })
		}
	}
	return out
}
