package planar

import (
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry/parallel"
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

// joinAlike makes one set of what lies left and right of edges where that is labelled alike;
// parent is that of sets before. Of each edge it notes whether it is labelled otherwise on either
// side, where there is a list for that. A set is named by its least member, so it does not matter who
// joins what first: each worker joins for itself, then the sets of all are joined.
func joinAlike(ctx context.Context, edges []Edge, label, parent []int32, parts []bool) error {
	sets, err := parallel.Collect(ctx, len(edges), worthSplitting, func(part, lo, hi int) ([]int32, error) {
		own := parent
		if part > 0 {
			own = make([]int32, len(parent))
			for i := range own {
				own[i] = int32(i)
			}
		}
		pace := unhurried(ctx)
		for i := lo; i < hi; i += poll {
			some := edges[i:min(i+poll, hi)]
			for k := range some {
				l, r := some[k].Left, some[k].Right
				alike := label[l] == label[r]
				if alike && l != r {
					join(own, l, r)
				}
				if parts != nil {
					parts[i+k] = !alike
				}
			}
			if err := pace.spend(len(some)); err != nil {
				return own, err
			}
		}
		return own, nil
	})
	for _, other := range sets[1:] {
		for i, p := range other {
			if p != int32(i) {
				join(parent, int32(i), p)
			}
		}
	}
	return err
}

// plane is what is swept: vertices from left to right and the edges between them.
type plane struct {
	vertices []Point
	edges    []Edge
	outStart []EdgeID // edges outStart[v] … outStart[v+1]−1 start at v
	// inStart and in list the edges that end at each vertex, by growing y.
	inStart, in []EdgeID
	limit       int // of the entries of windings: maxWindings
}

// sweeper labels the faces of a plane in one pass from left to right.
type sweeper struct {
	*plane
	slab     slab
	across   []EdgeID // what its left side crosses, from top to bottom
	arriving []int32  // per vertex: the node of some edge in the status that ends there, or 0
	arrived  []EdgeID // those that ended so far, in the room that the slab has for them
	windings *windings
	status   *status
	gaps     gaps
	offset   int32 // where its gaps come to be among those of all slabs
}

// slab is the vertices first … end−1, which one sweep goes over.
type slab struct{ first, end VertexID }

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
func (pl *plane) take(ctx context.Context, arr *arrangement, sc *scratch) error {
	n := len(arr.vertices)
	pl.vertices = arr.vertices
	if err := pl.makeRoom(ctx, n, len(arr.whole)+len(arr.bent)); err != nil {
		return err
	}
	type share struct {
		lo, hi     int    // the vertices of each worker
		first, end EdgeID // and which edges it makes
		named      *deltaTable
	}
	parts, err := parallel.Collect(ctx, n, worthSplitting, func(part, lo, hi int) (share, error) {
		own := arr.beside(part, n, sc)
		first, end := pl.takeFrom(own, VertexID(lo), VertexID(hi))
		return share{lo, hi, first, end, own.deltas}, ctx.Err()
	})
	if err != nil {
		return err
	}
	all := EdgeID(0)
	for _, p := range parts {
		edges := pl.edges[p.first:p.end]
		if len(edges) > 0 && p.named != arr.deltas && p.named.lists.count() > 0 {
			for i := range edges {
				edges[i].delta = arr.deltas.adopted(edges[i].delta, p.named)
			}
		}
		if gap := p.first - all; gap > 0 { // some before cancelled
			copy(pl.edges[all:], edges)
			for v := p.lo; v < p.hi; v++ {
				pl.outStart[v] -= gap
			}
		}
		all += EdgeID(len(edges))
	}
	pl.edges, pl.in, pl.outStart[n] = pl.edges[:all], pl.in[:all], all
	return nil
}

// makeRoom makes room for what is kept of so many vertices and edges: clearing it takes as long as half
// of filling it.
func (pl *plane) makeRoom(ctx context.Context, vertices, edges int) error {
	return parallel.Ranges(ctx, 2, 2+worthSplitting-min(edges, worthSplitting), func(_, lo, hi int) error {
		for i := lo; i < hi; i++ {
			if i == 0 {
				pl.edges = make([]Edge, edges)
			} else {
				starts := make([]EdgeID, 2*(vertices+1)+edges)
				pl.outStart, pl.inStart, pl.in = starts[:vertices+1:vertices+1], starts[vertices+1:2*vertices+2:2*vertices+2], starts[2*vertices+2:]
			}
		}
		return nil
	})
}

// takeFrom makes edges of the fragments that start at vertices lo … hi−1, and tells which.
func (pl *plane) takeFrom(arr *arrangement, lo, hi VertexID) (first, end EdgeID) {
	whole, before := startingAt(arr.whole, lo, hi)
	bent, more := startingAt(arr.bent, lo, hi)
	first = EdgeID(before + more)
	end = first
	v := lo // the first vertex whose edges have not begun
	for i, k := 0, 0; ; k++ {
		next := uint64(math.MaxUint64) // the key of the bent one that comes next: no whole one has it
		if k < len(bent) {
			next = bent[k].key()
		}
		for ; i < len(whole) && whole[i].key() < next; i++ {
			if f := &whole[i]; f.segment != struckOut && f.delta != noDelta {
				v, end = pl.add(f, v, end)
			}
		}
		if k == len(bent) {
			break
		}
		f := bent[k]
		if i < len(whole) && whole[i].key() == next {
			if whole[i].segment != struckOut {
				f = arr.together([]fragment{whole[i], f})
			}
			i++
		}
		if f.delta != noDelta {
			v, end = pl.add(&f, v, end)
		}
	}
	for ; v < hi; v++ {
		pl.outStart[v] = end
	}
	return first, end
}

// add makes an edge of a fragment, the one at end; v is the first vertex whose edges have not begun. It returns
// what both are then.
func (pl *plane) add(f *fragment, v VertexID, end EdgeID) (VertexID, EdgeID) {
	for ; v <= f.from; v++ {
		pl.outStart[v] = end
	}
	pl.edges[end] = Edge{From: f.from, To: f.to, segment: f.segment, delta: f.delta}
	return v, end + 1
}

// startingAt returns those of sorted fragments that start at vertices lo … hi−1, and how
// many come before.
func startingAt(frags []fragment, lo, hi VertexID) (some []fragment, before int) {
	i, _ := slices.BinarySearchFunc(frags, lo, func(f fragment, v VertexID) int { return int(f.from - v) })
	k, _ := slices.BinarySearchFunc(frags, hi, func(f fragment, v VertexID) int { return int(f.from - v) })
	return frags[i:k], i
}

// run sweeps over the slab. Afterwards every edge that starts there knows the gaps on its sides,
// in Left and Right.
func (sw *sweeper) run(ctx context.Context) error {
	pace := unhurried(ctx)
	base := sw.inStart[sw.slab.first]
	for v := sw.slab.first; v < sw.slab.end; v++ {
		sw.inStart[v] = base + EdgeID(len(sw.arrived))
		lo, hi := sw.outStart[v], sw.outStart[v+1]
		before := sw.windings.lists.entries
		if !sw.pass(v, lo, hi) {
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
	return nil
}

// passEffort is what the sweep takes for an edge, in the units of pace.
const passEffort = 16

// sortBySlope orders the edges that start at one vertex by direction, from up
// to down on screen.
func (pl *plane) sortBySlope(edges []Edge) {
	from := pl.vertices[edges[0].From]
	if len(edges) == 2 {
		if cross(from, pl.vertices[edges[0].To], pl.vertices[edges[1].To]) < 0 {
			edges[0], edges[1] = edges[1], edges[0]
		}
		return
	}
	slices.SortFunc(edges, func(e, f Edge) int {
		switch c := cross(from, pl.vertices[e.To], pl.vertices[f.To]); {
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
	s := sw.status
	var above, below int32 // the gaps over and under the vertex
	var prev int32         // the status node before those that start, or would
	if n := sw.arriving[v]; n != 0 {
		if node := &s.nodes[n]; lo+1 == hi && s.nodes[node.prev].to != v && s.nodes[node.next].to != v {
			return sw.goOn(n, lo)
		}
		above, below, prev = sw.arrive(v, lo, hi)
	} else if lo < hi {
		var ok bool
		if above, prev, ok = sw.open(v, lo, hi); !ok {
			return false
		}
		below = above
	} else {
		return true // every edge here was cancelled
	}
	if lo == hi {
		if sw.gaps.state[above] != sw.gaps.state[below] {
			return false
		}
		join(sw.gaps.parent, above, below)
		return sw.apart(prev, s.nodes[prev].next)
	}
	last, ok := sw.label(prev, lo, hi, above, below)
	return ok && sw.apart(prev, s.nodes[prev].next) && sw.apart(last, s.nodes[last].next)
}

// goOn lets an edge go on where the only one in node n ends, as nearly all do. It
// keeps its place in the tree. It reports false where the windings do not add up
// or neighbours cross.
func (sw *sweeper) goOn(n int32, e EdgeID) bool {
	node := &sw.status.nodes[n]
	edge := &sw.edges[e]
	if edge.delta != sw.edges[node.edge].delta && sw.windings.step(sw.gaps.state[node.above], edge.delta) != sw.gaps.state[node.below] {
		return false
	}
	edge.Left, edge.Right = node.above, node.below
	sw.arrived = append(sw.arrived, node.edge)
	sw.hold(n, e)
	return sw.apart(node.prev, n) && sw.apart(n, node.next)
}

// hold makes an edge that of a node.
func (sw *sweeper) hold(n int32, e EdgeID) {
	node, edge := &sw.status.nodes[n], &sw.edges[e]
	node.edge, node.to = e, edge.To
	node.a, node.b = sw.vertices[edge.From], sw.vertices[edge.To]
	if edge.To < sw.slab.end {
		sw.arriving[edge.To] = n
	}
}

// arrive takes the edges that end at v out of the status and puts those that
// start there, lo…hi−1, in their place. It returns the gaps over and under v and
// the node before.
func (sw *sweeper) arrive(v VertexID, lo, hi EdgeID) (above, below, prev int32) {
	s := sw.status
	n := sw.arriving[v]
	for p := s.nodes[n].prev; s.nodes[p].to == v; p = s.nodes[p].prev {
		n = p
	}
	prev = s.nodes[n].prev
	above = s.nodes[n].above
	last := prev
	for n != 0 && s.nodes[n].to == v {
		next := s.nodes[n].next
		sw.arrived = append(sw.arrived, s.nodes[n].edge)
		below = s.nodes[n].below
		// A chain that goes on keeps its place in the tree.
		if lo < hi {
			sw.hold(n, lo)
			last = n
			lo++
		} else {
			s.remove(n)
		}
		n = next
	}
	sw.insert(last, lo, hi)
	return above, below, prev
}

// open puts the edges lo…hi−1 that start at v, where none ends, into the status
// and returns the gap that v lies in and the node before; false when v lies on an
// edge.
func (sw *sweeper) open(v VertexID, lo, hi EdgeID) (gap, prev int32, ok bool) {
	prev, ok = sw.search(v)
	if !ok {
		return 0, 0, false
	}
	if prev != 0 {
		gap = sw.status.nodes[prev].below
	}
	sw.insert(prev, lo, hi)
	return gap, prev, true
}

// insert puts edges lo…hi−1 into the status behind node prev, in their order.
func (sw *sweeper) insert(prev int32, lo, hi EdgeID) {
	for e := lo; e < hi; e++ {
		prev = sw.status.insertAfter(prev)
		sw.hold(prev, e)
	}
}

// label gives the edges lo…hi−1 of one vertex, which follow node prev, the gaps on
// their sides, from the one above the vertex to the one below. It returns the last
// one's node, and false when two of them run the same way, one along the other, or
// the windings do not add up.
func (sw *sweeper) label(prev int32, lo, hi EdgeID, above, below int32) (last int32, ok bool) {
	gap, n := above, prev
	for i := lo; i < hi; i++ {
		before := n
		n = sw.status.nodes[n].next
		node := &sw.status.nodes[n]
		if i > lo && cross(node.a, sw.status.nodes[before].b, node.b) == 0 {
			return n, false
		}
		e := &sw.edges[i]
		above := gap
		state := sw.windings.step(sw.gaps.state[gap], e.delta)
		if i == hi-1 {
			gap = below
			if sw.gaps.state[below] != state {
				return n, false
			}
		} else {
			gap = sw.gaps.add(state)
		}
		node.above, node.below = above, gap
		e.Left, e.Right = above, gap
	}
	return n, true
}

// search returns the last status node above vertex v, and false when v lies on
// an edge.
func (sw *sweeper) search(v VertexID) (node int32, ok bool) {
	p := sw.vertices[v]
	for n := sw.status.root(); n != 0; {
		at := &sw.status.nodes[n]
		switch c := cross(at.a, at.b, p); {
		case c > 0:
			node, n = n, at.right
		case c < 0:
			n = at.left
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
	e, f := &sw.status.nodes[upper], &sw.status.nodes[lower]
	// Which of them ends first is hard to guess for the processor, so both ways are worked out.
	off := -cross(e.a, e.b, f.b)
	if upperEnd := cross(f.a, f.b, e.b); e.to < f.to {
		off = upperEnd
	}
	return off < 0 || e.to == f.to
}
