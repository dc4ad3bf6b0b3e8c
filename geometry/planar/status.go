package planar

// status holds the edges that the sweep line crosses, from the smallest y to
// the largest: a treap for search, threaded for neighbours. Node 0 is the head,
// before the first edge.
type status struct {
	nodes []statusNode
	free  []int32
	seed  uint32
}

type statusNode struct {
	edge                EdgeID
	to                  VertexID // where the edge ends
	a, b                Point    // its ends
	above, below        int32    // the gaps on its sides
	left, right, parent int32
	prev, next          int32
	priority            uint32
}

// newStatus returns an empty status in the given room.
func newStatus(nodes []statusNode, free []int32) *status {
	return &status{nodes: append(nodes[:0], statusNode{to: -1}), free: free[:0], seed: 2463534242}
}

// root hangs below the head, on its right.
func (s *status) root() int32 { return s.nodes[0].right }

// insertAfter puts a node right behind node prev (0: first).
func (s *status) insertAfter(prev int32) int32 {
	var n int32
	if k := len(s.free); k > 0 {
		n, s.free = s.free[k-1], s.free[:k-1]
	} else {
		n = int32(len(s.nodes))
		s.nodes = append(s.nodes, statusNode{})
	}
	// Xorshift (Marsaglia 2003): the same priorities in every run.
	s.seed ^= s.seed << 13
	s.seed ^= s.seed >> 17
	s.seed ^= s.seed << 5
	next := s.nodes[prev].next
	s.nodes[n] = statusNode{prev: prev, next: next, priority: s.seed >> 1}
	s.nodes[prev].next = n
	s.nodes[next].prev = n // of the head: the last node, unused
	switch {
	case s.nodes[prev].right == 0:
		s.nodes[prev].right, s.nodes[n].parent = n, prev
	default: // then the next in order has nothing on its left
		s.nodes[next].left, s.nodes[n].parent = n, next
	}
	for p := s.nodes[n].parent; p != 0 && s.nodes[p].priority < s.nodes[n].priority; p = s.nodes[n].parent {
		s.raise(n)
	}
	return n
}

// raise rotates n above its parent.
func (s *status) raise(n int32) {
	p := s.nodes[n].parent
	g := s.nodes[p].parent
	if s.nodes[p].left == n {
		c := s.nodes[n].right
		s.nodes[p].left, s.nodes[n].right = c, p
		if c != 0 {
			s.nodes[c].parent = p
		}
	} else {
		c := s.nodes[n].left
		s.nodes[p].right, s.nodes[n].left = c, p
		if c != 0 {
			s.nodes[c].parent = p
		}
	}
	s.nodes[p].parent, s.nodes[n].parent = n, g
	s.relink(g, p, n)
}

// relink makes to the child of g where from was.
func (s *status) relink(g, from, to int32) {
	if s.nodes[g].right == from {
		s.nodes[g].right = to
	} else {
		s.nodes[g].left = to
	}
}

func (s *status) remove(n int32) {
	for s.nodes[n].left != 0 && s.nodes[n].right != 0 {
		l, r := s.nodes[n].left, s.nodes[n].right
		if s.nodes[l].priority > s.nodes[r].priority {
			s.raise(l)
		} else {
			s.raise(r)
		}
	}
	c := s.nodes[n].left | s.nodes[n].right // one of them is 0
	p := s.nodes[n].parent
	s.relink(p, n, c)
	if c != 0 {
		s.nodes[c].parent = p
	}
	prev, next := s.nodes[n].prev, s.nodes[n].next
	s.nodes[prev].next = next
	s.nodes[next].prev = prev
	s.free = append(s.free, n)
}
