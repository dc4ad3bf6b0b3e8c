package trace

import (
	"math"

	"abut/geometry"
)

// Each crack of a chain gives a row: a point of its edge that is never far from the
// crack. Lines through the rows of all chains do not cross, so they are what is left
// where fitted curves would.

// patch is a disc in which a chain is drawn by its rows.
type patch struct {
	at geometry.Point
	r  float64
	// round is when it was last made larger.
	round int
}

// withinCrack is how far off the middle of its crack a row counts, in pixels: less
// than half of one.
const withinCrack = 0.45

// loose reports whether the chain is drawn by its rows at a place.
func (c *chain) loose(at geometry.Point) bool {
	for _, p := range c.patches {
		if p.at.Sub(at).Len() <= p.r {
			return true
		}
	}
	return c.plain
}

// hold moves a junction to within half a pixel of where pixels meet, where chains
// drawn by their rows meet in the order in which they leave; false when it was there.
func (x *junction) hold() bool {
	if x.pinned {
		return false
	}
	o := x.corner.point()
	d := x.at.Sub(o)
	at := o.Add(geometry.Pt(math.Max(-withinCrack, math.Min(withinCrack, d.X)), math.Max(-withinCrack, math.Min(withinCrack, d.Y))))
	if at == x.at {
		return false
	}
	x.at = at
	return true
}

// rows returns a point for each crack of a chain: where the edge crosses the row of
// pixels there, but less than half a pixel off the middle of the crack. Lines from
// each to the next never cross those of another chain: around a corner of pixels
// where two chains pass, each keeps to its side of a diagonal.
func (n *network) rows(c *chain) []geometry.Point {
	out := make([]geometry.Point, len(c.path))
	var st *stairs
	var of []int32
	if c.stepped > 0 {
		st, of = c.stairsOf()
	}
	at := c.start
	for k, d := range c.path {
		next := at.step(d)
		mid := at.point().Lerp(next.point(), 0.5)
		out[k] = mid
		p, ok := n.t.edgeAt(c, at, d)
		if st != nil {
			p, ok = mid.Add(st.off(of, k)), true
		}
		if ok {
			if off := p.Sub(mid).Len(); off > withinCrack {
				p = mid.Lerp(p, withinCrack/off)
			}
			out[k] = p
		}
		at = next
	}
	return out
}

// patched puts the rows of a chain in place of its curve inside its patches. False
// where it cannot tell which rows these are.
func (n *network) patched(c *chain) bool {
	rows := n.rows(c)
	if c.closed() && !c.turnOutside() {
		return false
	}
	if c.closed() {
		k := nearestOf(rows, c.curve.Start)
		rows = append(append([]geometry.Point{}, rows[k:]...), rows[:k]...)
	}
	p := &patching{chain: c, rows: rows, out: geometry.Contour{Start: c.curve.Start}, entry: -1}
	from := c.curve.Start
	if c.loose(from) {
		p.entry = 0
	}
	for _, s := range c.curve.Segments {
		if !p.follow(s, from) {
			return false
		}
		from = s.End
	}
	if p.entry >= 0 && !p.leave(len(rows)-1, from) {
		return false
	}
	c.curve = p.out
	return true
}

// patching goes along a chain's curve and its rows.
type patching struct {
	*chain
	rows []geometry.Point
	out  geometry.Contour
	// entry is the row from which on rows are taken; -1 outside of patches. next is the
	// first that was not taken yet: where a chain turns back beside itself the nearest
	// row may be one of the other side.
	entry, next int
}

// follow takes a segment of the curve, or rows instead of it; false where these cannot be
// told.
func (p *patching) follow(s geometry.Segment, from geometry.Point) bool {
	const step = 0.25 // of a pixel
	m := math.Ceil(s.End.Sub(from).Len()/step) + 4
	began := 0.0
	for i := 1.0; i <= m; i++ {
		at := s.At(from, i/m)
		in := p.loose(at)
		switch {
		case in && p.entry < 0:
			_, part := s.Sub(from, began, i/m)
			p.out.Segments = append(p.out.Segments, part)
			if p.entry = nearestOf(p.rows, part.End); p.entry < p.next {
				return false
			}
		case !in && p.entry >= 0:
			if !p.leave(nearestOf(p.rows, at), at) {
				return false
			}
			began = i / m
		}
	}
	if p.entry < 0 && began < 1 {
		_, part := s.Sub(from, began, 1)
		part.End = s.End
		p.out.Segments = append(p.out.Segments, part)
	}
	return true
}

// leave takes the rows of a patch up to one, and goes on to a point of the curve; false where
// that row comes before the patch.
func (p *patching) leave(exit int, to geometry.Point) bool {
	if exit < p.entry {
		return false
	}
	for _, q := range p.rows[p.entry : exit+1] {
		p.out.Segments = append(p.out.Segments, geometry.LineTo(q))
	}
	if to != p.rows[exit] {
		p.out.Segments = append(p.out.Segments, geometry.LineTo(to))
	}
	p.entry, p.next = -1, exit+1
	return true
}

// turnOutside has a closed curve begin where it is not loose; false when there is
// no such end of a segment.
func (c *chain) turnOutside() bool {
	s := c.curve.Segments
	for k := range s {
		if c.loose(s[k].End) {
			continue
		}
		c.curve = geometry.Contour{Start: s[k].End, Segments: append(append([]geometry.Segment{}, s[k+1:]...), s[:k+1]...), Closed: c.curve.Closed}
		return true
	}
	return false
}

func nearestOf(points []geometry.Point, p geometry.Point) (at int) {
	best := math.Inf(1)
	for i, q := range points {
		if d := q.Sub(p); d.Dot(d) < best {
			best, at = d.Dot(d), i
		}
	}
	return at
}
