package svgimport

import (
	"fmt"
	"math"
	"math/big"
)

// Exact arithmetic for tests: 300 bits, ninety decimal digits.

type num = *big.Float

const exactBits = 300

func fresh() num { return new(big.Float).SetPrec(exactBits) }

// exact reads a decimal number.
func exact(s string) num {
	v, ok := fresh().SetString(s)
	if !ok {
		panic(s)
	}
	return v
}

func add(a, b num) num { return fresh().Add(a, b) }
func sub(a, b num) num { return fresh().Sub(a, b) }
func mul(a, b num) num { return fresh().Mul(a, b) }
func div(a, b num) num { return fresh().Quo(a, b) }
func neg(a num) num    { return fresh().Neg(a) }
func whole(v int) num  { return fresh().SetInt64(int64(v)) }

// sinCos sums the Taylor series of a 1024th of the angle and doubles it again.
func sinCos(a num) (sin, cos num) {
	x := div(a, whole(1024))
	x2 := mul(x, x)
	s, c := fresh().Set(x), whole(1)
	ts, tc := fresh().Set(x), whole(1)
	for k := 1; k < 40; k++ {
		tc = div(mul(tc, neg(x2)), whole((2*k-1)*(2*k)))
		ts = div(mul(ts, neg(x2)), whole(2*k*(2*k+1)))
		c, s = add(c, tc), add(s, ts)
	}
	for range 10 {
		s, c = mul(whole(2), mul(s, c)), sub(mul(c, c), mul(s, s))
	}
	return s, c
}

// angleOf is the angle of a vector: the float one, made better three times over,
// each time by the angle that is left, whose sine it nearly is.
func angleOf(y, x num) num {
	fy, _ := y.Float64()
	fx, _ := x.Float64()
	a := fresh().SetFloat64(math.Atan2(fy, fx))
	r := fresh().Sqrt(add(mul(x, x), mul(y, y)))
	for range 5 {
		s, c := sinCos(a)
		a = add(a, div(sub(mul(y, c), mul(x, s)), r))
	}
	return a
}

// exactPi is four times the angle of (1, 1).
var exactPi = mul(whole(4), angleOf(whole(1), whole(1)))

func radians(deg num) num { return div(mul(deg, exactPi), whole(180)) }

type exactPoint struct{ x, y num }

func (p exactPoint) plus(q exactPoint) exactPoint  { return exactPoint{add(p.x, q.x), add(p.y, q.y)} }
func (p exactPoint) minus(q exactPoint) exactPoint { return exactPoint{sub(p.x, q.x), sub(p.y, q.y)} }
func (p exactPoint) times(k num) exactPoint        { return exactPoint{mul(p.x, k), mul(p.y, k)} }
func (p exactPoint) String() string                { return fmt.Sprintf("%.12g,%.12g", p.x, p.y) }

// exactMatrix is SVG's a b c d e f.
type exactMatrix [6]num

func exactIdentity() exactMatrix {
	return exactMatrix{whole(1), whole(0), whole(0), whole(1), whole(0), whole(0)}
}

func (m exactMatrix) mul(n exactMatrix) exactMatrix {
	return exactMatrix{
		add(mul(m[0], n[0]), mul(m[2], n[1])), add(mul(m[1], n[0]), mul(m[3], n[1])),
		add(mul(m[0], n[2]), mul(m[2], n[3])), add(mul(m[1], n[2]), mul(m[3], n[3])),
		add(add(mul(m[0], n[4]), mul(m[2], n[5])), m[4]), add(add(mul(m[1], n[4]), mul(m[3], n[5])), m[5]),
	}
}

func (m exactMatrix) apply(p exactPoint) exactPoint {
	return exactPoint{
		add(add(mul(m[0], p.x), mul(m[2], p.y)), m[4]),
		add(add(mul(m[1], p.x), mul(m[3], p.y)), m[5]),
	}
}

// exactTransform is one function of a transform list.
func exactTransform(name string, args []string) exactMatrix {
	v := make([]num, len(args))
	for i, a := range args {
		v[i] = exact(a)
	}
	m := exactIdentity()
	switch name {
	case "matrix":
		copy(m[:], v)
	case "translate":
		m[4], m[5] = v[0], v[1]
	case "scale":
		m[0], m[3] = v[0], v[1]
	case "rotate":
		s, c := sinCos(radians(v[0]))
		m[0], m[1], m[2], m[3] = c, s, neg(s), c
	case "skewX":
		s, c := sinCos(radians(v[0]))
		m[2] = div(s, c)
	case "skewY":
		s, c := sinCos(radians(v[0]))
		m[1] = div(s, c)
	}
	return m
}

// exactArc returns the control points of an arc in n cubics of equal spans (SVG
// 2, implementation notes B.2.4 and B.2.5): three a cubic.
func exactArc(from exactPoint, rx, ry, turnDeg num, large, sweep bool, to exactPoint, n int) []exactPoint {
	s, c := sinCos(radians(turnDeg))
	half := from.minus(to).times(exact("0.5"))
	x, y := add(mul(c, half.x), mul(s, half.y)), sub(mul(c, half.y), mul(s, half.x))
	rx, ry = fresh().Abs(rx), fresh().Abs(ry)
	if l := add(div(mul(x, x), mul(rx, rx)), div(mul(y, y), mul(ry, ry))); l.Cmp(whole(1)) > 0 {
		k := fresh().Sqrt(l)
		rx, ry = mul(rx, k), mul(ry, k)
	}
	den := add(mul(mul(rx, rx), mul(y, y)), mul(mul(ry, ry), mul(x, x)))
	rest := div(sub(mul(mul(rx, rx), mul(ry, ry)), den), den)
	if rest.Sign() < 0 {
		rest = whole(0)
	}
	k := fresh().Sqrt(rest)
	if large == sweep {
		k = neg(k)
	}
	cx, cy := div(mul(k, mul(rx, y)), ry), neg(div(mul(k, mul(ry, x)), rx))
	first := angleOf(div(sub(y, cy), ry), div(sub(x, cx), rx))
	last := angleOf(div(sub(neg(y), cy), ry), div(sub(neg(x), cx), rx))
	turn := sub(last, first)
	full := mul(whole(2), exactPi)
	if sweep && turn.Sign() < 0 {
		turn = add(turn, full)
	} else if !sweep && turn.Sign() > 0 {
		turn = sub(turn, full)
	}
	mid := from.plus(to).times(exact("0.5"))
	frame := exactMatrix{mul(c, rx), mul(s, rx), neg(mul(s, ry)), mul(c, ry),
		add(mid.x, sub(mul(c, cx), mul(s, cy))), add(mid.y, add(mul(s, cx), mul(c, cy)))}
	return exactUnitArc(frame, first, turn, n)
}

// exactUnitArc is an arc of the unit circle under a frame.
func exactUnitArc(frame exactMatrix, first, turn num, n int) []exactPoint {
	span := div(turn, whole(n))
	qs, qc := sinCos(div(span, whole(4)))
	k := div(mul(whole(4), div(qs, qc)), whole(3))
	at := func(i int) (p, tangent exactPoint) {
		s, c := sinCos(add(first, mul(span, whole(i))))
		return exactPoint{c, s}, exactPoint{neg(s), c}
	}
	var out []exactPoint
	p, t := at(0)
	for i := 1; i <= n; i++ {
		q, u := at(i)
		out = append(out, frame.apply(p.plus(t.times(k))), frame.apply(q.minus(u.times(k))), frame.apply(q))
		p, t = q, u
	}
	return out
}
