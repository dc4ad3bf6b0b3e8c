package trace

import (
	"maps"
	"math"
	"slices"

	"abut/geometry"
)

// Chains that are fitted one by one may come to cross where the picture is finer
// than its pixels. Then two regions would overlap. Around the place where they
// cross, and no further than it takes, both are drawn by their rows instead, which
// never cross.

const (
	// leastPatch and mostPatch are how large patches are, in pixels: what a fit over a
	// few rows strays, and where it would be all of most chains anyway.
	leastPatch, mostPatch = 1.5, 24.0
	// roundsPatched bounds the work: by then a patch is as large as it may be. What
	// still crosses is drawn by its rows from end to end.
	roundsPatched = 12
)

// untangle draws chains anew until none crosses another, or itself.
func (n *network) untangle(poll func() error) error {
	for round := 0; ; round++ {
		hits, err := n.crossed(poll)
		if err != nil || len(hits) == 0 {
			return err
		}
		again := map[int]bool{}
		for _, x := range hits {
			for _, k := range x.chains {
				if n.chains[k].loosen(x.at, round) {
					again[int(k)] = true
				}
			}
		}
		if len(again) == 0 { // all that cross are drawn by their rows
			return nil
		}
		for list := slices.Sorted(maps.Keys(again)); len(list) > 0; list = list[1:] {
			if err := poll(); err != nil {
				return err
			}
			list = append(list, n.redraw(n.chains[list[0]])...)
		}
	}
}

// redraw draws a chain and returns those that must be drawn after it, since a junction of it
// has moved.
func (n *network) redraw(c *chain) (after []int) {
	n.draw(c)
	for _, j := range []int{c.from, c.to} {
		if j < 0 || !c.loose(n.junctions[j].at) || !n.junctions[j].hold() {
			continue
		}
		for _, k := range n.allOf(j).chains {
			after = append(after, int(k))
		}
	}
	return after
}

// loosen makes the patch around a place, or makes it larger, once a round, and
// reports whether there was anything left to do.
func (c *chain) loosen(at geometry.Point, round int) bool {
	if c.plain || c.isBorder() {
		return false
	}
	if round >= roundsPatched {
		c.plain = true
		return true
	}
	for i := range c.patches {
		p := &c.patches[i]
		if p.at.Sub(at).Len() > p.r+leastPatch {
			continue
		}
		if p.round < round {
			p.r, p.round = 2*p.r, round
			c.plain = p.r > mostPatch
		}
		return true
	}
	c.patches = append(c.patches, patch{at, leastPatch, round})
	return true
}

// bit is a short straight part of a chain.
type bit struct {
	a, b  geometry.Point
	chain int32
}

// cell is the size of the cells that bits are looked up by, in pixels.
const cell = 4.0

// lookup finds bits by where they are: a list for each cell, in the order in which they
// were noted.
type lookup struct {
	across, down int
	bits         []bit // those of one chain follow each other
	// first and last are entries of each cell, and next what follows an entry, all by
	// number plus one.
	first, last, next []int32
	of                []int32 // the number of an entry's bit
}

func newLookup(w, h int) *lookup {
	l := &lookup{across: w/int(cell) + 1, down: h/int(cell) + 1}
	l.first, l.last = make([]int32, l.across*l.down), make([]int32, l.across*l.down)
	return l
}

// at returns the numbers of the cell at a place; what lies beyond the picture is in
// those at its border.
func (l *lookup) at(p geometry.Point) (u, v int) {
	return max(0, min(l.across-1, int(math.Floor(p.X/cell)))), max(0, min(l.down-1, int(math.Floor(p.Y/cell))))
}

func (l *lookup) add(u, v int, bit int32) {
	l.of, l.next = append(l.of, bit), append(l.next, 0)
	c, k := v*l.across+u, int32(len(l.of))
	if l.last[c] > 0 {
		l.next[l.last[c]-1] = k
	} else {
		l.first[c] = k
	}
	l.last[c] = k
}

// flat is how far chords may lie off curves, in pixels, when these are looked through
// for crossings: what comes nearer than that may still cross, over as little.
const flat = 0.003

// hit is a place where chains cross.
type hit struct {
	at     geometry.Point
	chains []int32
}

// crossed returns where chains cross others or themselves.
func (n *network) crossed(poll func() error) ([]hit, error) {
	x := &crossings{n: n, cells: newLookup(n.t.pic.w, n.t.pic.h), parts: n.parts(), leftmost: make([]extreme, len(n.chains))}
	for k := range n.chains {
		if err := poll(); err != nil {
			return nil, err
		}
		x.note(int32(k))
	}
	for _, t := range x.touches {
		if n.crossesAt(x.cells, t) {
			x.hits = append(x.hits, hit{t.at, []int32{x.cells.bits[t.a].chain, x.cells.bits[t.b].chain}})
		}
	}
	x.junctions()
	x.borders()
	x.misplaced()
	return n.insideOut(x.hits), nil
}

// crossings is the search for places where chains cross.
type crossings struct {
	n        *network
	cells    *lookup
	hits     []hit
	touches  []touch
	parts    []int32   // see parts
	leftmost []extreme // by the number of a part
}

// extreme is the point of a part of the network that lies furthest to one side, and the chain
// that it is of, plus one: 0 where there is no such part.
type extreme struct {
	at    geometry.Point
	chain int32
}

// note takes a chain's curve in, in short bits, with what those meet that came before.
func (x *crossings) note(k int32) {
	first := &x.leftmost[x.parts[k]]
	flat := geometry.Path{x.n.chains[k].curve}.Flatten(flat)[0]
	from := flat.Start
	for _, s := range flat.Segments {
		bits := math.Ceil(s.End.Sub(from).Len() / cell)
		a := from
		for i := 1.0; i <= bits; i++ {
			b := from.Lerp(s.End, i/bits)
			if i == bits {
				b = s.End
			}
			x.cells.bits = append(x.cells.bits, bit{a, b, k})
			x.meets()
			if first.chain == 0 || b.X < first.at.X {
				*first = extreme{b, k + 1}
			}
			a = b
		}
		from = s.End
	}
}

// junctions notes those that chains leave in another order than their cracks do.
func (x *crossings) junctions() {
	for j := range x.n.junctions {
		if !x.n.inOrder(j) {
			x.hits = append(x.hits, x.n.allOf(j))
		}
	}
}

// borders notes where two chains that meet the border near each other have come to meet it
// the other way round.
func (x *crossings) borders() {
	n := x.n
	for _, c := range n.chains {
		if c.isBorder() && n.junctions[c.to].at.Sub(n.junctions[c.from].at).Dot(c.start.step(c.path[0]).point().Sub(c.start.point())) < 0 {
			x.hits = append(x.hits, n.allOf(c.from), n.allOf(c.to))
		}
	}
}

// misplaced notes parts of the network that have come to lie in something else than they
// were: some chain near them is on their other side.
func (x *crossings) misplaced() {
	n := x.n
	for part, p := range x.leftmost {
		if p.chain == 0 || n.chains[p.chain-1].isBorder() {
			continue
		}
		if within, ok := n.leftOf(x.cells, x.parts, int32(part), p.at); ok && within != n.around(x.parts, int32(part)) {
			x.hits = append(x.hits, hit{p.at, n.near(p.at)})
		}
	}
}

// insideOut appends rings that run the other way round than their cracks do: one of a few
// pixels may be drawn past its own other side, which then lies on it but crosses nothing.
func (n *network) insideOut(hits []hit) []hit {
	n.rings(func(_ int, _ corner, ring []end) {
		cracks := 0.0 // twice the area within them
		for _, e := range ring {
			c := n.chains[e.chain]
			at, part := c.start, 0.0
			for _, d := range c.path {
				next := at.step(d)
				part += at.point().Cross(next.point())
				at = next
			}
			if !e.forward {
				part = -part
			}
			cracks += part
		}
		if c := n.contour(ring); cracks*(geometry.Path{c}).SignedArea() < 0 {
			x := hit{at: c.Start}
			for _, e := range ring {
				x.chains = append(x.chains, int32(e.chain))
			}
			hits = append(hits, x)
		}
	})
	return hits
}

// allOf is a hit of all chains at a junction.
func (n *network) allOf(j int) hit {
	x := hit{at: n.junctions[j].at}
	for _, o := range n.junctions[j].out {
		if o != 0 {
			x.chains = append(x.chains, int32(max(o, -o)-1))
		}
	}
	return x
}

// near returns the chains that have a crack within a few pixels of a place: further
// no curve strays from its cracks.
func (n *network) near(p geometry.Point) (out []int32) {
	const within = 6
	for k, c := range n.chains {
		at := c.start
		for _, d := range c.path {
			if at.point().Sub(p).Len() < within {
				out = append(out, int32(k))
				break
			}
			at = at.step(d)
		}
	}
	return out
}

// parts numbers what hangs together of the network, by its first chain: for each
// chain the number of its part.
func (n *network) parts() []int32 {
	out := make([]int32, len(n.chains))
	for k := range out {
		out[k] = int32(k)
	}
	root := func(k int32) int32 {
		for out[k] != k {
			k = out[k]
		}
		return k
	}
	for j := range n.junctions {
		last := int32(-1)
		for _, o := range n.junctions[j].out {
			if o == 0 {
				continue
			}
			k := root(int32(max(o, -o) - 1))
			if last >= 0 && k != last {
				k, last = min(k, last), max(k, last)
				out[last] = k
			}
			last = k
		}
	}
	for k := range out {
		out[k] = root(out[k])
	}
	return out
}

// around is the label of what a part of the network lies in: of the pixel on the
// left of its leftmost crack.
func (n *network) around(parts []int32, part int32) int {
	if n.outer == nil {
		n.outer = map[int32]int{}
		least := map[int32]int32{}
		for k, c := range n.chains {
			at := c.start
			for _, d := range c.path {
				next := at.step(d)
				if x, ok := least[parts[k]]; d%2 == 1 && (!ok || at.x < x) {
					least[parts[k]] = at.x
					n.outer[parts[k]] = n.t.labelAt(corner{at.x - 1, min(at.y, next.y)})
				}
				at = next
			}
		}
	}
	return n.outer[part]
}

// leftOf returns the label on this side of the first chain of another part to the
// left of a place; false when there is none.
func (n *network) leftOf(cells *lookup, parts []int32, part int32, p geometry.Point) (label int, ok bool) {
	for u, v := cells.at(p); u >= 0; u-- {
		best := math.Inf(-1)
		for k := cells.first[v*cells.across+u]; k > 0; k = cells.next[k-1] {
			o := cells.bits[cells.of[k-1]]
			if parts[o.chain] == part || (o.a.Y <= p.Y) == (o.b.Y <= p.Y) {
				continue
			}
			x := o.a.X + (p.Y-o.a.Y)*(o.b.X-o.a.X)/(o.b.Y-o.a.Y)
			if x > p.X || x <= best {
				continue
			}
			best = x
			// What runs up has what is on the right of it on its right.
			if label = n.chains[o.chain].right; o.b.Y > o.a.Y {
				label = n.chains[o.chain].left
			}
		}
		if best >= float64(u)*cell {
			return label, true
		}
	}
	return 0, false
}

// inOrder reports whether chains leave a junction in the order of their cracks, all
// round: where they do not, their regions overlap though no chain crosses another.
func (n *network) inOrder(j int) bool {
	var angles []float64
	for _, o := range n.junctions[j].out {
		if o == 0 {
			continue
		}
		c := n.chains[max(o, -o)-1].curve
		if o < 0 {
			c = geometry.Path{c}.Reverse()[0]
		}
		d := c.Segments[0].End
		if c.Segments[0].Cubic {
			d = c.Segments[0].C1
		}
		angles = append(angles, turn(geometry.Pt(1, 0), d.Sub(c.Start)))
	}
	falls := 0
	for i, a := range angles {
		if angles[(i+1)%len(angles)] < a-1e-9 {
			falls++
		}
	}
	return len(angles) < 3 || falls <= 1
}

// touch is a place where two bits have an end in common.
type touch struct {
	at   geometry.Point
	a, b int32
}

// meets notes the last bit in its cells, with what it crosses there, and what it touches
// that is not the bit before.
func (x *crossings) meets() {
	number := int32(len(x.cells.bits) - 1)
	last := x.cells.bits[number]
	// Nothing reaches beyond the picture; what touches its border may.
	border := x.n.chains[last.chain].isBorder()
	u0, v0 := x.cells.at(geometry.Pt(math.Min(last.a.X, last.b.X), math.Min(last.a.Y, last.b.Y)))
	u1, v1 := x.cells.at(geometry.Pt(math.Max(last.a.X, last.b.X), math.Max(last.a.Y, last.b.Y)))
	for v := v0; v <= v1; v++ {
		for u := u0; u <= u1; u++ {
			for k := x.cells.first[v*x.cells.across+u]; k > 0 && !border; k = x.cells.next[k-1] {
				x.meet(number, last, x.cells.of[k-1])
			}
			x.cells.add(u, v, number)
		}
	}
}

// meet notes where a bit crosses another one, or touches it.
func (x *crossings) meet(number int32, b bit, other int32) {
	o := x.cells.bits[other]
	if x.n.chains[o.chain].isBorder() {
		return
	}
	at, touching := b.end(o)
	switch {
	case touching && o.chain == b.chain && (b.a == o.a && b.b == o.b || b.a == o.b && b.b == o.a):
		x.hits = append(x.hits, hit{at, []int32{b.chain}}) // it runs along itself
	case touching && (o.chain != b.chain || other != number-1):
		x.touches = append(x.touches, touch{at, other, number})
	case !touching && cross(b, o): // both give way, so that neither is favoured
		x.hits = append(x.hits, hit{meeting(b, o), []int32{b.chain, o.chain}})
	}
}

// end returns an end that two bits have in common.
func (x bit) end(o bit) (geometry.Point, bool) {
	switch {
	case x.a == o.a || x.a == o.b:
		return x.a, true
	case x.b == o.a || x.b == o.b:
		return x.b, true
	}
	return geometry.Point{}, false
}

// passing returns the bits by which a chain comes to an end of one of its bits and goes
// on; false where the chain ends there.
func (n *network) passing(l *lookup, k int32, at geometry.Point) (in, out int32, ok bool) {
	in, out = k, k+1
	if l.bits[k].a == at {
		in, out = k-1, k
	}
	chain := l.bits[k].chain
	first, last := k, k
	// A closed chain goes on from its last bit to its first.
	if closed := n.chains[chain].closed(); closed && (in < 0 || out == int32(len(l.bits)) || l.bits[in].chain != l.bits[out].chain) {
		for first > 0 && l.bits[first-1].chain == chain {
			first--
		}
		for int(last)+1 < len(l.bits) && l.bits[last+1].chain == chain {
			last++
		}
		return last, first, true
	}
	ok = in >= 0 && int(out) < len(l.bits) && l.bits[in].chain == l.bits[out].chain
	return in, out, ok
}

// crossesAt reports whether chains cross where two of their bits have an end in common:
// whether one of them leaves it on the other side of the other than it came from.
func (n *network) crossesAt(l *lookup, t touch) bool {
	in, out, ok := n.passing(l, t.a, t.at)
	in2, out2, ok2 := n.passing(l, t.b, t.at)
	if !ok || !ok2 || in == in2 {
		return false
	}
	from := l.bits[in].a.Sub(t.at)
	angle := func(p geometry.Point) float64 {
		a := turn(from, p.Sub(t.at))
		if a < 0 {
			a += 2 * math.Pi
		}
		return a
	}
	to, a, b := angle(l.bits[out].b), angle(l.bits[in2].a), angle(l.bits[out2].b)
	return (a-to)*(b-to) < 0 && math.Min(a, b) > 0
}

// meeting is where two bits cross, or the middle between them when they are
// parallel.
func meeting(a, b bit) geometry.Point {
	d, e := a.b.Sub(a.a), b.b.Sub(b.a)
	if det := d.Cross(e); math.Abs(det) > 1e-9 {
		return a.a.Add(d.Mul(math.Max(0, math.Min(1, b.a.Sub(a.a).Cross(e)/det))))
	}
	return a.a.Lerp(a.b, 0.5).Lerp(b.a.Lerp(b.b, 0.5), 0.5)
}

// cross reports whether two bits that have no end in common have a point in common.
func cross(a, b bit) bool {
	if math.Max(a.a.X, a.b.X) < math.Min(b.a.X, b.b.X) || math.Max(b.a.X, b.b.X) < math.Min(a.a.X, a.b.X) ||
		math.Max(a.a.Y, a.b.Y) < math.Min(b.a.Y, b.b.Y) || math.Max(b.a.Y, b.b.Y) < math.Min(a.a.Y, a.b.Y) {
		return false
	}
	d, e := a.b.Sub(a.a), b.b.Sub(b.a)
	p, q := d.Cross(b.a.Sub(a.a)), d.Cross(b.b.Sub(a.a))
	r, s := e.Cross(a.a.Sub(b.a)), e.Cross(a.b.Sub(b.a))
	return p*q <= 0 && r*s <= 0
}
