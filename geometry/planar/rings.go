package planar

import (
	"cmp"
	"slices"
	"sync"
)

// rings chains seams around each piece.
func (d *divider) rings() {
	c := d.chain()
	defer c.done()
	c.list = make([]SeamRef, 0, 2*len(d.Seams))
	single := make([]Ring, len(d.Pieces)) // room for the only one of most pieces
	for i := range 2 * len(d.Seams) {
		ref := SeamRef(i)
		if right := d.rightOf(ref); right != None && !c.used[ref] {
			p := &d.Pieces[right]
			if p.Rings == nil {
				p.Rings = single[right : right : right+1]
			}
			// Every seam that leaves a node there is a border of somebody's.
			p.Rings = c.from(p.Rings, ref, func(SeamRef) bool { return true })
		}
	}
	for i := range d.Pieces {
		outerFirst(d.Pieces[i].Rings)
	}
}

// outerFirst puts outer rings before holes, which stay in their order.
func outerFirst(rings []Ring) {
	if len(rings) > 1 {
		slices.SortStableFunc(rings, func(a, b Ring) int { return cmp.Compare(sign(b.Area2), sign(a.Area2)) })
	}
}

// chain makes rings of seams. A seam is used once in each direction.
type chain struct {
	*Division
	used  []bool    // by SeamRef
	at    []int32   // per node: its place on the stack, from 1
	stack []SeamRef // those that are not yet in a ring
	list  []SeamRef // room for the rings'
}

// chains are those that are done, for their room: all of chain.at is 0 then.
var chains = sync.Pool{New: func() any { return new(chain) }}

// chain returns one that makes no rings yet; done gives its room back.
func (d *Division) chain() *chain {
	c := chains.Get().(*chain)
	nodes := len(d.start) - 1
	if cap(c.at) < nodes {
		c.at = make([]int32, nodes)
	}
	used := room(c.used, 2*len(d.Seams))[:2*len(d.Seams)]
	clear(used)
	*c = chain{Division: d, used: used, at: c.at[:nodes], stack: c.stack[:0]}
	return c
}

func (c *chain) done() {
	if cap(c.at) <= mostKept && cap(c.used) <= mostKept {
		c.Division, c.list = nil, nil // which stay with the division
		chains.Put(c)
	}
}

// from appends the simple rings that the way along a seam, and on along those
// that bound the same region on the right hand, is made of; none when the seam was
// used before.
func (c *chain) from(rings []Ring, r SeamRef, bounds func(SeamRef) bool) []Ring {
	for ; !c.used[r]; r = c.next(r, bounds) {
		c.used[r] = true
		from, to := c.nodes(r)
		c.stack = append(c.stack, r)
		c.at[from] = int32(len(c.stack))
		// Whatever comes back to a node is a ring; what is left goes on.
		if k := c.at[to]; k != 0 {
			first := len(c.list)
			c.list = append(c.list, c.stack[k-1:]...)
			for _, inner := range c.stack[k-1:] {
				f, _ := c.nodes(inner)
				c.at[f] = 0
			}
			rings = append(rings, c.ring(slices.Clip(c.list[first:])))
			c.stack = c.stack[:k-1]
		}
	}
	for _, r := range c.stack {
		f, _ := c.nodes(r)
		c.at[f] = 0
	}
	c.stack = c.stack[:0]
	return rings
}

// next returns the seam that follows r around the region on its right hand: of
// those that bound it, the first anticlockwise from where r comes in.
func (d *Division) next(r SeamRef, bounds func(SeamRef) bool) SeamRef {
	s := &d.Seams[r.Index()]
	node, i := s.to, s.toSpoke
	if r.Backwards() {
		node, i = s.from, s.fromSpoke
	}
	for {
		if i--; i < d.start[node] {
			i = d.start[node+1] - 1
		}
		if bounds(d.seam[i]) {
			return d.seam[i]
		}
	}
}

// ring measures a closed run of seams. Sums may wrap around on the way; the
// result fits.
func (c *chain) ring(seams []SeamRef) Ring {
	ring := Ring{Seams: seams}
	for _, r := range seams {
		if sum := c.Seams[r.Index()].area2; r.Backwards() {
			ring.Area2 -= sum
		} else {
			ring.Area2 += sum
		}
	}
	return ring
}
