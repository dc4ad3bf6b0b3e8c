package trace

import "abut/geometry"

// The borders between pixels of different inks, the cracks, are one network. Where
// three or more regions meet there is a junction; between two junctions, or all
// the way round, runs a chain that has one ink on its left and one on its right.

// outside is the label of what is beyond the picture.
const outside = -1

// direction says which way a crack leads: right, down, left, up.
type direction uint8

// steps are the directions as displacements.
var steps = [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// corner is a corner of pixels, from (0, 0) to (w, h).
type corner struct{ x, y int32 }

func (c corner) step(d direction) corner {
	return corner{c.x + int32(steps[d][0]), c.y + int32(steps[d][1])}
}

func (c corner) point() geometry.Point { return geometry.Pt(float64(c.x), float64(c.y)) }

// beside returns the pixels to the left and to the right of the crack that leads
// away from a corner.
func (c corner) beside(d direction) (left, right corner) {
	x, y := c.x, c.y
	switch d {
	case 0:
		return corner{x, y - 1}, corner{x, y}
	case 1:
		return corner{x, y}, corner{x - 1, y}
	case 2:
		return corner{x - 1, y}, corner{x - 1, y - 1}
	}
	return corner{x - 1, y - 1}, corner{x, y - 1}
}

// chain is a run of cracks with the same ink all along either side.
type chain struct {
	left, right int
	start       corner
	path        []direction
	// from and to are the junctions at its ends, -1 for a chain that is closed.
	from, to int
	// curve is its fitted course, from start to end.
	curve geometry.Contour
	// points are those of the edge that its cracks tell, fit what is made of them.
	points []geometry.Point
	fit    course
	// stepped is above 0 where its edge was not smoothed and is told by its stairs: how many times as
	// far off as others its points are.
	stepped float64
	// patches are where it is drawn by its rows, since it would cross another; plain
	// says that it is everywhere.
	patches []patch
	plain   bool
}

func (c *chain) closed() bool { return c.from < 0 }

// isBorder reports whether it lies on the border of the picture.
func (c *chain) isBorder() bool { return c.left == outside || c.right == outside }

// junction is a place where chains end.
type junction struct {
	corner corner
	at     geometry.Point
	// out are the ends of chains that leave it, by the direction of their crack: the
	// number of the chain plus 1, negative where the chain ends there.
	out [4]int
	// pinned: it stays where it is, as a corner of the picture does.
	pinned bool
}

// network is all chains and junctions.
type network struct {
	t         *tracer
	chains    []*chain
	junctions []junction
	at        map[corner]int
	// outer is what each part of the network lies in, by the part's number.
	outer map[int32]int
	// seen has a bit for each direction of each corner whose crack was walked.
	seen []uint8
}

func (t *tracer) labelAt(p corner) int { return t.in(t.labels, p) }

// foundAt is the ink that a pixel was found to have, before some were joined: what
// its colour tells is a share of that.
func (t *tracer) foundAt(p corner) int { return t.in(t.before, p) }

func (t *tracer) in(labels []uint8, p corner) int {
	if p.x < 0 || p.y < 0 || int(p.x) >= t.pic.w || int(p.y) >= t.pic.h {
		return outside
	}
	return int(labels[int(p.y)*t.pic.w+int(p.x)])
}

// crack reports whether there is one that leads away from a corner.
func (t *tracer) crack(c corner, d direction) bool {
	l, r := c.beside(d)
	return t.labelAt(l) != t.labelAt(r)
}

// onwards returns where a chain goes on that comes into a corner, false where it
// ends in a junction.
func (t *tracer) onwards(c corner, in direction) (direction, bool) {
	if t.isCorner(c) {
		return 0, false
	}
	count, only := 0, direction(0)
	for d := range direction(4) {
		if t.crack(c, d) {
			count++
			if d != (in+2)%4 {
				only = d
			}
		}
	}
	switch count {
	case 2:
		return only, true
	case 4:
		nw, ne := t.labelAt(corner{c.x - 1, c.y - 1}), t.labelAt(corner{c.x, c.y - 1})
		sw, se := t.labelAt(corner{c.x - 1, c.y}), t.labelAt(corner{c.x, c.y})
		falling, rising := nw == se, ne == sw
		if falling && rising {
			// The thinner of the two goes on, as in P. Selinger, "Potrace", 2003, 2.1.1.
			falling = t.scarcer(c, nw, ne)
			rising = !falling
		} else if falling {
			falling = t.scarce(c, nw)
		} else if rising {
			rising = t.scarce(c, ne)
		}
		switch {
		case falling: // the crack above goes on to the right, that below to the left
			return [4]direction{1, 0, 3, 2}[in], true
		case rising: // the crack above goes on to the left, that below to the right
			return [4]direction{3, 2, 1, 0}[in], true
		}
	}
	return 0, false
}

// isCorner reports whether it is one of the picture's own.
func (t *tracer) isCorner(c corner) bool {
	return (c.x == 0 || int(c.x) == t.pic.w) && (c.y == 0 || int(c.y) == t.pic.h)
}

// within counts the pixels of an ink in the six by six around a corner.
func (t *tracer) within(c corner, label int) (n int) {
	for y := c.y - 3; y < c.y+3; y++ {
		for x := c.x - 3; x < c.x+3; x++ {
			if t.labelAt(corner{x, y}) == label {
				n++
			}
		}
	}
	return n
}

func (t *tracer) scarcer(c corner, a, b int) bool {
	m, n := t.within(c, a), t.within(c, b)
	return m < n || m == n && a > b
}

// scarce reports whether an ink covers less than half of what is around.
func (t *tracer) scarce(c corner, label int) bool { return t.within(c, label) < 18 }

// trace walks all cracks.
func (n *network) trace(poll func() error) error {
	t := n.t
	n.at = map[corner]int{}
	n.seen = make([]uint8, (t.pic.w+1)*(t.pic.h+1))
	borders, err := t.borders(poll)
	if err != nil {
		return err
	}
	each := func(f func(c corner, d direction)) error {
		for i, c := range borders {
			if i&0xfff == 0 {
				if err := poll(); err != nil {
					return err
				}
			}
			for d := range direction(4) {
				if t.crack(c, d) && n.seen[int(c.y)*(t.pic.w+1)+int(c.x)]>>d&1 == 0 {
					f(c, d)
				}
			}
		}
		return nil
	}
	err = each(func(c corner, d direction) {
		if _, on := t.onwards(c, (d+2)%4); !on {
			n.walk(c, d)
		}
	})
	if err != nil {
		return err
	}
	return each(n.walk)
}

// borders returns the corners of pixels at which there may be cracks, as they are read.
func (t *tracer) borders(poll func() error) (borders []corner, _ error) {
	w, h := int32(t.pic.w), int32(t.pic.h)
	for y := int32(0); y <= h; y++ {
		if err := poll(); err != nil {
			return nil, err
		}
		if y == 0 || y == h {
			for x := range w + 1 {
				borders = append(borders, corner{x, y})
			}
			continue
		}
		up, row := t.labels[(y-1)*w:y*w], t.labels[y*w:(y+1)*w]
		borders = append(borders, corner{0, y})
		for x := int32(1); x < w; x++ {
			// Inside, the four pixels around have one label.
			if k := row[x]; row[x-1] != k || up[x] != k || up[x-1] != k {
				borders = append(borders, corner{x, y})
			}
		}
		borders = append(borders, corner{w, y})
	}
	return borders, nil
}

func (n *network) mark(c corner, d direction) {
	w := n.t.pic.w + 1
	n.seen[int(c.y)*w+int(c.x)] |= 1 << d
	e := c.step(d)
	n.seen[int(e.y)*w+int(e.x)] |= 1 << ((d + 2) % 4)
}

// walk follows the chain that begins with a crack.
func (n *network) walk(c corner, d direction) {
	t := n.t
	l, r := c.beside(d)
	out := &chain{left: t.labelAt(l), right: t.labelAt(r), start: c, from: -1, to: -1}
	if _, on := t.onwards(c, (d+2)%4); !on {
		out.from = n.junction(c)
		n.junctions[out.from].out[d] = len(n.chains) + 1
	}
	at := c
	for {
		out.path = append(out.path, d)
		n.mark(at, d)
		at = at.step(d)
		next, on := t.onwards(at, d)
		if !on {
			out.to = n.junction(at)
			n.junctions[out.to].out[(d+2)%4] = -(len(n.chains) + 1)
			break
		}
		// All the way round, or it came through the same corner before by the other
		// pair of cracks.
		if d = next; out.closed() && at == c && d == out.path[0] {
			break
		}
	}
	n.chains = append(n.chains, out)
}

func (n *network) junction(c corner) int {
	k, ok := n.at[c]
	if !ok {
		k = len(n.junctions)
		n.at[c] = k
		n.junctions = append(n.junctions, junction{corner: c, at: c.point(), pinned: n.t.isCorner(c)})
	}
	return k
}

// end is one way along a chain.
type end struct {
	chain   int
	forward bool
}

// rings calls f with each ring of chains that has one ink on its right: outer ones
// run clockwise on screen, those around holes the other way. first is the pixel on
// the right of its first crack.
func (n *network) rings(f func(label int, first corner, ring []end)) {
	done := make([][2]bool, len(n.chains))
	for k, c := range n.chains {
		for _, forward := range []bool{true, false} {
			label := c.right
			if !forward {
				label = c.left
			}
			if label == outside || done[k][side(forward)] {
				continue
			}
			l, r := c.start.beside(c.path[0])
			if !forward {
				r = l
			}
			var ring []end
			for e := (end{k, forward}); !done[e.chain][side(e.forward)]; e = n.next(e) {
				done[e.chain][side(e.forward)] = true
				ring = append(ring, e)
			}
			f(label, r, ring)
		}
	}
}

func side(forward bool) int {
	if forward {
		return 1
	}
	return 0
}

// next is the chain that goes on around the same region: the first to the right.
func (n *network) next(e end) end {
	c := n.chains[e.chain]
	if c.closed() {
		return e
	}
	j, in := c.to, c.path[len(c.path)-1]
	if !e.forward {
		j, in = c.from, (c.path[0]+2)%4
	}
	for _, turn := range []direction{1, 0, 3, 2} {
		if k := n.junctions[j].out[(in+turn)%4]; k > 0 {
			return end{k - 1, true}
		} else if k < 0 {
			return end{-k - 1, false}
		}
	}
	return e
}

// contour puts the curves of a ring end to end.
func (n *network) contour(ring []end) geometry.Contour {
	var out geometry.Contour
	for i, e := range ring {
		c := n.chains[e.chain].curve
		if !e.forward {
			c = geometry.Path{c}.Reverse()[0]
		}
		if i == 0 {
			out.Start = c.Start
		}
		out.Segments = append(out.Segments, c.Segments...)
	}
	out.Closed = true
	return out
}
