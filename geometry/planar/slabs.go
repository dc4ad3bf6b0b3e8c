package planar

import (
	"context"
	"slices"

	"abut/geometry/parallel"
)

// sweep labels the faces: a sweep over each of the slabs that workers share. It returns
// the first one's sweeper, with the gaps and the windings of all.
//
// What a line from top to bottom crosses tells the windings between, whatever lies
// left of it. So a sweep may begin anywhere, with gaps of its own, and these are joined
// to those that the sweep of the slab before ends with. It comes to the same as a single
// sweep, to the order in which gaps and states are numbered.
func (pl *plane) sweep(ctx context.Context, deltas *deltaTable, sc *scratch) (*sweeper, error) {
	n := len(pl.vertices)
	// Of each slab, the edges that lead out of it.
	reaching, err := parallel.Collect(ctx, n, worthSplitting, func(_, first, end int) (out []EdgeID, _ error) {
		for v := first; v < end; v++ {
			lo, hi := pl.outStart[v], pl.outStart[v+1]
			if hi-lo > 1 {
				pl.sortBySlope(pl.edges[lo:hi])
			}
			for e := lo; end < n && e < hi; e++ {
				if int(pl.edges[e].To) >= end {
					out = append(out, e)
				}
			}
		}
		return out, nil
	})
	if err != nil {
		return nil, err
	}
	sc.arriving = room(sc.arriving, n)[:n]
	sweepers, err := parallel.Collect(ctx, n, worthSplitting, func(part, first, end int) (*sweeper, error) {
		sw := pl.sweeper(part, slab{VertexID(first), VertexID(end)}, deltas, sc)
		defer sw.leave(part, sc)
		if !sw.begin(pl.crossed(reaching[:part], VertexID(first))) {
			return sw, errNotPlanar
		}
		return sw, sw.run(ctx)
	})
	if err != nil {
		return nil, err
	}
	pl.inStart[n] = EdgeID(len(pl.in))
	whole := sweepers[0]
	for i := 1; i < len(sweepers) && sweepers[i] != nil; i++ {
		if err := whole.take(ctx, sweepers[i]); err != nil {
			return nil, err
		}
		if !whole.joined(sweepers[i-1], sweepers[i]) {
			return nil, errNotPlanar
		}
	}
	sc.gaps[0] = whole.gaps
	if whole.windings.lists.entries > pl.limit {
		return nil, &ComplexityError{At: pl.vertices[n/2].MM(), Budget: pl.limit}
	}
	return whole, nil
}

// sweeper returns one for a slab, in the room of a part of the scratch.
func (pl *plane) sweeper(part int, s slab, deltas *deltaTable, sc *scratch) *sweeper {
	if sc.windings[part] == nil {
		sc.windings[part] = newWindings()
	}
	sc.windings[part].reset(deltas)
	clear(sc.arriving[s.first:s.end])
	return &sweeper{
		plane: pl, slab: s, arriving: sc.arriving, windings: sc.windings[part],
		status: newStatus(sc.nodes[part], sc.free[part]),
		gaps:   gaps{sc.gaps[part].state[:0], sc.gaps[part].parent[:0]},
	}
}

// leave gives back the room.
func (sw *sweeper) leave(part int, sc *scratch) {
	sc.nodes[part], sc.free[part], sc.gaps[part] = sw.status.nodes, sw.status.free, sw.gaps
}

// begin puts the edges into the status that the slab's left side crosses, from top to bottom, with a
// gap before each, the outside first, and one after them. It reports false where they are
// not in order.
func (sw *sweeper) begin(crossed []EdgeID) bool {
	gap, prev := sw.gaps.add(stateOutside), int32(0)
	sw.across = crossed
	base := sw.outStart[sw.slab.first] - EdgeID(len(crossed))
	sw.arrived = sw.in[base:base]
	sw.inStart[sw.slab.first] = base
	for _, e := range crossed {
		n := sw.status.insertAfter(prev)
		sw.hold(n, e)
		node := &sw.status.nodes[n]
		node.above = gap
		gap = sw.gaps.add(sw.windings.step(sw.gaps.state[gap], sw.edges[e].delta))
		node.below = gap
		if !sw.apart(prev, n) {
			return false
		}
		prev = n
	}
	return true
}

// crossed returns the edges that lead from slabs before a vertex, of which those are given that lead
// out of each, to it or beyond, from top to bottom.
func (pl *plane) crossed(reaching [][]EdgeID, v VertexID) (list []EdgeID) {
	for _, edges := range reaching {
		for _, e := range edges {
			if pl.edges[e].To >= v {
				list = append(list, e)
			}
		}
	}
	slices.SortFunc(list, func(e, f EdgeID) int {
		a, b := &pl.edges[e], &pl.edges[f]
		if a.From == b.From {
			return int(e - f) // in their order around the vertex
		}
		if a.From > b.From { // where it starts lies above the other, or below
			return sign(cross(pl.vertices[b.From], pl.vertices[b.To], pl.vertices[a.From]))
		}
		return -sign(cross(pl.vertices[a.From], pl.vertices[a.To], pl.vertices[b.From]))
	})
	return list
}

// take makes the gaps and states of a later slab's sweep the first one's own. They come to be
// numbered as a single sweep would have come upon them: what a slab begins with is known
// by then, all else follows in its order.
func (sw *sweeper) take(ctx context.Context, next *sweeper) error {
	lists := &next.windings.lists
	state := make([]int32, lists.count())
	for s := range state {
		state[s] = sw.windings.lists.intern(lists.get(int32(s)), lists.keys[s])
	}
	next.offset = int32(len(sw.gaps.state))
	for g, s := range next.gaps.state {
		sw.gaps.state = append(sw.gaps.state, state[s])
		sw.gaps.parent = append(sw.gaps.parent, next.gaps.parent[g]+next.offset)
	}
	edges := sw.edges[sw.outStart[next.slab.first]:sw.outStart[next.slab.end]]
	return parallel.Ranges(ctx, len(edges), worthSplitting, func(_, lo, hi int) error {
		for i := lo; i < hi; i++ {
			edges[i].Left += next.offset
			edges[i].Right += next.offset
		}
		return nil
	})
}

// joined joins the gaps between the edges that the sweep of one slab ends with to those
// that the next began with; the receiver has both. It reports false when those edges are
// not the same, or not what lies between them.
func (sw *sweeper) joined(last, next *sweeper) bool {
	begun := next.offset // its first gap is the outside
	join(sw.gaps.parent, Outside, begun)
	n := last.status.nodes[0].next
	for _, e := range next.across {
		node := &last.status.nodes[n]
		begun++
		below := node.below + last.offset
		if n == 0 || node.edge != e || sw.gaps.state[below] != sw.gaps.state[begun] {
			return false
		}
		join(sw.gaps.parent, below, begun)
		n = node.next
	}
	return n == 0
}
