package planar

import (
	"context"
	"math"
	"math/bits"
	"sort"

	"abut/geometry/parallel"
)

// key orders points by x and then by y, relative to the least ones.
func (p Point) key(lo Point, yBits int) uint64 {
	return uint64(p.X-lo.X)<<yBits | uint64(p.Y-lo.Y)
}

func pointOf(key uint64, lo Point, yBits int) Point {
	return Point{lo.X + int32(key>>yBits), lo.Y + int32(key&(1<<yBits-1))}
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
	rooms, err := arr.stretches(p.ctx, in, items, sc)
	if err != nil {
		return nil, err
	}
	if err := p.spend(2 * n); err != nil {
		return nil, err
	}
	return arr.leaving(p, in, items, rooms, sc)
}

// stretch is a segment between its neighbours in a ring. What is asked of it at the vertex where it
// starts lies side by side: vertices are gone through from left to right, and rings lie anyhow among them.
type stretch struct {
	before, end VertexID // where the segment before it starts, and where it ends itself
	term        int32
}

// stretches tells those of all segments, once their starts are vertices; and of the parts that items
// are shared in, where the fragments of each begin and those of the last end: a segment makes one
// where it sorts first.
func (arr *arrangement) stretches(ctx context.Context, in *input, items []keyed, sc *scratch) (rooms [parallel.Workers + 1]int, err error) {
	n, startOf := len(arr.segs), sc.startOf
	out := room(sc.stretches, n)[:n]
	sc.stretches = out
	var bounds [parallel.Workers]VertexID // the first vertex of each part
	for part := 1; part < parallel.Workers; part++ {
		bounds[part] = VertexID(len(arr.vertices))
		if some := wholeKeys(items, n*part/parallel.Workers, n); len(some) > 0 {
			bounds[part] = startOf[max(some[0].id, ^some[0].id)]
		}
	}
	// Of each share, how many sort before each part.
	before, err := parallel.Collect(ctx, n, worthSplitting, func(_, lo, hi int) (own [parallel.Workers]int, _ error) {
		for i, r := int32(lo), in.ringOf(int32(lo)); i < int32(hi); r++ {
			first, last := in.ring(r)
			term := arr.origins[arr.segs[first].origin].term // as that of all of a ring
			for ; i < min(last, int32(hi)); i++ {
				before, after := i-1, i+1
				if i == first {
					before = last - 1
				}
				if after == last {
					after = first
				}
				s := stretch{startOf[before], startOf[after], term}
				out[i] = s
				for part := 1; part < parallel.Workers; part++ {
					if min(startOf[i], s.end) < bounds[part] {
						own[part]++
					}
				}
			}
		}
		return own, nil
	})
	for _, own := range before {
		for part, k := range own {
			rooms[part] += k
		}
	}
	rooms[parallel.Workers] = n
	return rooms, err
}

// starts makes the distinct keys of sorted items into vertices, and notes which is whose.
func (arr *arrangement) starts(p *pace, items []keyed, lo Point, yBits int, sc *scratch) error {
	n := len(items)
	type tally struct {
		distinct VertexID
		crowd    int
	}
	parts, err := parallel.Collect(p.ctx, n, worthSplitting, func(_, from, to int) (own tally, _ error) {
		last, begun := uint64(math.MaxUint64), 0 // no key
		for i, it := range wholeKeys(items, from, to) {
			if it.key != last {
				last, begun = it.key, i
				own.distinct++
			}
			own.crowd = max(own.crowd, 1+i-begun)
		}
		return own, nil
	})
	if err != nil {
		return err
	}
	all := VertexID(0)
	for _, own := range parts {
		all += own.distinct
		arr.crowd = max(arr.crowd, own.crowd)
	}
	vertices, startOf := room(sc.vertices[0], n)[:all], room(sc.startOf, n)[:n]
	arr.vertices, sc.vertices[0], sc.startOf = vertices, vertices, startOf
	return parallel.Ranges(p.ctx, n, worthSplitting, func(part, from, to int) error {
		v := VertexID(-1)
		for before := range part {
			v += parts[before].distinct
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
func (arr *arrangement) leaving(p *pace, in *input, items []keyed, rooms [parallel.Workers + 1]int, sc *scratch) ([]fragment, error) {
	if len(items) < worthSplitting {
		rooms[1] = len(items) // one part has all
	}
	frags := room(sc.leaving, len(items))[:len(items)]
	sc.leaving = frags
	parts, err := parallel.Collect(p.ctx, len(items), worthSplitting, func(part, from, to int) (leaver, error) {
		l := leaver{arr.beside(part, len(items), sc), unhurried(p.ctx), in, sc, frags[rooms[part]:rooms[part]:rooms[part+1]]}
		err := l.leave(wholeKeys(items, from, to))
		return l, err
	})
	if err != nil {
		return nil, err
	}
	all := 0
	for _, l := range parts {
		if l.in == nil {
			break
		}
		arr.adopt(l.out, l.deltas)
		if len(l.out) > 0 && &frags[all] != &l.out[0] { // some before coincide
			copy(frags[all:], l.out)
		}
		all += len(l.out)
	}
	return frags[:all], p.spend(2 * len(items))
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
	// Half of all sort before their other end, in no order: so each is written where the next goes, and
	// stays there if it does.
	n, all := len(frags), frags[:cap(frags)]
	if len(items) > 0 {
		v = l.sc.startOf[max(items[0].id, ^items[0].id)]
	}
	for i := 0; i < len(items); v++ {
		group := n
		for key := items[i].key; i < len(items) && items[i].key == key; i++ {
			id := items[i].id
			before := id - 1
			if id < 0 {
				id = ^id
				_, last := l.in.ring(l.in.ringOf(id))
				before = last - 1
			}
			s := &l.sc.stretches[id]
			if n < len(all) { // none of all is left where the last ones have been written
				all[n] = fragment{v, s.end, id, 2 * s.term}
			}
			if s.end > v {
				n++
			}
			if n < len(all) {
				all[n] = fragment{v, s.before, before, 2*s.term ^ 1}
			}
			if s.before > v {
				n++
			}
		}
		if k := n - group; k > 1 {
			sortByEnd(all[group:n])
			n = group + len(l.bundle(all[group:n]))
			if err := l.pace.spend(bundleEffort * k); err != nil {
				return err
			}
		}
	}
	l.out = all[:n]
	return nil
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
	// How many lines each worker makes.
	own, err := parallel.Collect(ctx, n, worthSplitting, func(_, lo, hi int) (n int, _ error) {
		for _, k := range named[lo:hi] {
			if k > 0 {
				n++
			}
		}
		return n, nil
	})
	if err != nil {
		return nil, nil, err
	}
	return lines, ids, parallel.Ranges(ctx, n, worthSplitting, func(part, lo, hi int) error {
		at := 0
		for before := range part {
			at += own[before]
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
	old := arr.vertices
	added := newKeys(items, old, lo, yBits)
	all := room(sc.vertices[1], len(old)+len(added))[:len(old)+len(added)]
	name := sc.startOf[:len(old)] // no longer asked for starts
	err := parallel.Ranges(p.ctx, len(old), worthSplitting, func(_, from, to int) error {
		k := sort.Search(len(added), func(k int) bool { return int(added[k].id) >= from })
		for v := from; v < to || to == len(old) && k < len(added); {
			for ; k < len(added) && int(added[k].id) == v; k++ {
				all[v+k] = pointOf(added[k].key, lo, yBits)
			}
			next := to // up to where the next is added
			if k < len(added) {
				next = min(to, int(added[k].id))
			}
			copy(all[v+k:], old[v:next])
			for ; v < next; v++ {
				name[v] = VertexID(v + k)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	arr.vertices, sc.vertices[1] = all, all
	err = parallel.Ranges(p.ctx, len(frags), worthSplitting, func(_, from, to int) error {
		for i := from; i < to; i++ {
			frags[i].from, frags[i].to = name[frags[i].from], name[frags[i].to]
		}
		return nil
	})
	if err != nil {
		return err
	}
	return p.spend(2 * (len(all) + len(frags)))
}

// newKeys returns, in the room of sorted items, each key that is no vertex's once, with how many
// vertices come before it.
func newKeys(items []keyed, vertices []Point, lo Point, yBits int) []keyed {
	out, last := items[:0], uint64(math.MaxUint64) // no key
	v := 0
	for _, it := range items {
		if it.key == last {
			continue
		}
		last = it.key
		// Most lie near the one before or, where there are few, far from it.
		step := 1
		for v+step < len(vertices) && vertices[v+step].key(lo, yBits) < it.key {
			v += step
			step *= 2
		}
		v += sort.Search(min(step, len(vertices)-v), func(k int) bool { return vertices[v+k].key(lo, yBits) >= it.key })
		if v == len(vertices) || vertices[v].key(lo, yBits) != it.key {
			out = append(out, keyed{it.key, int32(v)})
		}
	}
	return out
}
