package svgimport

import (
	"math"

	"abut/geometry"
)

type lineJoin uint8

const (
	joinMiter lineJoin = iota
	joinRound
	joinBevel
)

type lineCap uint8

const (
	capButt lineCap = iota
	capRound
	capSquare
)

// pen is what a stroke is drawn with. Lengths are in the units of the path.
type pen struct {
	width      float64
	join       lineJoin
	cap        lineCap
	miterLimit float64
	// tolerance is how far the outline's cubics may stray from the true
	// outline.
	tolerance float64
	// full is polled with the number of segments made so far; an error ends
	// the work.
	full func(segments int) error
}

// outline returns the area that the pen covers along p, to be filled under
// the nonzero rule: every place in it is wound around once or more, and always
// clockwise on screen, so that nothing cancels. It is the union of bands
// (what a line of the pen's width across the curve sweeps), join wedges and
// caps (SVG 2, 13.5); neighbouring bands and wedges share their cross lines to
// the last bit, and those are left out where both sides run along.
func (pn pen) outline(p geometry.Path) (geometry.Path, error) {
	s := stroker{pen: pn, half: pn.width / 2}
	for _, c := range p {
		s.contour(c)
		if s.full != nil {
			if err := s.full(s.count); err != nil {
				return nil, err
			}
		}
		if s.err != nil {
			return nil, s.err
		}
	}
	return s.out, nil
}

type stroker struct {
	pen
	half   float64
	out    geometry.Path
	count  int
	pieces int // of cubics, for polling
	err    error
	// left and right are the two sides of the contour in work, both in its
	// direction.
	left, right side
}

// side is one side of a stroke as a run of segments.
type side struct {
	start, at geometry.Point
	segs      []geometry.Segment
	begun     bool
}

func (c *side) to(p geometry.Point) {
	switch {
	case !c.begun:
		c.start, c.at, c.begun = p, p, true
	case p != c.at:
		c.segs = append(c.segs, geometry.LineTo(p))
		c.at = p
	}
}

func (c *side) add(s geometry.Segment) {
	c.segs = append(c.segs, s)
	c.at = s.End
}

// edge is one segment with its unit tangents at both ends.
type edge struct {
	from     geometry.Point
	seg      geometry.Segment
	in, away geometry.Point
}

// edges returns the contour's segments without those of no length. A closed
// contour ends where it starts.
func edges(c geometry.Contour) []edge {
	out := make([]edge, 0, len(c.Segments)+1)
	from := c.Start
	add := func(s geometry.Segment) {
		if e, ok := newEdge(from, s); ok {
			out = append(out, e)
			from = s.End
		}
	}
	for _, s := range c.Segments {
		add(s)
	}
	if c.Closed && from != c.Start {
		add(geometry.LineTo(c.Start))
	}
	return out
}

func newEdge(from geometry.Point, s geometry.Segment) (edge, bool) {
	e := edge{from: from, seg: s}
	if !s.Cubic {
		d, ok := unitVector(s.End.Sub(from))
		e.in, e.away = d, d
		return e, ok
	}
	ok := false
	for _, q := range []geometry.Point{s.C1, s.C2, s.End} {
		if e.in, ok = unitVector(q.Sub(from)); ok {
			break
		}
	}
	if !ok {
		return e, false
	}
	for _, q := range []geometry.Point{s.C2, s.C1, from} {
		if e.away, ok = unitVector(s.End.Sub(q)); ok {
			break
		}
	}
	if straight(from, s) {
		e.seg = geometry.LineTo(s.End)
	}
	return e, ok
}

// straight reports whether a cubic runs along its chord without turning back.
func straight(from geometry.Point, s geometry.Segment) bool {
	d := s.End.Sub(from)
	a, b := s.C1.Sub(from), s.C2.Sub(from)
	if d.Cross(a) != 0 || d.Cross(b) != 0 {
		return false
	}
	n := d.Dot(d)
	ka, kb := d.Dot(a)/n, d.Dot(b)/n
	return n > 0 && ka >= 0 && ka <= 1 && kb >= 0 && kb <= 1
}

func unitVector(d geometry.Point) (geometry.Point, bool) {
	l := d.Len()
	if !(l > 0) || math.IsInf(l, 0) || math.IsInf(1/l, 0) {
		return geometry.Point{}, false
	}
	return geometry.Pt(d.X/l, d.Y/l), true
}

// leftOf returns the normal that points to the left of the direction t, seen
// with y down.
func leftOf(t geometry.Point) geometry.Point { return geometry.Pt(t.Y, -t.X) }

func (s *stroker) contour(c geometry.Contour) {
	es := edges(c)
	if len(es) == 0 {
		if len(c.Segments) > 0 || c.Closed {
			s.dot(c.Start)
		}
		return
	}
	s.left, s.right = side{}, side{}
	for i, e := range es {
		n := leftOf(e.in).Mul(s.half)
		if i > 0 {
			s.corner(e.from, es[i-1].away, e.in)
		}
		s.left.to(e.from.Add(n))
		s.right.to(e.from.Sub(n))
		if e.seg.Cubic {
			s.band(e)
		} else {
			s.left.to(e.seg.End.Add(n))
			s.right.to(e.seg.End.Sub(n))
		}
	}
	first, last := es[0], es[len(es)-1]
	if c.Closed {
		s.corner(first.from, last.away, first.in)
		s.left.to(s.left.start)
		s.right.to(s.right.start)
		s.emit(geometry.Contour{Start: s.left.start, Segments: s.left.segs, Closed: true})
		s.emit(geometry.Path{{Start: s.right.start, Segments: s.right.segs, Closed: true}}.Reverse()[0])
		return
	}
	s.capAt(&s.left, last.seg.End, last.away)
	back := geometry.Path{{Start: s.right.start, Segments: s.right.segs}}.Reverse()[0]
	s.left.to(back.Start)
	for _, seg := range back.Segments {
		s.left.add(seg)
	}
	s.capAt(&s.left, first.from, first.in.Mul(-1))
	s.left.to(s.left.start)
	s.emit(geometry.Contour{Start: s.left.start, Segments: s.left.segs, Closed: true})
}

func (s *stroker) emit(c geometry.Contour) {
	s.out = append(s.out, c)
	s.count += len(c.Segments)
}

// dot draws a subpath of no length: a disc or a square for round and square
// caps, nothing for butt caps (SVG 2, 13.5.4).
func (s *stroker) dot(p geometry.Point) {
	h := s.half
	switch s.cap {
	case capRound:
		s.emit(geometry.Ellipse(p, h, h))
	case capSquare:
		s.emit(geometry.RectXYWH(p.X-h, p.Y-h, 2*h, 2*h).Path()[0])
	}
}

// capAt carries the side on around the end at p; t points out of the stroke.
func (s *stroker) capAt(c *side, p, t geometry.Point) {
	n := leftOf(t).Mul(s.half)
	switch s.cap {
	case capRound:
		arc(c, p, n, math.Pi)
	case capSquare:
		out := t.Mul(s.half)
		c.to(p.Add(n).Add(out))
		c.to(p.Sub(n).Add(out))
	}
	c.to(p.Sub(n))
}

// corner joins two segments that meet at p with directions in and out: a wedge
// on the outer side; on the inner side the way back through p, so that the two
// bands overlap instead of cancelling.
func (s *stroker) corner(p, in, out geometry.Point) {
	turn := math.Atan2(in.Cross(out), in.Dot(out))
	n0, n1 := leftOf(in).Mul(s.half), leftOf(out).Mul(s.half)
	if math.Abs(turn) < 1e-7 {
		s.left.to(p.Add(n1))
		s.right.to(p.Sub(n1))
		return
	}
	outer, inner, sign := &s.left, &s.right, 1.0
	if turn < 0 {
		outer, inner, sign = &s.right, &s.left, -1
	}
	n0, n1 = n0.Mul(sign), n1.Mul(sign)
	switch s.join {
	case joinRound:
		arc(outer, p, n0, turn)
	case joinMiter:
		// Miter length over width is 1/cos(turn/2).
		if c := math.Cos(turn / 2); c > 1e-9 && 1/c <= s.miterLimit {
			outer.to(p.Add(n0.Add(n1).Mul(1 / (2 * c * c))))
		}
	}
	outer.to(p.Add(n1))
	inner.to(p)
	inner.to(p.Sub(n1))
}

// arcStep is the widest turn of one cubic in joins and caps: at 22.5° it
// strays by 7e-8 of the radius (2.7e-4 at 90°, falling with the sixth power).
const arcStep = math.Pi / 8

// arc carries the side on around centre, from centre + radius over turn
// (positive clockwise on screen).
func arc(c *side, centre, radius geometry.Point, turn float64) {
	n := int(math.Ceil(math.Abs(turn)/arcStep - 1e-9))
	if n < 1 {
		n = 1
	}
	step := turn / float64(n)
	k := 4.0 / 3 * math.Tan(step/4)
	c.to(centre.Add(radius))
	at := radius
	for i := 1; i <= n; i++ {
		sin, cos := math.Sincos(step * float64(i))
		next := geometry.Pt(cos*radius.X-sin*radius.Y, sin*radius.X+cos*radius.Y)
		c.add(geometry.CubicTo(
			centre.Add(geometry.Pt(at.X-k*at.Y, at.Y+k*at.X)),
			centre.Add(geometry.Pt(next.X+k*next.Y, next.Y-k*next.X)),
			centre.Add(next)))
		at = next
	}
}
