package svgimport

import (
	"math"
	"slices"

	"abut/geometry"
)

// A cubic's band is what a line across it sweeps. Where the radius of
// curvature is above half the width, each side of the band is the offset curve
// o(t) = c(t) ± h·n(t), whose derivative is c′(t)·(1 ± hκ(t)): pieces of it are
// fitted by the cubic with the same ends and end derivatives, halved until it
// is near enough. Where the factor is negative the sweep runs backwards on
// that side: neighbouring cross lines cross there, and what lies beyond is swept as a
// fan. The boundary then follows where they cross, and the fan is a contour of
// its own, turned like all others, so that nothing cancels.

// maxHalvings bounds the halving of one cubic: at 2⁻¹² of its length a piece
// is far below the tolerance of any curve that fits the canvas.
const maxHalvings = 12

// bandSamples are where the sign of 1 ± hκ is looked at within a piece.
var bandSamples = [...]float64{0.02, 0.25, 0.5, 0.75, 0.98}

func (s *stroker) band(e edge) {
	b := bander{s: s, e: e}
	b.p = [4]geometry.Point{e.from, e.seg.C1, e.seg.C2, e.seg.End}
	b.piece(0, 1, 0)
	n := leftOf(e.away).Mul(s.half)
	b.fans[0].end(s)
	s.left.to(e.seg.End.Add(n))
	b.fans[1].end(s)
	s.right.to(e.seg.End.Sub(n))
}

type bander struct {
	s    *stroker
	e    edge
	p    [4]geometry.Point
	fans [2]fan // what the left and the right half of the cross line sweep backwards
}

// sideOf returns the side that lies so: +1 is left, −1 right.
func (b *bander) sideOf(sign float64) (*side, *fan) {
	if sign > 0 {
		return &b.s.left, &b.fans[0]
	}
	return &b.s.right, &b.fans[1]
}

func (b *bander) at(t float64) geometry.Point {
	switch t {
	case 0:
		return b.p[0]
	case 1:
		return b.p[3]
	}
	return b.e.seg.At(b.p[0], t)
}

func (b *bander) d1(t float64) geometry.Point {
	u := 1 - t
	return b.p[1].Sub(b.p[0]).Mul(3 * u * u).Add(b.p[2].Sub(b.p[1]).Mul(6 * u * t)).Add(b.p[3].Sub(b.p[2]).Mul(3 * t * t))
}

func (b *bander) d2(t float64) geometry.Point {
	a := b.p[2].Sub(b.p[1].Mul(2)).Add(b.p[0])
	c := b.p[3].Sub(b.p[2].Mul(2)).Add(b.p[1])
	return a.Lerp(c, t).Mul(6)
}

// tangent is the unit tangent; at a point where the derivative vanishes, that
// of a point nearby.
func (b *bander) tangent(t float64) geometry.Point {
	switch t {
	case 0:
		return b.e.in
	case 1:
		return b.e.away
	}
	if v, ok := unitVector(b.d1(t)); ok {
		return v
	}
	if v, ok := unitVector(b.d1(t + 1e-6)); ok {
		return v
	}
	return b.e.away
}

// factor returns 1 ± hκ for the left (sign +1) and right side (−1).
func (b *bander) factor(t, sign float64) float64 {
	d := b.d1(t)
	l := d.Len()
	k := d.Cross(b.d2(t)) / (l * l * l)
	f := 1 + sign*b.s.half*k
	if math.IsNaN(f) {
		return 1
	}
	return f
}

// regular reports the sign of the factor over the piece: +1, −1, or 0 when it
// changes.
func (b *bander) regular(t0, t1, sign float64) int {
	pos, neg := false, false
	for _, u := range bandSamples {
		if b.factor(t0+(t1-t0)*u, sign) > 0 {
			pos = true
		} else {
			neg = true
		}
	}
	switch {
	case pos && neg:
		return 0
	case neg:
		return -1
	}
	return 1
}

func (b *bander) piece(t0, t1 float64, depth int) {
	if b.s.err != nil {
		return
	}
	if b.s.pieces++; b.s.pieces&0xff == 0 && b.s.full != nil {
		if b.s.err = b.s.full(b.s.count + len(b.s.left.segs) + len(b.s.right.segs)); b.s.err != nil {
			return
		}
	}
	p0, p1 := b.at(t0), b.at(t1)
	tm := (t0 + t1) / 2
	a, m, z := b.tangent(t0), b.tangent(tm), b.tangent(t1)
	small := depth >= maxHalvings || b.size(t0, t1) < b.s.tolerance/8
	const wide = 0.70710678 // cos 45°
	if !small && (a.Dot(m) < wide || m.Dot(z) < wide) {
		b.halve(t0, tm, t1, depth)
		return
	}
	if small {
		b.turnAt(p0, p1, a, z)
		return
	}
	l, r := b.regular(t0, t1, 1), b.regular(t0, t1, -1)
	switch {
	case l == 0:
		b.halve(t0, b.turns(t0, t1, 1), t1, depth)
		return
	case r == 0:
		b.halve(t0, b.turns(t0, t1, -1), t1, depth)
		return
	}
	ls, lok := b.offset(t0, t1, 1, l)
	rs, rok := b.offset(t0, t1, -1, r)
	if !lok || !rok {
		b.halve(t0, tm, t1, depth)
		return
	}
	b.put(t0, t1, 1, l, ls)
	b.put(t0, t1, -1, r, rs)
}

// turns returns where the factor changes its sign within a piece, near the first place where
// that is seen: what is cut there needs no further halving for it.
func (b *bander) turns(t0, t1, sign float64) float64 {
	at := func(i int) float64 { return t0 + (t1-t0)*bandSamples[i] }
	i, first := 1, b.factor(at(0), sign) > 0
	for b.factor(at(i), sign) > 0 == first {
		i++
	}
	lo, hi := at(i-1), at(i)
	for range 40 { // to a trillionth
		if mid := (lo + hi) / 2; b.factor(mid, sign) > 0 == first {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

func (b *bander) halve(t0, tm, t1 float64, depth int) {
	b.piece(t0, tm, depth+1)
	b.piece(tm, t1, depth+1)
}

// size is an upper estimate of the piece's length.
func (b *bander) size(t0, t1 float64) float64 {
	_, seg := b.e.seg.Sub(b.p[0], t0, t1)
	p := b.at(t0)
	return seg.C1.Sub(p).Len() + seg.C2.Sub(seg.C1).Len() + seg.End.Sub(seg.C2).Len()
}

// offset fits one side of a regular piece, false when it strays too far. For
// a backward piece there is nothing to fit.
func (b *bander) offset(t0, t1, sign float64, regular int) (geometry.Segment, bool) {
	if regular < 0 {
		return geometry.Segment{}, true
	}
	h := sign * b.s.half
	o := func(t float64) geometry.Point { return b.at(t).Add(leftOf(b.tangent(t)).Mul(h)) }
	k := (t1 - t0) / 3
	slope := func(t, nudge float64) geometry.Point {
		d := b.d1(t)
		if d.Len() < 1e-9*b.size(0, 1) { // the derivative vanishes: its limit, from inside
			t += nudge
			d = b.d1(t)
		}
		return d.Mul(b.factor(t, sign) * k)
	}
	from, end := o(t0), o(t1)
	eps := (t1 - t0) * 1e-3
	seg := geometry.CubicTo(from.Add(slope(t0, eps)), end.Sub(slope(t1, -eps)), end)
	for _, u := range [...]float64{0.25, 0.5, 0.75} {
		d := seg.At(from, u).Sub(o(t0 + (t1-t0)*u)).Len()
		if !(d <= b.s.tolerance) {
			return seg, false
		}
	}
	return seg, true
}

// put adds one side of a piece.
func (b *bander) put(t0, t1, sign float64, regular int, seg geometry.Segment) {
	c, f := b.sideOf(sign)
	if regular > 0 {
		f.end(b.s)
		c.to(b.at(t0).Add(leftOf(b.tangent(t0)).Mul(sign * b.s.half)))
		c.add(seg)
		return
	}
	b.sweep(c, f, t0, t1, sign)
}

// sweep adds what one half of the cross line sweeps over a piece where it runs
// backwards: chord by chord, with the chords' sagitta within the tolerance.
func (b *bander) sweep(c *side, f *fan, t0, t1, sign float64) {
	a, z := b.tangent(t0), b.tangent(t1)
	turn := math.Abs(math.Atan2(a.Cross(z), a.Dot(z)))
	n := int(math.Ceil(turn / math.Sqrt(8*b.s.tolerance/b.s.half)))
	n = max(1, min(n, 256))
	p, q := b.at(t0), b.at(t0).Add(leftOf(a).Mul(sign*b.s.half))
	for i := 1; i <= n; i++ {
		t := t0 + (t1-t0)*float64(i)/float64(n)
		if i == n {
			t = t1
		}
		p2 := b.at(t)
		q2 := p2.Add(leftOf(b.tangent(t)).Mul(sign * b.s.half))
		f.step(b.s, c, p, p2, q2, q)
		p, q = p2, q2
	}
}

// fan is what is swept beyond where neighbouring cross lines cross. Each step from one
// cross line to the next sweeps two triangles that touch there. One lies along the
// curve: if the side ran along the curve, the triangle would be added beside it, and what it has in common with the
// side would cancel, so the side goes from crossing to crossing at once. The other triangles share
// cross lines too, and all of them are one contour, wound around as often as its
// triangles are.
type fan struct {
	near, far []geometry.Point // where cross lines cross; their ends, one more
	turn      float64          // the sign of how they turn
}

// step carries a side on from the cross line p–q to p2–q2. The side is somewhere on the one, and
// comes to be on the other.
func (f *fan) step(s *stroker, c *side, p, p2, q2, q geometry.Point) {
	u, v := q.Sub(p), q2.Sub(p2)
	den := u.Cross(v)
	w := p2.Sub(p)
	t, r := w.Cross(v)/den, w.Cross(u)/den
	if !(t > 0 && t < 1 && r > 0 && r < 1) { // not a number where they are parallel
		f.end(s)
		c.to(p)
		c.to(p2)
		s.emitClockwise(geometry.Polygon(p, p2, q2, q))
		return
	}
	if den*f.turn <= 0 {
		f.end(s)
		f.turn, f.far = den, append(f.far, q)
	}
	x := p.Add(u.Mul(t))
	c.to(x)
	f.near, f.far = append(f.near, x), append(f.far, q2)
}

// end adds the fan, if there is any.
func (f *fan) end(s *stroker) {
	if len(f.near) > 0 {
		slices.Reverse(f.far)
		s.emitClockwise(geometry.Polygon(append(f.near, f.far...)...))
	}
	*f = fan{near: f.near[:0], far: f.far[:0]}
}

// turnAt is a piece too small to look at closely: the cross line moves from
// one end to the other and turns, on both sides.
func (b *bander) turnAt(p0, p1, a, z geometry.Point) {
	h := b.s.half
	turn := math.Atan2(a.Cross(z), a.Dot(z))
	for _, sign := range [...]float64{1, -1} {
		c, f := b.sideOf(sign)
		f.end(b.s)
		n0, n1 := leftOf(a).Mul(sign*h), leftOf(z).Mul(sign*h)
		c.to(p0)
		c.to(p1)
		c.to(p1.Add(n1))
		b.s.quad(p0, p1, p1.Add(n0), p0.Add(n0))
		if turn != 0 {
			w := side{}
			w.to(p1)
			arc(&w, p1, n0, turn)
			w.to(p1.Add(n1))
			w.to(p1)
			b.s.emitClockwise(geometry.Contour{Start: w.start, Segments: w.segs, Closed: true})
		}
	}
}

// quad adds the area between a–b and d–c: a quadrilateral, or the two
// triangles of a bow-tie.
func (s *stroker) quad(a, b, c, d geometry.Point) {
	// The bow-tie: cross lines a–d and b–c cross.
	u, v := d.Sub(a), c.Sub(b)
	if den := u.Cross(v); den != 0 {
		w := b.Sub(a)
		t, r := w.Cross(v)/den, w.Cross(u)/den
		if t > 0 && t < 1 && r > 0 && r < 1 {
			x := a.Add(u.Mul(t))
			s.emitClockwise(geometry.Polygon(a, b, x))
			s.emitClockwise(geometry.Polygon(x, c, d))
			return
		}
	}
	s.emitClockwise(geometry.Polygon(a, b, c, d))
}

// emitClockwise adds a simple contour, turned so that it runs like all others.
func (s *stroker) emitClockwise(c geometry.Contour) {
	p := geometry.Path{c}
	a := p.SignedArea()
	if a == 0 {
		return
	}
	if a < 0 {
		p = p.Reverse()
	}
	s.emit(p[0])
}
