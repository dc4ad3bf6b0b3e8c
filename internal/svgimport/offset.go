package svgimport

import (
	"math"

	"abut/geometry"
)

// A cubic's band is what a line across it sweeps. Where the radius of
// curvature is above half the width, each side of the band is the offset curve
// o(t) = c(t) ± h·n(t), whose derivative is c′(t)·(1 ± hκ(t)): pieces of it are
// fitted by the cubic with the same ends and end derivatives, halved until it
// is near enough. Where the factor is negative the sweep runs backwards on
// that side; the boundary then follows chords of the curve itself and the swept fan is
// added as triangles, each turned the same way, so that nothing cancels.

// maxHalvings bounds the halving of one cubic: at 2⁻¹² of its length a piece
// is far below the tolerance of any curve that fits the canvas.
const maxHalvings = 12

// bandSamples are where the sign of 1 ± hκ is looked at within a piece.
var bandSamples = [...]float64{0.02, 0.25, 0.5, 0.75, 0.98}

func (s *stroker) band(e edge) {
	b := bander{s: s, e: e}
	b.p = [4]geometry.Point{e.from, e.seg.C1, e.seg.C2, e.seg.End}
	b.piece(0, 1, 0)
}

type bander struct {
	s *stroker
	e edge
	p [4]geometry.Point
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
	if l == 0 || r == 0 {
		b.halve(t0, tm, t1, depth)
		return
	}
	ls, lok := b.offset(t0, t1, 1, l)
	rs, rok := b.offset(t0, t1, -1, r)
	if !lok || !rok {
		b.halve(t0, tm, t1, depth)
		return
	}
	b.put(&b.s.left, t0, t1, 1, l, ls)
	b.put(&b.s.right, t0, t1, -1, r, rs)
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
func (b *bander) put(c *side, t0, t1, sign float64, regular int, seg geometry.Segment) {
	n0, n1 := leftOf(b.tangent(t0)).Mul(sign*b.s.half), leftOf(b.tangent(t1)).Mul(sign*b.s.half)
	p0, p1 := b.at(t0), b.at(t1)
	if regular > 0 {
		c.to(p0.Add(n0))
		c.add(seg)
		return
	}
	b.fan(c, t0, t1, sign)
	c.to(p1.Add(n1))
}

// fan adds what one half of the cross line sweeps over a piece where it runs
// backwards: chord by chord, with the chords' sagitta within the tolerance. The
// side follows the same chords, so that no sliver is left between.
func (b *bander) fan(c *side, t0, t1, sign float64) {
	a, z := b.tangent(t0), b.tangent(t1)
	turn := math.Abs(math.Atan2(a.Cross(z), a.Dot(z)))
	n := int(math.Ceil(turn / math.Sqrt(8*b.s.tolerance/b.s.half)))
	n = max(1, min(n, 256))
	p, q := b.at(t0), b.at(t0).Add(leftOf(a).Mul(sign*b.s.half))
	c.to(p)
	for i := 1; i <= n; i++ {
		t := t0 + (t1-t0)*float64(i)/float64(n)
		if i == n {
			t = t1
		}
		p2 := b.at(t)
		q2 := p2.Add(leftOf(b.tangent(t)).Mul(sign * b.s.half))
		b.s.quad(p, p2, q2, q)
		c.to(p2)
		p, q = p2, q2
	}
}

// turnAt is a piece too small to look at closely: the cross line moves from
// one end to the other and turns, on both sides.
func (b *bander) turnAt(p0, p1, a, z geometry.Point) {
	h := b.s.half
	turn := math.Atan2(a.Cross(z), a.Dot(z))
	for _, sign := range [...]float64{1, -1} {
		c := &b.s.left
		if sign < 0 {
			c = &b.s.right
		}
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
