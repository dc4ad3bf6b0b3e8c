package trace

import (
	"math"

	"abut/geometry"
)

// Chains that are fitted one by one may come to cross where the picture is finer
// than its pixels. Then two regions would overlap. What crosses falls back to the
// points that it was fitted to and, if that does not help, to the borders of the
// pixels themselves, which never cross.

// how a chain is drawn.
type how uint8

const (
	smooth how = iota
	points
	cracks
)

// untangle draws chains anew until none crosses another, or itself.
func (n *network) untangle(poll func() error) error {
	for round := 0; ; round++ {
		bad, err := n.crossed(poll)
		if err != nil || len(bad) == 0 {
			return err
		}
		again := map[int]bool{}
		for _, k := range bad {
			c := n.chains[k]
			if c.plain < cracks {
				c.plain++
			}
			if round > 8 { // far beyond any picture that was met
				c.plain = cracks
			}
			again[k] = true
			if c.plain == cracks && !c.closed() {
				for _, j := range []int{c.from, c.to} {
					x := &n.junctions[j]
					x.at, x.pinned = x.corner.point(), true
					for _, o := range x.out {
						if o > 0 {
							again[o-1] = true
						} else if o < 0 {
							again[-o-1] = true
						}
					}
				}
			}
		}
		for k := range again {
			n.draw(n.chains[k])
		}
	}
}

// bit is a short straight part of a chain.
type bit struct {
	a, b  geometry.Point
	chain int32
}

// cell is the size of the cells that bits are looked up by, in pixels.
const cell = 4.0

// crossed returns the chains that cross others or themselves and can give way, in
// order.
func (n *network) crossed(poll func() error) ([]int, error) {
	cells := map[[2]int32][]bit{}
	bad := map[int32]bool{}
	for k, c := range n.chains {
		if err := poll(); err != nil {
			return nil, err
		}
		flat := geometry.Path{c.curve}.Flatten(0.03)[0]
		from := flat.Start
		for _, s := range flat.Segments {
			parts := math.Ceil(s.End.Sub(from).Len() / cell)
			a := from
			for i := 1.0; i <= parts; i++ {
				b := from.Lerp(s.End, i/parts)
				if i == parts {
					b = s.End
				}
				n.meets(cells, bit{a, b, int32(k)}, bad)
				a = b
			}
			from = s.End
		}
	}
	for j := range n.junctions {
		if !n.inOrder(j) {
			for _, o := range n.junctions[j].out {
				if k := max(o, -o) - 1; o != 0 && n.chains[k].plain < cracks && !n.chains[k].isBorder() {
					bad[int32(k)] = true
				}
			}
		}
	}
	var out []int
	for k := range n.chains {
		if bad[int32(k)] {
			out = append(out, k)
		}
	}
	return out, nil
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

// meets notes a bit in its cells and what it crosses there.
func (n *network) meets(cells map[[2]int32][]bit, x bit, bad map[int32]bool) {
	at := func(v float64) int32 { return int32(math.Floor(v / cell)) }
	for v := at(math.Min(x.a.Y, x.b.Y)); v <= at(math.Max(x.a.Y, x.b.Y)); v++ {
		for u := at(math.Min(x.a.X, x.b.X)); u <= at(math.Max(x.a.X, x.b.X)); u++ {
			for _, o := range cells[[2]int32{u, v}] {
				a, b := n.chains[x.chain], n.chains[o.chain]
				// Nothing reaches beyond the picture; what touches its border may.
				if a.isBorder() || b.isBorder() || !cross(x, o) {
					continue
				}
				// Both give way as far as they can, so that neither is favoured.
				if a.plain < cracks {
					bad[x.chain] = true
				}
				if b.plain < cracks {
					bad[o.chain] = true
				}
			}
			cells[[2]int32{u, v}] = append(cells[[2]int32{u, v}], x)
		}
	}
}

// cross reports whether two bits have a point in common other than an end of both.
func cross(a, b bit) bool {
	if a.a == b.a || a.a == b.b || a.b == b.a || a.b == b.b {
		return false
	}
	if math.Max(a.a.X, a.b.X) < math.Min(b.a.X, b.b.X) || math.Max(b.a.X, b.b.X) < math.Min(a.a.X, a.b.X) ||
		math.Max(a.a.Y, a.b.Y) < math.Min(b.a.Y, b.b.Y) || math.Max(b.a.Y, b.b.Y) < math.Min(a.a.Y, a.b.Y) {
		return false
	}
	d, e := a.b.Sub(a.a), b.b.Sub(b.a)
	p, q := d.Cross(b.a.Sub(a.a)), d.Cross(b.b.Sub(a.a))
	r, s := e.Cross(a.a.Sub(b.a)), e.Cross(a.b.Sub(b.a))
	return p*q <= 0 && r*s <= 0
}
