package planar

import (
	"context"
	"math/bits"
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
type arrangement struct {
	vertices  []Point
	fragments []fragment // sorted by from, then to; those that coincide in any order
}

// fragment is a part of a segment between neighbouring hot pixels, from the
// vertex that sorts first.
type fragment struct {
	from, to VertexID
	segment  int32
	sign     int32 // +1 when the segment runs the same way, else −1
}

// worthSplitting is how many items make starting a second worker pay.
const worthSplitting = 4096

// snap returns the arrangement of the input. Its fragments live in the scratch.
func snap(ctx context.Context, in *input, budget int, sc *scratch) (*arrangement, error) {
	segs := in.segments
	if len(segs) == 0 {
		return &arrangement{}, ctx.Err()
	}
	lo, hi := segs[0].a, segs[0].a
	for i := range segs {
		p := segs[i].a // every end is some segment's start
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	near, err := newIndex(ctx, segs, lo, hi, budget, sc)
	if err != nil {
		return nil, err
	}
	crossings, err := near.findCrossings(ctx, budget, sc)
	if err != nil {
		return nil, err
	}
	arr := &arrangement{}
	// Contours are closed, so every end is also some segment's start.
	pace := unhurried(ctx)
	startOf, err := arr.number(pace, segs, crossings, lo, hi, sc)
	if err != nil {
		return nil, err
	}
	if len(crossings) > len(segs) {
		if err := near.refine(ctx, arr.vertices, budget, sc); err != nil {
			return nil, err
		}
	}
	hits, err := near.findHits(ctx, arr.vertices, budget)
	if err != nil {
		return nil, err
	}
	frags, bent, err := arr.split(pace, segs, startOf, in.endsOf(startOf), hits, sc)
	if err != nil {
		return nil, err
	}
	if frags, err = arr.settle(ctx, frags, bent, budget, sc); err != nil {
		return nil, err
	}
	arr.fragments, err = arr.sorted(pace, frags, sc)
	return arr, err
}

// number makes the distinct starts and crossings into vertices, sorted, and
// returns the vertex that each segment starts at.
func (arr *arrangement) number(p *pace, segs []segment, crossings []Point, lo, hi Point, sc *scratch) ([]VertexID, error) {
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
	items, err := radixSort(p, items, sc.spare, width)
	if err != nil {
		return nil, err
	}
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
	return startOf, p.spend(len(items))
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

// split cuts every segment at its hits. What was cut may be bent; the rest is done.
// Both lie in the scratch.
func (arr *arrangement) split(p *pace, segs []segment, startOf, endOf []VertexID, hits []hit, sc *scratch) (done, bent []fragment, err error) {
	at := bySegment(hits, len(segs))
	if err := p.spend(3 * len(hits)); err != nil {
		return nil, nil, err
	}
	done, bent = room(sc.fragments[0], len(segs)), room(sc.fragments[1], 2*len(hits))
	for i := range segs {
		f := fragment{startOf[i], endOf[i], int32(i), 1}.ordered()
		if between := at.of(i); len(between) == 0 {
			done = append(done, f)
		} else {
			arr.sortAlong(between, f)
			bent = arr.cut(bent, f, between)
		}
		if err := p.spend(1 + len(at.of(i))); err != nil {
			return nil, nil, err
		}
	}
	sc.fragments[0], sc.fragments[1] = done, bent
	return done, bent, nil
}

// hitVertices are the vertices that each segment hits.
type hitVertices struct {
	first []int32
	list  []VertexID
}

func bySegment(hits []hit, segments int) hitVertices {
	first := make([]int32, segments+1)
	for _, h := range hits {
		first[h.segment+1]++
	}
	for i := range segments {
		first[i+1] += first[i]
	}
	list := make([]VertexID, len(hits))
	next := slices.Clone(first[:segments])
	for _, h := range hits {
		list[next[h.segment]] = h.vertex
		next[h.segment]++
	}
	return hitVertices{first, list}
}

func (h hitVertices) of(segment int) []VertexID { return h.list[h.first[segment]:h.first[segment+1]] }

// ordered returns the fragment from the vertex that sorts first.
func (f fragment) ordered() fragment {
	if f.from > f.to {
		f.from, f.to, f.sign = f.to, f.from, -f.sign
	}
	return f
}

// cut appends what vertices along a fragment part it into.
func (arr *arrangement) cut(parts []fragment, f fragment, between []VertexID) []fragment {
	at := f.from
	for _, v := range between {
		// A rising segment may be bent into a step straight up.
		parts = append(parts, fragment{at, v, f.segment, f.sign}.ordered())
		at = v
	}
	return append(parts, fragment{at, f.to, f.segment, f.sign}.ordered())
}

// settle repeats the rounding for fragments that were bent, until none passes
// through another vertex's pixel, and returns them after those that are done.
func (arr *arrangement) settle(ctx context.Context, done, bent []fragment, budget int, sc *scratch) (_ []fragment, err error) {
	pace := unhurried(ctx)
	for len(bent) > 0 {
		// Where edges nearly coincide many fragments are the same: one stands for all.
		if bent, err = arr.sortByEnds(pace, bent, sc); err != nil {
			return nil, err
		}
		segs := make([]segment, 0, len(bent))
		first := make([]int32, 0, len(bent)+1)
		lo, hi := arr.vertices[bent[0].from], arr.vertices[bent[0].from]
		for i, f := range bent {
			if err := pace.spend(1); err != nil {
				return nil, err
			}
			if i > 0 && f.from == bent[i-1].from && f.to == bent[i-1].to {
				continue
			}
			a, b := arr.vertices[f.from], arr.vertices[f.to]
			first = append(first, int32(i))
			segs = append(segs, segment{a: a, b: b})
			lo = Point{min(lo.X, a.X, b.X), min(lo.Y, a.Y, b.Y)}
			hi = Point{max(hi.X, a.X, b.X), max(hi.Y, a.Y, b.Y)}
		}
		first = append(first, int32(len(bent)))
		near, err := newIndex(ctx, segs, lo, hi, budget, sc)
		if err != nil {
			return nil, err
		}
		hits, err := near.findHits(ctx, arr.vertices, budget)
		if err != nil {
			return nil, err
		}
		at := bySegment(hits, len(segs))
		if err := pace.spend(3 * len(hits)); err != nil {
			return nil, err
		}
		again := sc.fragments[1][:0]
		for i := range segs {
			same, between := bent[first[i]:first[i+1]], at.of(i)
			if len(between) == 0 {
				done = append(done, same...)
			} else {
				arr.sortAlong(between, same[0])
				for _, f := range same {
					again = arr.cut(again, f, between)
				}
			}
			if err := pace.spend(len(same) * (1 + len(between))); err != nil {
				return nil, err
			}
		}
		bent, sc.fragments[1] = again, again
	}
	sc.fragments[0] = done
	return done, nil
}

// sortByEnds returns fragments by the vertices that they run between.
func (arr *arrangement) sortByEnds(p *pace, frags []fragment, sc *scratch) ([]fragment, error) {
	width := bits.Len(uint(len(arr.vertices)))
	items := room(sc.items, len(frags))
	for i, f := range frags {
		items = append(items, keyed{uint64(f.from)<<width | uint64(f.to), int32(i)})
	}
	sc.items, sc.spare = items, room(sc.spare, len(items))[:len(items)]
	items, err := radixSort(p, items, sc.spare, 2*width)
	if err != nil {
		return nil, err
	}
	out := room(sc.fragments[2], len(frags))
	for _, it := range items {
		if err := p.spend(1); err != nil {
			return nil, err
		}
		out = append(out, frags[it.id])
	}
	sc.fragments[2] = out
	return out, nil
}

// sortAlong orders vertices as a fragment meets them from its left end: it is
// monotone, so by x and then by y in its own direction.
func (arr *arrangement) sortAlong(vs []VertexID, f fragment) {
	if rising := arr.vertices[f.to].Y < arr.vertices[f.from].Y; !rising {
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

// sorted orders fragments by from, then to; those that coincide in any order.
func (arr *arrangement) sorted(p *pace, frags []fragment, sc *scratch) ([]fragment, error) {
	start := make([]int32, len(arr.vertices)+1)
	for i := range frags {
		start[frags[i].from+1]++
	}
	for i := range arr.vertices {
		start[i+1] += start[i]
	}
	out := room(sc.fragments[1], len(frags))[:len(frags)]
	sc.fragments[1] = out
	next := slices.Clone(start[:len(arr.vertices)])
	for i := range frags {
		out[next[frags[i].from]] = frags[i]
		next[frags[i].from]++
	}
	if err := p.spend(3 * len(frags)); err != nil {
		return nil, err
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
			slices.SortFunc(group, func(a, b fragment) int { return int(a.to) - int(b.to) })
		}
		if err := p.spend(1 + len(group)); err != nil {
			return nil, err
		}
	}
	return out, nil
}
