package planar

import (
	"cmp"
	"context"
	"math"
	"math/bits"
	"slices"

	"abut/geometry/parallel"
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
	deltas      *deltaTable
}

// fragment is a straight way between two vertices, from the one that sorts first,
// and all that runs along it.
type fragment struct {
	from, to VertexID
	segment  int32 // of the topmost figure that runs here, its first
	delta    int32 // the change of winding from its left to its right, or noDelta
}

// worthSplitting is how many chords, or as much other work, make it pay that a second worker
// starts. A pass takes some 8 ns for each; until another core wakes, 80 µs went by, idle for
// 20 µs before (BenchmarkWorkers compares the two at sizes around it). Tests have the least
// shared.
var worthSplitting = 1 << 14

// snap returns the arrangement of the input. Its fragments live in the scratch.
func snap(ctx context.Context, in *input, deltas *deltaTable, budget int, sc *scratch) (*arrangement, error) {
	segs := in.segments
	arr := &arrangement{segs: segs, deltas: deltas}
	if len(segs) == 0 {
		return arr, ctx.Err()
	}
	lo, hi := segs[0].a, segs[0].a
	for i := range segs {
		p := segs[i].a // every end is some segment's start
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	pace := unhurried(ctx)
	whole, err := arr.number(pace, in, lo, hi, sc)
	if err != nil {
		return nil, err
	}
	if len(segs) > mostKept {
		sc.items, sc.spare, sc.stretches, sc.leaving = nil, nil, nil, [len(sc.leaving)][]fragment{whole}
	}
	lines, ids, err := arr.lines(ctx, whole, sc)
	if err != nil {
		return nil, err
	}
	near, err := newIndex(ctx, lines, ids, lo, hi, budget, sc)
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
		sc.lines, sc.lineIDs, sc.runs, sc.leaves, sc.cells, sc.found = nil, nil, runs{}, nil, [len(sc.cells)]cellScratch{}, [len(sc.found)][]Point{}
	}
	arr.vertices = slices.Clone(arr.vertices) // they stay with the map, the rest is scratch
	err = arr.settle(ctx, whole, near.near, lo, hi, budget, sc)
	if large {
		*sc = scratch{windings: sc.windings, deltas: sc.deltas}
	}
	return arr, err
}

// number makes the distinct starts of segments into vertices, sorted, and the
// segments into fragments. Both lie in the scratch.
func (arr *arrangement) number(p *pace, in *input, lo, hi Point, sc *scratch) ([]fragment, error) {
	segs := in.segments
	n, yBits := len(segs), bits.Len32(uint32(hi.Y-lo.Y))
	items := room(sc.items, n)[:n]
	err := parallel.Ranges(p.ctx, n, worthSplitting, func(_, from, to int) error {
		for i := from; i < to; i++ {
			items[i] = keyed{segs[i].a.key(lo, yBits), int32(i)}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, first := range in.rings {
		// Its sign tells the first of a ring: what comes before it is the last.
		items[first].id = ^first
	}
	if err := sc.sort(p, items, yBits+bits.Len32(uint32(hi.X-lo.X))); err != nil {
		return nil, err
	}
	if err := arr.starts(p, items, lo, yBits, sc); err != nil {
		return nil, err
	}
	if err := arr.stretches(p.ctx, in, sc); err != nil {
		return nil, err
	}
	if err := p.spend(2 * n); err != nil {
		return nil, err
	}
	return arr.leaving(p, in, items, sc)
}

// stretch is a segment between its neighbours in a ring. What is asked of it at the vertex where it
// starts lies side by side: vertices are gone through from left to right, and rings lie anyhow among them.
type stretch struct {
	before, end VertexID // where the segment before it starts, and where it ends itself
	term        int32
}

// stretches tells those of all segments, once their starts are vertices.
func (arr *arrangement) stretches(ctx context.Context, in *input, sc *scratch) error {
	n, startOf := len(arr.segs), sc.startOf
	out := room(sc.stretches, n)[:n]
	sc.stretches = out
	return parallel.Ranges(ctx, n, worthSplitting, func(_, lo, hi int) error {
		for i, r := int32(lo), in.ringOf(int32(lo)); i < int32(hi); r++ {
			first, last := in.ring(r)
			term := arr.segs[first].term // as that of all of a ring
			for ; i < min(last, int32(hi)); i++ {
				before, after := i-1, i+1
				if i == first {
					before = last - 1
				}
				if after == last {
					after = first
				}
				out[i] = stretch{startOf[before], startOf[after], term}
			}
		}
		return nil
	})
}

// starts makes the distinct keys of sorted items into vertices, and notes which is whose.
func (arr *arrangement) starts(p *pace, items []keyed, lo Point, yBits int, sc *scratch) error {
	n := len(items)
	var distinct [parallel.Workers]VertexID
	err := parallel.Ranges(p.ctx, n, worthSplitting, func(part, from, to int) error {
		last, n := uint64(math.MaxUint64), VertexID(0) // no key
		for _, it := range wholeKeys(items, from, to) {
			if it.key != last {
				last = it.key
				n++
			}
		}
		distinct[part] = n // once: what lies side by side goes to and fro between cores
		return nil
	})
	if err != nil {
		return err
	}
	all := VertexID(0)
	for _, d := range distinct {
		all += d
	}
	vertices, startOf := room(sc.vertices[0], n)[:all], room(sc.startOf, n)[:n]
	arr.vertices, sc.vertices[0], sc.startOf = vertices, vertices, startOf
	return parallel.Ranges(p.ctx, n, worthSplitting, func(part, from, to int) error {
		v := VertexID(-1)
		for _, d := range distinct[:part] {
			v += d
		}
		last := uint64(math.MaxUint64)
		for _, it := range wholeKeys(items, from, to) {
			if it.key != last {
				v++
				vertices[v], last = pointOf(it.key, lo, yBits), it.key
			}
			startOf[max(it.id, ^it.id)] = v
		}
		return nil
	})
}

// wholeKeys returns the items of a range of sorted ones, but for those at either end that
// share the key of what lies before: each key falls into one range.
func wholeKeys(items []keyed, lo, hi int) []keyed {
	begins := func(i int) int {
		for i > 0 && i < len(items) && items[i].key == items[i-1].key {
			i++
		}
		return i
	}
	return items[begins(lo):begins(hi)]
}

// leaving makes fragments of the segments, whose starts are sorted: at each vertex those
// that leave it to the right or arrive there from the right.
func (arr *arrangement) leaving(p *pace, in *input, items []keyed, sc *scratch) ([]fragment, error) {
	var parts [parallel.Workers]leaver
	err := parallel.Ranges(p.ctx, len(items), worthSplitting, func(part, from, to int) error {
		l := &parts[part]
		*l = leaver{arr.beside(part, len(items), sc), unhurried(p.ctx), in, sc, room(sc.leaving[part], to-from)}
		err := l.leave(wholeKeys(items, from, to))
		sc.leaving[part] = l.out
		return err
	})
	if err != nil {
		return nil, err
	}
	frags := parts[0].out
	for part, l := range parts {
		if l.in == nil {
			break
		}
		arr.adopt(l.out, l.deltas)
		if part > 0 {
			frags = append(frags, l.out...)
		}
	}
	sc.leaving[0] = frags
	return frags, p.spend(2 * len(items))
}

// leaver makes fragments of some of the segments.
type leaver struct {
	*arrangement
	pace *pace
	in   *input
	sc   *scratch
	out  []fragment
}

// leave makes fragments at the vertices whose segments the items are.
func (l *leaver) leave(items []keyed) error {
	frags, v := l.out, VertexID(0)
	if len(items) > 0 {
		v = l.sc.startOf[max(items[0].id, ^items[0].id)]
	}
	for i := 0; i < len(items); v++ {
		group := len(frags)
		for key := items[i].key; i < len(items) && items[i].key == key; i++ {
			id := items[i].id
			before := id - 1
			if id < 0 {
				id = ^id
				_, last := l.in.ring(l.in.ringOf(id))
				before = last - 1
			}
			s := &l.sc.stretches[id]
			if s.end > v {
				frags = append(frags, fragment{v, s.end, id, 2 * s.term})
			}
			if s.before > v {
				frags = append(frags, fragment{v, s.before, before, l.deltas.negative(2 * s.term)})
			}
		}
		if n := len(frags) - group; n > 1 {
			sortByEnd(frags[group:])
			frags = frags[:group+len(l.bundle(frags[group:]))]
			if err := l.pace.spend(bundleEffort * n); err != nil {
				return err
			}
		}
	}
	l.out = frags
	return nil
}

// beside returns the arrangement for a worker: where it shares so many items with others, it
// names changes in a table of its own.
func (arr *arrangement) beside(part, items int, sc *scratch) *arrangement {
	if items < worthSplitting {
		return arr
	}
	own := *arr
	own.deltas = &sc.besides[part]
	own.deltas.begin(arr.deltas)
	return &own
}

// adopt gives changes that were named beside the names that they have here.
func (arr *arrangement) adopt(frags []fragment, named *deltaTable) {
	if named == arr.deltas || named.lists.count() == 0 {
		return
	}
	for i := range frags {
		frags[i].delta = arr.deltas.adopted(frags[i].delta, named)
	}
}

// lines are the ways of fragments, as their segments follow each other in rings, and which
// fragment each is. They lie in the scratch.
func (arr *arrangement) lines(ctx context.Context, frags []fragment, sc *scratch) ([]line, []int32, error) {
	n := len(arr.segs)
	named := room(sc.order, n)[:n] // per segment, the number of its fragment and one, or 0
	clear(named)
	lines, ids := room(sc.lines, len(frags))[:len(frags)], room(sc.lineIDs, len(frags))[:len(frags)]
	sc.order, sc.lines, sc.lineIDs = named, lines, ids
	err := parallel.Ranges(ctx, len(frags), worthSplitting, func(_, lo, hi int) error {
		for i := lo; i < hi; i++ {
			named[frags[i].segment] = int32(i) + 1
		}
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	var own [parallel.Workers]int // how many lines each worker makes
	err = parallel.Ranges(ctx, n, worthSplitting, func(part, lo, hi int) error {
		n := 0
		for _, k := range named[lo:hi] {
			if k > 0 {
				n++
			}
		}
		own[part] = n
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	return lines, ids, parallel.Ranges(ctx, n, worthSplitting, func(part, lo, hi int) error {
		at := 0
		for _, before := range own[:part] {
			at += before
		}
		for i, k := range named[lo:hi] {
			if k > 0 {
				s := &arr.segs[lo+i]
				lines[at], ids[at] = line{s.a, s.b}.ordered(), k-1
				at++
			}
		}
		return nil
	})
}

// key orders points by x and then by y, relative to the least ones.
func (p Point) key(lo Point, yBits int) uint64 {
	return uint64(p.X-lo.X)<<yBits | uint64(p.Y-lo.Y)
}

func pointOf(key uint64, lo Point, yBits int) Point {
	return Point{lo.X + int32(key>>yBits), lo.Y + int32(key&(1<<yBits-1))}
}

// add makes crossings into vertices too, and renames the ends of fragments.
func (arr *arrangement) add(p *pace, crossings []Point, frags []fragment, lo, hi Point, sc *scratch) error {
	if len(crossings) == 0 {
		return nil
	}
	yBits := bits.Len32(uint32(hi.Y - lo.Y))
	items := room(sc.items, len(crossings))
	for _, c := range crossings {
		items = append(items, keyed{c.key(lo, yBits), 0})
	}
	if err := sc.sort(p, items, yBits+bits.Len32(uint32(hi.X-lo.X))); err != nil {
		return err
	}
	all := room(sc.vertices[1], len(arr.vertices)+len(items))
	name := sc.startOf[:len(arr.vertices)] // no longer asked for starts
	last := uint64(math.MaxUint64)         // no key
	for v, i := 0, 0; v < len(arr.vertices) || i < len(items); {
		if v == len(arr.vertices) || i < len(items) && items[i].key < arr.vertices[v].key(lo, yBits) {
			if k := items[i].key; k != last {
				all, last = append(all, pointOf(k, lo, yBits)), k
			}
			i++
			continue
		}
		name[v] = VertexID(len(all))
		q := arr.vertices[v]
		all, last = append(all, q), q.key(lo, yBits)
		v++
	}
	arr.vertices, sc.vertices[1] = all, all
	for i := range frags {
		frags[i].from, frags[i].to = name[frags[i].from], name[frags[i].to]
	}
	return p.spend(2 * (len(all) + len(frags)))
}

// ordered returns the fragment from the vertex that sorts first. It may name a
// change, which workers must not do side by side.
func (arr *arrangement) ordered(f fragment) fragment {
	if f.from > f.to {
		f.from, f.to, f.delta = f.to, f.from, arr.deltas.negative(f.delta)
	}
	return f
}

// settle leads fragments through the vertices whose hot squares they pass, again
// and again for parts of what was bent that may pass another, until none does. Those that are
// there when it begins are sorted; only those that are near something may pass any.
func (arr *arrangement) settle(ctx context.Context, whole []fragment, near []bool, lo, hi Point, budget int, sc *scratch) error {
	p := unhurried(ctx)
	r := &router{arrangement: arr, columns: columns{vertices: arr.vertices, top: lo.Y}, bottom: hi.Y, budget: budget, sc: sc}
	whole, settled, bent, err := r.route(ctx, whole, near, sc.fragments[1][:0])
	if err != nil {
		return err
	}
	for len(bent) > 0 {
		if bent, err = arr.sorted(p, bent, sc); err != nil {
			return err
		}
		var done []fragment
		if done, settled, bent, err = r.route(ctx, bent, nil, settled); err != nil {
			return err
		}
		settled = append(settled, done...)
		if err := p.spend(len(done)); err != nil {
			return err
		}
	}
	sc.fragments[1] = settled
	arr.whole = whole
	arr.bent, err = arr.sorted(p, settled, sc)
	return err
}

// hitsPerCrossing is how many hits the budget allows for each crossing. A
// crossing hits both its segments; edges that nearly coincide add to that, since
// each passes through the pixels of all the others' vertices.
const hitsPerCrossing = 4

// router leads fragments through vertices.
type router struct {
	*arrangement
	columns columns
	bottom  int32 // no vertex lies below
	budget  int   // of crossings
	sc      *scratch
}

// route cuts fragments at the vertices whose hot squares they pass, those that are
// near something or, without a list, all. What passes none is done; it comes first
// in the list, in its order. The parts of the others may be bent: those that may pass another
// vertex for that are returned, and the rest is appended to what is settled.
func (r *router) route(ctx context.Context, frags []fragment, near []bool, settled []fragment) (done, after, bent []fragment, err error) {
	look := r.columns.scanned
	if r.columns.spans != nil || r.worthColumns(frags, near) {
		if r.columns.spans == nil {
			if err := r.columns.fill(unhurried(ctx), r.bottom, r.sc); err != nil {
				return nil, nil, nil, err
			}
		}
		look = r.columns.passed
	}
	var cutters [parallel.Workers]cutter
	var first, kept [parallel.Workers]int
	err = parallel.Ranges(ctx, len(frags), worthSplitting, func(part, lo, hi int) error {
		pace := unhurried(ctx)
		c := cutter{r.arrangement, settled, r.sc.bent[part][:0]}
		if part > 0 {
			c.settled = r.sc.settled[part][:0]
		}
		beside := r.sc.vicinity[part]
		hits, k := 0, lo
		for i := lo; i < hi; i++ {
			tests := 1
			f := frags[i]
			beside.hit, beside.missed = beside.hit[:0], beside.missed[:0]
			if near == nil || near[i] {
				tests = look(f, &beside)
			}
			if len(beside.hit) == 0 {
				frags[k] = f
				k++
			} else {
				c.cut(f, &beside)
			}
			if hits += len(beside.hit); hits > hitsPerCrossing*r.budget {
				return &ComplexityError{At: r.vertices[f.from].MM(), Budget: r.budget}
			}
			if err := pace.spend(tests); err != nil {
				return err
			}
		}
		first[part], kept[part], cutters[part] = lo, k-lo, c
		r.sc.bent[part], r.sc.vicinity[part] = c.bent, beside
		if part > 0 {
			r.sc.settled[part] = c.settled
		}
		return nil
	})
	if err != nil {
		return nil, nil, nil, err
	}
	done, after, bent = frags[:kept[0]], cutters[0].settled, cutters[0].bent
	for part := 1; part < parallel.Workers; part++ {
		done = append(done, frags[first[part]:first[part]+kept[part]]...)
		after = append(after, cutters[part].settled...)
		bent = append(bent, cutters[part].bent...)
	}
	r.sc.bent[0] = bent
	return done, after, bent, nil
}

// worthColumns reports whether looking at the vertices that lie between the ends
// of fragments from left to right would take longer than to make columns of them.
func (r *router) worthColumns(frags []fragment, near []bool) bool {
	const factor = 12
	sum := 0
	for i, f := range frags {
		if near == nil || near[i] {
			sum += int(f.to - f.from)
		}
	}
	return sum > factor*len(r.vertices)
}

// cutter cuts fragments into parts.
type cutter struct {
	*arrangement
	settled, bent []fragment // those that pass nothing, and those that may
}

// cut cuts a fragment at the vertices that it passes. Parts have its direction: a
// rising one may be bent into a step straight up, from a vertex to one before it.
func (c *cutter) cut(f fragment, beside *vicinity) {
	c.sortAlong(beside.hit, f)
	slices.Sort(beside.missed) // from left to right
	end, missed := f.to, beside.missed
	for i := 0; i <= len(beside.hit); i++ {
		if f.to = end; i < len(beside.hit) {
			f.to = beside.hit[i]
		}
		// What a part may pass lies between its ends, or straight above one or below.
		for len(missed) > 0 && c.vertices[missed[0]].X < c.vertices[f.from].X {
			missed = missed[1:]
		}
		if len(missed) > 0 && c.vertices[missed[0]].X <= c.vertices[f.to].X {
			c.bent = append(c.bent, f)
		} else {
			c.settled = append(c.settled, f)
		}
		f.from = f.to
	}
}

// sortAlong orders vertices as a fragment meets them from its left end: it is
// monotone, so by x and then by y in its own direction.
func (arr *arrangement) sortAlong(vs []VertexID, f fragment) {
	slices.Sort(vs) // vertices are numbered by x, then y
	if rising := arr.vertices[f.to].Y < arr.vertices[f.from].Y; !rising {
		return
	}
	for len(vs) > 1 {
		above := 1
		for above < len(vs) && arr.vertices[vs[above]].X == arr.vertices[vs[0]].X {
			above++
		}
		slices.Reverse(vs[:above])
		vs = vs[above:]
	}
}

// key orders fragments by from and then by to.
func (f fragment) key() uint64 { return uint64(f.from)<<32 | uint64(f.to) }

func (f fragment) compare(g fragment) int { return cmp.Compare(f.key(), g.key()) }

// sorted orders fragments by from, then to, and makes those that coincide one. What
// was not from the vertex that sorts first is turned around. The result lies in the
// scratch.
func (arr *arrangement) sorted(p *pace, frags []fragment, sc *scratch) ([]fragment, error) {
	n := len(arr.vertices)
	out := room(sc.fragments[0], len(frags))[:len(frags)]
	sc.fragments[0] = out
	if len(frags) < n/16 { // counting looks at all vertices
		for i, f := range frags {
			out[i] = arr.ordered(f)
		}
		slices.SortFunc(out, fragment.compare)
		return arr.bundle(out), p.spend((16 + bundleEffort) * len(frags))
	}
	if err := p.spend(3 * len(frags)); err != nil {
		return nil, err
	}
	// Each worker has the fragments that start at some of the vertices.
	share := func(work func(part, lo, hi int) error) error {
		if len(frags) < worthSplitting {
			return work(0, 0, n)
		}
		return parallel.Ranges(p.ctx, n, 0, work)
	}
	s := starting{frags: frags, out: out, next: room(sc.next, n)[:n]}
	sc.next = s.next
	var counts [parallel.Workers + 1]int
	err := share(func(part, lo, hi int) error {
		counts[part+1] = s.count(VertexID(lo), VertexID(hi))
		return nil
	})
	if err != nil {
		return nil, err
	}
	var kept [parallel.Workers][]fragment
	var named [parallel.Workers]*deltaTable
	err = share(func(part, lo, hi int) (err error) {
		first := 0
		for _, k := range counts[:part+1] {
			first += k
		}
		own := arr.beside(part, len(frags), sc)
		named[part] = own.deltas
		kept[part], err = s.sort(own, unhurried(p.ctx), VertexID(lo), VertexID(hi), int32(first))
		return err
	})
	if err != nil {
		return nil, err
	}
	all := 0
	for part, frags := range kept {
		if len(frags) > 0 {
			arr.adopt(frags, named[part])
			all += copy(out[all:], frags)
		}
	}
	return out[:all], nil
}

// starting sorts fragments by where they start.
type starting struct {
	frags, out []fragment
	next       []int32 // per vertex: how many start there, then where the next of them goes
}

// count counts those that start at vertices lo … hi−1.
func (s *starting) count(lo, hi VertexID) (sum int) {
	clear(s.next[lo:hi])
	for i := range s.frags {
		if v := min(s.frags[i].from, s.frags[i].to); lo <= v && v < hi {
			s.next[v]++
			sum++
		}
	}
	return sum
}

// sort sorts those into out, from a place on, and makes those that coincide one.
func (s *starting) sort(arr *arrangement, p *pace, lo, hi VertexID, first int32) ([]fragment, error) {
	at := first
	for v := lo; v < hi; v++ {
		s.next[v], at = at, at+s.next[v]
	}
	for _, f := range s.frags {
		if v := min(f.from, f.to); lo <= v && v < hi {
			if f.from > f.to {
				f = arr.ordered(f)
			}
			s.out[s.next[v]] = f
			s.next[v]++
		}
	}
	// Those of each vertex, side by side.
	kept, from := first, first
	for _, end := range s.next[lo:hi] {
		group := s.out[from:end]
		from = end
		if len(group) > 1 {
			sortByEnd(group)
			if err := p.spend(1 + bundleEffort*len(group)); err != nil {
				return nil, err
			}
			group = arr.bundle(group)
		}
		kept += int32(copy(s.out[kept:], group))
	}
	return s.out[first:kept], nil
}

// sortByEnd sorts fragments that start at one vertex by where they end.
func sortByEnd(group []fragment) {
	if len(group) >= 12 {
		slices.SortFunc(group, func(a, b fragment) int { return int(a.to) - int(b.to) })
		return
	}
	for i := 1; i < len(group); i++ {
		for k := i; k > 0 && group[k].to < group[k-1].to; k-- {
			group[k], group[k-1] = group[k-1], group[k]
		}
	}
}

// bundle makes those of the sorted fragments that coincide one, in place.
func (arr *arrangement) bundle(frags []fragment) []fragment {
	out := frags[:0]
	for i := 0; i < len(frags); {
		k := i + 1
		for k < len(frags) && frags[k].from == frags[i].from && frags[k].to == frags[i].to {
			k++
		}
		f := frags[i]
		if k > i+1 {
			f = arr.together(frags[i:k])
		}
		out = append(out, f)
		i = k
	}
	return out
}

// together makes one of fragments that coincide.
func (arr *arrangement) together(frags []fragment) fragment {
	f := frags[0]
	for _, g := range frags[1:] {
		if arr.precedes(g.segment, f.segment) {
			f.segment = g.segment
		}
	}
	f.delta = arr.deltas.sum(frags)
	return f
}

// bundleEffort is what a fragment takes here, in the units of pace.
const bundleEffort = 2

// precedes reports whether what runs along two segments takes its curve from the
// first: that of the topmost figure, or the first of one figure's.
func (arr *arrangement) precedes(s, t int32) bool {
	a, b := arr.segs[s].term, arr.segs[t].term
	return a > b || a == b && s < t
}
