package svgimport

import (
	"math"

	"abut/geometry"
)

// maxDashes bounds the dashes of one path; past it the stroke is drawn solid,
// with a warning.
const maxDashes = 20000

// maxCrowd bounds how many pairs of dashes of one path may lie over each other,
// as those of a wide pen do along a bend: tens of crossings each, of which a
// picture may have four million.
const maxCrowd = 100_000

// crowded reports whether dashes with this pattern are too many for the pen.
func crowded(dashes int, pattern []float64, width float64) bool {
	period := 0.0
	for _, v := range pattern {
		period += v
	}
	return float64(dashes)*width > maxCrowd*period
}

// dash cuts p into its dashes: open contours, each in the direction of p. The
// pattern's lengths are in p's units and repeat; an odd count is doubled. It
// starts anew at every subpath; on a closed subpath a dash that runs over the
// start is one piece. A dash of no length becomes a line far shorter than the
// pattern, so that square caps know its direction; a subpath of no length has
// no dashes. It returns p itself for a pattern of no length, and false when
// there are too many dashes.
func dash(p geometry.Path, pattern []float64, offset float64) (geometry.Path, bool) {
	if len(pattern)%2 == 1 {
		pattern = append(append([]float64{}, pattern...), pattern...)
	}
	total := 0.0
	for _, v := range pattern {
		total += v
	}
	if !(total > 0) || math.IsInf(total, 0) {
		return p, true
	}
	var out geometry.Path
	for _, c := range p {
		ds := dasher{pattern: pattern, dot: 1e-7 * total}
		ds.begin(math.Mod(math.Mod(offset, total)+total, total))
		es := edges(c)
		length := 0.0
		lens := make([]float64, len(es))
		for i, e := range es {
			lens[i] = curveLength(e.from, e.seg, 0, 1)
			length += lens[i]
		}
		if len(es) == 0 {
			continue
		}
		if length/total*float64(len(pattern)) > maxDashes-float64(len(out)) {
			return p, false
		}
		for i, e := range es {
			ds.edge(e, lens[i])
		}
		out = append(out, ds.finish(c.Closed)...)
	}
	return out, true
}

// dasher walks along a subpath with the pattern.
type dasher struct {
	pattern []float64
	i       int     // the entry of the pattern in work; even ones are drawn
	left    float64 // what is left of it
	on      bool    // a dash is open
	cur     geometry.Contour
	out     geometry.Path
	started bool // the subpath began inside a dash
	dot     float64
}

// direction is the unit tangent at t.
func (e edge) direction(t float64) geometry.Point {
	if !e.seg.Cubic {
		return e.in
	}
	b := bander{e: e, p: [4]geometry.Point{e.from, e.seg.C1, e.seg.C2, e.seg.End}}
	return b.tangent(t)
}

func (d *dasher) begin(offset float64) {
	for offset > 0 && offset >= d.pattern[d.i] {
		offset -= d.pattern[d.i]
		d.i = (d.i + 1) % len(d.pattern)
	}
	d.left = d.pattern[d.i] - offset
	d.started = d.i%2 == 0
}

func (d *dasher) edge(e edge, length float64) {
	t, done := 0.0, 0.0
	for {
		rest := length - done
		if d.i%2 == 0 && !d.on {
			d.cur = geometry.Contour{Start: e.seg.At(e.from, t)}
			d.on = true
		}
		if d.left > rest {
			d.draw(e, t, 1)
			d.left -= rest
			return
		}
		done += d.left
		next := curveAt(e.from, e.seg, t, d.left, length)
		d.draw(e, t, next)
		t = next
		if d.on {
			d.out = append(d.out, d.cur)
			d.on = false
		}
		d.i = (d.i + 1) % len(d.pattern)
		d.left = d.pattern[d.i]
	}
}

func (d *dasher) draw(e edge, t0, t1 float64) {
	if !d.on {
		return
	}
	seg := e.seg
	if t0 != 0 || t1 != 1 {
		if t1 > t0 {
			_, seg = e.seg.Sub(e.from, t0, t1)
		} else {
			seg = geometry.LineTo(d.cur.End().Add(e.direction(t0).Mul(d.dot)))
		}
	}
	d.cur.Segments = append(d.cur.Segments, seg)
}

func (d *dasher) finish(closed bool) geometry.Path {
	if d.on {
		if closed && d.started && len(d.out) > 0 {
			first := d.out[0]
			d.cur.Segments = append(d.cur.Segments, first.Segments...)
			d.out[0] = d.cur
			return d.out
		}
		if closed && d.started {
			d.cur.Closed = true // one dash all the way round
		}
		d.out = append(d.out, d.cur)
	}
	return d.out
}

// gauss5 are nodes and weights of five-point Gauss–Legendre quadrature on
// [−1, 1].
var gauss5 = [...][2]float64{
	{0, 0.5688888888888889}, {0.5384693101056831, 0.47862867049936647}, {-0.5384693101056831, 0.47862867049936647},
	{0.9061798459386640, 0.23692688505618908}, {-0.9061798459386640, 0.23692688505618908},
}

// curveLength returns the segment's length between two parameters: quadrature
// on eight parts, good to 1e-9 of the length for curves without a cusp and to
// some 1e-4 with one.
func curveLength(from geometry.Point, s geometry.Segment, t0, t1 float64) float64 {
	if !s.Cubic {
		return s.End.Sub(from).Len() * (t1 - t0)
	}
	b := bander{e: edge{from: from, seg: s}, p: [4]geometry.Point{from, s.C1, s.C2, s.End}}
	const parts = 8
	sum, w := 0.0, (t1-t0)/parts
	for i := 0; i < parts; i++ {
		mid := t0 + w*(float64(i)+0.5)
		for _, g := range gauss5 {
			sum += g[1] * b.d1(mid+g[0]*w/2).Len()
		}
	}
	return sum * w / 2
}

// pathLength is the length of all of a path.
func pathLength(p geometry.Path) float64 {
	sum := 0.0
	for _, c := range p {
		for _, e := range edges(c) {
			sum += curveLength(e.from, e.seg, 0, 1)
		}
	}
	return sum
}

// curveAt returns the parameter that lies l further along than t.
func curveAt(from geometry.Point, s geometry.Segment, t, l, whole float64) float64 {
	if l <= 0 {
		return t
	}
	if !s.Cubic {
		return math.Min(1, t+l/whole)
	}
	lo, hi := t, 1.0
	for i := 0; i < 40; i++ {
		mid := (lo + hi) / 2
		if curveLength(from, s, t, mid) < l {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
