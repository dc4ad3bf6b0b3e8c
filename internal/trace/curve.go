package trace

import (
	"math"

	"abut/geometry"
)

// run is a chain whose smooth parts become cubic Béziers.
type run struct {
	c         *chain
	tolerance float64
}

const (
	// widest is the turn that one cubic follows well.
	widest = 125 * math.Pi / 180
	// around is how many points on each side say which way a course runs at one.
	around = 5
)

// curves appends the fewest cubics it finds that follow pieces i to j within the
// tolerance: one for all, else the same for what is before and after the point that
// is furthest off.
func (r *run) curves(dst []geometry.Segment, knots []knot, i, j int) []geometry.Segment {
	a, b := &r.c.fit[i], &r.c.fit[j]
	from, to := knots[i], knots[j+1]
	if i == j && a.r == 0 {
		return append(dst, geometry.LineTo(to.at))
	}
	turns := 0.0
	for k := i; k <= j; k++ {
		turns += math.Abs(r.c.fit[k].sweep())
	}
	if i == j && turns >= widest {
		return append(dst, a.arc(from.at, to.at)...)
	}
	return r.follow(dst, from, to, a.from, b.to, turns)
}

// follow is curves for points lo to hi, which lie between two knots.
func (r *run) follow(dst []geometry.Segment, from, to knot, lo, hi int, turns float64) []geometry.Segment {
	s, worst, off := fitCubic(r.c.points[lo:hi+1], from, to)
	if off <= r.tolerance && turns < widest || hi-lo < 2*around {
		return append(dst, s)
	}
	m := lo + worst
	if turns >= widest {
		m = (lo + hi) / 2
	}
	m = max(lo+around, min(hi-around, m))
	p := pieceOf(r.c.points, m-around, m+around, 1/(r.tolerance*r.tolerance))
	at := p.foot(r.c.points[m])
	mid := knot{at: at, smooth: true, along: p.along(at)}
	share := float64(m-lo) / float64(hi-lo)
	dst = r.follow(dst, from, mid, lo, m, turns*share)
	return r.follow(dst, mid, to, m, hi, turns*(1-share))
}

// sweep is the angle that an arc turns by, above 0 when clockwise on screen.
func (c *piece) sweep() float64 {
	if c.r == 0 {
		return 0
	}
	angle := turn(c.a.Sub(c.centre), c.b.Sub(c.centre))
	if c.bend > 0 && angle < 0 {
		angle += 2 * math.Pi
	} else if c.bend < 0 && angle > 0 {
		angle -= 2 * math.Pi
	}
	return angle
}

// arc is the piece as cubics between two points near its ends.
func (c *piece) arc(from, to geometry.Point) []geometry.Segment {
	before, after := turn(c.a.Sub(c.centre), from.Sub(c.centre)), turn(c.b.Sub(c.centre), to.Sub(c.centre))
	return c.swept(from, to, c.sweep()-before+after)
}

// swept is the way from one point to another about the centre, as cubics: one for a
// right angle at most, which strays from a circle by 0.03 % of its radius.
func (c *piece) swept(from, to geometry.Point, sweep float64) (out []geometry.Segment) {
	u, v := from.Sub(c.centre), to.Sub(c.centre)
	start, r0, r1 := math.Atan2(u.Y, u.X), u.Len(), v.Len()
	n := math.Max(1, math.Ceil(math.Abs(sweep)/(math.Pi/2)-1e-3))
	k := 4.0 / 3 * math.Tan(sweep/n/4)
	at := func(i float64) (p, along geometry.Point) {
		sin, cos := math.Sincos(start + sweep*i/n)
		r := r0 + (r1-r0)*i/n
		return c.centre.Add(geometry.Pt(cos, sin).Mul(r)), geometry.Pt(-sin, cos).Mul(r * k)
	}
	p, d := at(0)
	for i := 1.0; i <= n; i++ {
		q, e := at(i)
		if i == n {
			q = to
		}
		out = append(out, geometry.CubicTo(p.Add(d), q.Sub(e), q))
		p, d = q, e
	}
	return out
}

// fitCubic returns the cubic between two knots that lies nearest to the points, and
// the point that is furthest from it and how far that is: P. J. Schneider, "An
// algorithm for automatically fitting digitized curves", 1990. Where a knot is
// smooth the cubic runs along it, elsewhere as the points have it.
func fitCubic(points []geometry.Point, from, to knot) (s geometry.Segment, worst int, off float64) {
	p0, p1 := from.at, to.at
	chord := p1.Sub(p0).Len()
	if chord < 1e-9 {
		return geometry.LineTo(p1), len(points) / 2, math.Inf(1)
	}
	// Parameters by the length along the points at first.
	at := make([]float64, len(points))
	sum, last := 0.0, p0
	for i, p := range points {
		sum += p.Sub(last).Len()
		at[i], last = sum, p
	}
	sum += p1.Sub(last).Len()
	for i := range at {
		at[i] /= sum
	}
	const rounds = 6
	for round := range rounds {
		s = leastSquares(points, at, from, to, chord)
		if round == rounds-1 {
			break
		}
		for i, p := range points {
			at[i] = closer(s, p0, p, at[i])
		}
	}
	for i, p := range points {
		if at[i] <= 0 || at[i] >= 1 { // it lies beyond a corner that was found without it
			continue
		}
		if d := s.At(p0, at[i]).Sub(p).Len(); d > off {
			worst, off = i, d
		}
	}
	return s, worst, off
}

// leastSquares returns the cubic with the least sum of squared distances between
// points and its points at the given parameters.
func leastSquares(points []geometry.Point, at []float64, from, to knot, chord float64) geometry.Segment {
	p0, p1 := from.at, to.at
	t0, t1 := from.along, to.along
	if !from.smooth || !to.smooth {
		// Both controls free: two systems of two unknowns with one matrix.
		var aa, ab, bb float64
		var ra, rb geometry.Point
		for i, p := range points {
			b0, b1, b2, b3 := bernstein(at[i])
			rest := p.Sub(p0.Mul(b0)).Sub(p1.Mul(b3))
			aa, ab, bb = aa+b1*b1, ab+b1*b2, bb+b2*b2
			ra, rb = ra.Add(rest.Mul(b1)), rb.Add(rest.Mul(b2))
		}
		c1, c2 := p0.Lerp(p1, 1.0/3), p0.Lerp(p1, 2.0/3)
		if det := aa*bb - ab*ab; det > 1e-4*aa*bb {
			c1, c2 = ra.Mul(bb).Sub(rb.Mul(ab)).Mul(1/det), rb.Mul(aa).Sub(ra.Mul(ab)).Mul(1/det)
		}
		if !from.smooth {
			t0 = unit(c1.Sub(p0))
		}
		if !to.smooth {
			t1 = unit(p1.Sub(c2))
		}
	}
	var aa, ab, bb, ra, rb float64
	for i, p := range points {
		b0, b1, b2, b3 := bernstein(at[i])
		va, vb := t0.Mul(b1), t1.Mul(-b2)
		rest := p.Sub(p0.Mul(b0 + b1)).Sub(p1.Mul(b2 + b3))
		aa, ab, bb = aa+va.Dot(va), ab+va.Dot(vb), bb+vb.Dot(vb)
		ra, rb = ra+va.Dot(rest), rb+vb.Dot(rest)
	}
	k, l := chord/3, chord/3
	if det := aa*bb - ab*ab; det > 1e-9*aa*bb {
		k, l = (ra*bb-rb*ab)/det, (rb*aa-ra*ab)/det
	}
	// Handles that point backwards or reach far beyond make loops.
	if !(k > 0.02*chord && k < 2*chord) {
		k = chord / 3
	}
	if !(l > 0.02*chord && l < 2*chord) {
		l = chord / 3
	}
	return geometry.CubicTo(p0.Add(t0.Mul(k)), p1.Sub(t1.Mul(l)), p1)
}

// bernstein returns the weights of the four points of a cubic.
func bernstein(t float64) (b0, b1, b2, b3 float64) {
	u := 1 - t
	return u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
}

// closer improves the parameter of the point of a cubic that is nearest to p.
func closer(s geometry.Segment, from, p geometry.Point, t float64) float64 {
	const h = 1e-3
	a, b, c := s.At(from, t-h), s.At(from, t), s.At(from, t+h)
	d1 := c.Sub(a).Mul(1 / (2 * h))
	d2 := c.Add(a).Sub(b.Mul(2)).Mul(1 / (h * h))
	off := b.Sub(p)
	if den := d1.Dot(d1) + off.Dot(d2); den > 0 {
		t -= off.Dot(d1) / den
	}
	return math.Max(0, math.Min(1, t))
}
