package planar

import (
	"context"
	"errors"
	"slices"
)

// errNotPlanar says that edges of an arrangement cross, or that windings do not
// add up around a vertex: a broken invariant of snap rounding, never the
// input's fault.
var errNotPlanar = errors.New("planar: edges cross after snap rounding")

// Edge is a straight line between two vertices that meets other edges at its
// ends only. From sorts before To, by x and then by y. Left and Right are the
// faces on either hand on the way from From to To (y down: the left hand of an
// edge that runs to the right is above it).
type Edge struct {
	From, To    VertexID
	Left, Right FaceID
	segment     int32 // the chord that it lies on
	delta       int32 // the change of winding from its left to its right
}

// maxWindings bounds the entries of all winding states together: half a gigabyte
// with the covers that are made of them. Real art has thousands. Hundreds of
// shapes that all lie over one spot, each a little aside, have a state for every
// face and in it half of the shapes.
const maxWindings = 40_000_000

// sweeper labels the faces of an arrangement in one pass from left to right.
type sweeper struct {
	vertices []Point
	edges    []Edge
	nodeOf   []int32 // per edge in the status: its node
	arriving []int32 // per vertex: some edge in the status that ends there, or −1
	windings *windings
	limit    int // of the entries of windings: maxWindings
	status   *status
	gaps     gaps
	// inStart and in list the edges that end at each vertex, by growing y.
	inStart, in []EdgeID
}

// gaps are the stretches between neighbouring edges of the status. Gaps that
// turn out to be one face are joined.
type gaps struct {
	state  []int32
	parent []int32
}

func (g *gaps) add(state int32) int32 {
	g.state = append(g.state, state)
	g.parent = append(g.parent, int32(len(g.parent)))
	return int32(len(g.parent) - 1)
}

// find returns the root of i in a union-find forest, halving paths as it goes.
func find(parent []int32, i int32) int32 {
	for parent[i] != i {
		parent[i] = parent[parent[i]]
		i = parent[i]
	}
	return i
}

// join makes i and j one set, under the smaller root, so that numbering does
// not depend on the order of joins.
func join(parent []int32, i, j int32) {
	i, j = find(parent, i), find(parent, j)
	parent[max(i, j)] = min(i, j)
}

// take makes fragments into edges, all but those whose windings cancel.
func (sw *sweeper) take(ctx context.Context, arr *arrangement) error {
	pace := unhurried(ctx)
	sw.vertices = arr.vertices
	sw.edges = make([]Edge, 0, len(arr.fragments))
	for _, f := range arr.fragments {
		if f.delta != noDelta {
			sw.edges = append(sw.edges, Edge{From: f.from, To: f.to, segment: f.segment, delta: f.delta})
		}
	}
	return pace.spend(len(arr.fragments))
}

// run sweeps; outStart[v] to outStart[v+1] index the edges that start at v.
// Afterwards every edge knows the gaps on its sides, in Left and Right.
func (sw *sweeper) run(ctx context.Context, outStart []EdgeID) error {
	sw.status = newStatus()
	sw.nodeOf = make([]int32, len(sw.edges))
	sw.arriving = make([]int32, len(sw.vertices))
	for i := range sw.arriving {
		sw.arriving[i] = -1
	}
	sw.inStart = make([]EdgeID, len(sw.vertices)+1)
	sw.in = make([]EdgeID, 0, len(sw.edges))
	sw.gaps.add(stateOutside)
	pace := unhurried(ctx)
	for v := range sw.vertices {
		sw.inStart[v] = EdgeID(len(sw.in))
		lo, hi := outStart[v], outStart[v+1]
		before := sw.windings.lists.entries
		sw.sortBySlope(sw.edges[lo:hi])
		if !sw.pass(VertexID(v), lo, hi) {
			return errNotPlanar
		}
		entries := sw.windings.lists.entries
		if entries > sw.limit {
			return &ComplexityError{At: sw.vertices[v].MM(), Budget: sw.limit}
		}
		if err := pace.spend(passEffort*int(1+hi-lo) + entries - before); err != nil {
			return err
		}
	}
	sw.inStart[len(sw.vertices)] = EdgeID(len(sw.in))
	return nil
}

// passEffort is what the sweep takes for an edge, in the units of pace.
const passEffort = 16

// sortBySlope orders the edges that start at one vertex by direction, from up
// to down on screen.
func (sw *sweeper) sortBySlope(edges []Edge) {
	if len(edges) < 2 {
		return
	}
	from := sw.vertices[edges[0].From]
	slices.SortFunc(edges, func(e, f Edge) int {
		switch c := cross(from, sw.vertices[e.To], sw.vertices[f.To]); {
		case c > 0:
			return -1
		case c < 0:
			return 1
		}
		return 0
	})
}

// pass moves the sweep line over vertex v, from whose right edges lo…hi−1
// start. It reports false where the arrangement is not planar.
func (sw *sweeper) pass(v VertexID, lo, hi EdgeID) bool {
	var above, below int32 // the gaps over and under the vertex
	var prev int32         // the status node before those that start, or would
	if sw.arriving[v] >= 0 {
		above, below, prev = sw.arrive(v, lo, hi)
	} else if lo < hi {
		var ok bool
		if above, ok = sw.open(v, lo, hi); !ok {
			return false
		}
		below = above
	} else {
		return true // every edge here was cancelled
	}
	s := sw.status
	if lo == hi {
		if sw.gaps.state[above] != sw.gaps.state[below] {
			return false
		}
		join(sw.gaps.parent, above, below)
		return sw.apart(prev, s.nodes[prev].next)
	}
	if !sw.label(lo, hi, above, below) {
		return false
	}
	first, last := sw.nodeOf[lo], sw.nodeOf[hi-1]
	return sw.apart(s.nodes[first].prev, first) && sw.apart(last, s.nodes[last].next)
}

// arrive takes the edges that end at v out of the status and puts those that
// start there, lo…hi−1, in their place. It returns the gaps over and under v and
// the last node over what started, or over v when nothing does.
func (sw *sweeper) arrive(v VertexID, lo, hi EdgeID) (above, below, prev int32) {
	s := sw.status
	first := sw.nodeOf[sw.arriving[v]]
	for p := s.nodes[first].prev; p != 0 && sw.edges[s.nodes[p].edge].To == v; p = s.nodes[p].prev {
		first = p
	}
	prev = s.nodes[first].prev
	for n := first; n != 0 && sw.edges[s.nodes[n].edge].To == v; n = s.nodes[n].next {
		sw.in = append(sw.in, s.nodes[n].edge)
	}
	ending := sw.in[sw.inStart[v]:]
	above, below = sw.edges[ending[0]].Left, sw.edges[ending[len(ending)-1]].Right
	// A chain that goes on keeps its place in the tree.
	reuse := int(min(EdgeID(len(ending)), hi-lo))
	for i, e := range ending {
		if i < reuse {
			prev = sw.nodeOf[e]
			s.nodes[prev].edge = lo + EdgeID(i)
			sw.nodeOf[lo+EdgeID(i)] = prev
		} else {
			s.remove(sw.nodeOf[e])
		}
	}
	return above, below, sw.insert(prev, lo+EdgeID(reuse), hi)
}

// open puts the edges lo…hi−1 that start at v, where none ends, into the status
// and returns the gap that v lies in; false when v lies on an edge.
func (sw *sweeper) open(v VertexID, lo, hi EdgeID) (gap int32, ok bool) {
	prev, ok := sw.search(v)
	if !ok {
		return 0, false
	}
	if prev != 0 {
		gap = sw.edges[sw.status.nodes[prev].edge].Right
	}
	sw.insert(prev, lo, hi)
	return gap, true
}

// insert puts edges lo…hi−1 into the status behind node prev, in their order, and
// returns the last one's node: prev when there are none.
func (sw *sweeper) insert(prev int32, lo, hi EdgeID) int32 {
	for i := lo; i < hi; i++ {
		prev = sw.status.insertAfter(prev, i)
		sw.nodeOf[i] = prev
	}
	return prev
}

// label gives the edges lo…hi−1 of one vertex the gaps on their sides, from the
// one above the vertex to the one below. It reports false when two of them run the
// same way, one along the other, or the windings do not add up.
func (sw *sweeper) label(lo, hi EdgeID, above, below int32) bool {
	gap := above
	from := sw.vertices[sw.edges[lo].From]
	for i := lo; i < hi; i++ {
		if i > lo && cross(from, sw.vertices[sw.edges[i-1].To], sw.vertices[sw.edges[i].To]) == 0 {
			return false
		}
		sw.edges[i].Left = gap
		state := sw.windings.step(sw.gaps.state[gap], sw.edges[i].delta)
		if i == hi-1 {
			gap = below
			if sw.gaps.state[below] != state {
				return false
			}
		} else {
			gap = sw.gaps.add(state)
		}
		sw.edges[i].Right = gap
		sw.arriving[sw.edges[i].To] = i
	}
	return true
}

// search returns the last status node above vertex v, and false when v lies on
// an edge.
func (sw *sweeper) search(v VertexID) (node int32, ok bool) {
	p := sw.vertices[v]
	for n := sw.status.root(); n != 0; {
		e := &sw.edges[sw.status.nodes[n].edge]
		switch c := cross(sw.vertices[e.From], sw.vertices[e.To], p); {
		case c > 0:
			node, n = n, sw.status.nodes[n].right
		case c < 0:
			n = sw.status.nodes[n].left
		default:
			return 0, false
		}
	}
	return node, true
}

// apart reports whether two neighbours of the status, the upper one first, keep
// their order up to where the first of them ends.
func (sw *sweeper) apart(upper, lower int32) bool {
	if upper == 0 || lower == 0 {
		return true
	}
	e, f := &sw.edges[sw.status.nodes[upper].edge], &sw.edges[sw.status.nodes[lower].edge]
	switch {
	case e.To == f.To:
		return true
	case e.To < f.To:
		return cross(sw.vertices[f.From], sw.vertices[f.To], sw.vertices[e.To]) < 0
	default:
		return cross(sw.vertices[e.From], sw.vertices[e.To], sw.vertices[f.To]) > 0
	}
}
