package weak

import (
	"cmp"
	"math"

	"abut/geometry"
)

// place is a place on the walk around an outline: so far along a side and, at its
// end, where a corner points inwards, so far through the turn to the next side, in
// radians.
type place struct {
	side    int32
	x, turn float64
}

// compare orders places as the walk passes them.
func (p place) compare(q place) int {
	return cmp.Or(cmp.Compare(p.side, q.side), cmp.Compare(p.x, q.x), cmp.Compare(p.turn, q.turn))
}

// asked names a place as discs asks for it: a sample of a side, or after these a
// normal of the corner at its end.
type asked struct{ side, at int32 }

// change is where, between two places that were asked one after the other, the walk
// comes to discs smaller than half the width, or leaves them.
type change struct {
	from, to asked
	starts   bool
}

// placeOf returns the place that was asked.
func (g *grid) placeOf(a asked, l *lengths) place {
	s := &g.sides[a.side]
	n, k := s.length(), int32(l.samples(s))
	if a.at < k {
		return place{a.side, n * sampleAt(int(a.at), int(k)), 0}
	}
	turn := g.turning(a.side)
	return place{a.side, n, fanned(turn, int(a.at-k))}
}

// after returns the place that is asked after another one, and ahead the one before.
func (g *grid) after(at place, l *lengths) place {
	s := &g.sides[at.side]
	k := l.samples(s)
	if j := int(math.Floor(at.x/s.length()*float64(k) + 0.5)); at.turn == 0 && j < k {
		return g.placeOf(asked{at.side, int32(j)}, l)
	}
	turn := g.turning(at.side)
	for j := 0; turn > at.turn && j < fan(turn); j++ {
		if next := fanned(turn, j); next > at.turn {
			return place{at.side, s.length(), next}
		}
	}
	return g.placeOf(asked{s.next, 0}, l)
}

func (g *grid) ahead(at place, l *lengths) place {
	s := &g.sides[at.side]
	k := l.samples(s)
	if at.turn > 0 {
		turn := g.turning(at.side)
		for j := fan(turn) - 1; j >= 0; j-- {
			if before := fanned(turn, j); before < at.turn {
				return place{at.side, s.length(), before}
			}
		}
	}
	if j := int(math.Ceil(at.x/s.length()*float64(k)-0.5)) - 1; j >= 0 {
		return g.placeOf(asked{at.side, int32(j)}, l)
	}
	before := g.previous(at.side)
	if turn := g.turning(before); turn > 0 {
		return place{before, g.sides[before].length(), fanned(turn, fan(turn)-1)}
	}
	return g.placeOf(asked{before, int32(l.samples(&g.sides[before]) - 1)}, l)
}

// stand returns where a place is, and the normal there.
func (g *grid) stand(at place) (p, n geometry.Point) {
	s := &g.sides[at.side]
	n = s.inward()
	if at.turn > 0 {
		return s.b, turnedBy(n, at.turn)
	}
	return s.a.Lerp(s.b, at.x/s.length()), n
}

// touched returns the place in which a disc around c touches side t, in q.
func (g *grid) touched(t int32, q, c geometry.Point) place {
	wall := &g.sides[t]
	corner := t
	switch q {
	case wall.a:
		corner = g.previous(t)
	case wall.b:
	default:
		return place{t, q.Sub(wall.a).Len(), 0}
	}
	s := &g.sides[corner]
	turn := g.turning(corner)
	if turn <= 0 {
		return place{t, q.Sub(wall.a).Len(), 0}
	}
	n, v := s.inward(), c.Sub(s.b)
	return place{corner, s.length(), max(0, min(turn, -math.Atan2(n.Cross(v), n.Dot(v))))}
}

// previous returns the side that ends where t begins.
func (g *grid) previous(t int32) int32 {
	if t > 0 && g.sides[t-1].next == t {
		return t - 1
	}
	for g.sides[t].next == t+1 { // the contour's first side: its last one is sought
		t++
	}
	return t
}

// end is where a bank begins or ends: there the largest disc is just half as large
// as the width, touches the outline in p, and side t in q.
type end struct {
	at      place
	p, q, c geometry.Point
	t       int32
	starts  bool
	// mate is the end across, which the same disc touches; −1 while there is none.
	mate int32
	bank int32 // that starts here
}

// endOf returns the end of a bank that a change is.
func (g *grid) endOf(c change, l *lengths) end {
	return g.endBetween(g.placeOf(c.from, l), g.placeOf(c.to, l), c.starts, l)
}

// endBetween returns the start or the stop of a bank between two places that follow
// each other.
func (g *grid) endBetween(from, to place, starts bool, l *lengths) end {
	thick, thin := from, to
	if !starts {
		thick, thin = to, from
	}
	at, t := g.limit(from, to, thick, thin, l)
	p, n := g.stand(at)
	e := end{at: at, p: p, c: p.Add(n.Mul(l.thin)), t: t, starts: starts, mate: -1}
	if t >= 0 {
		e.q = g.sides[t].nearest(e.c)
	}
	return e
}

// limit looks for the place between two neighbouring ones at which the largest disc
// is half as large as the width, and the side that it touches there.
func (g *grid) limit(from, to, thick, thin place, l *lengths) (place, int32) {
	first, second := place{from.side, g.sides[from.side].length(), 0}, place{side: to.side}
	turn := g.turning(from.side)
	if from.side == to.side && (from.turn > 0 || to.turn == 0) {
		return g.root(thick, thin, g.touches(thin, l), -1, l)
	}
	if turn > 0 {
		// The turn's first normal is the side's own, its last one the next side's.
		before, after := first, first
		if from.side != to.side {
			before.turn, after = turn, second
		}
		_, ok := g.disc(before, l)
		switch {
		case ok && thin == to:
			thin = before
		case !ok && thick == to:
			thick = before
		case ok:
			thin = after
		default:
			thick = after
		}
		return g.root(thick, thin, g.touches(thin, l), -1, l)
	}
	// The two sides of a corner touch each other's discs there, however small its
	// turn. What matters is what touches them from elsewhere, if anything does.
	tiny := 1.01 * l.thin * math.Tan(-turn/2)
	step, near := thin, first
	if thin == to {
		step.x = min(thin.x, tiny)
	} else {
		step.x, near = max(thin.x, first.x-tiny), second
	}
	d, ok := g.disc(step, l)
	if !ok {
		return g.root(step, thin, g.touches(thin, l), -1, l)
	}
	if d.t == near.side {
		return g.root(thick, near, thin.side, -1, l)
	}
	return g.root(thick, near, d.t, thin.side, l)
}

// disc returns the disc at a place, as discs finds it, and whether it is smaller than
// half the width.
func (g *grid) disc(at place, l *lengths) (disc, bool) { return g.discBelow(at, l.thin, l) }

func (g *grid) discBelow(at place, most float64, l *lengths) (disc, bool) {
	p, n := g.stand(at)
	if !g.gather(around(p, n, most), at.side, &g.nearby) {
		return g.shrink(p, n, at.side, most, most, l)
	}
	but := int32(-1)
	if at.turn > 0 {
		but = g.sides[at.side].next
	}
	g.nearby.faceFrom(g, p, but, l)
	d := disc{s: at.side}
	d.r, d.t = g.nearby.leastAt(n, most, l)
	d.c = p.Add(n.Mul(d.r))
	return d, d.t >= 0
}

// touches returns the side that the disc at a thin place touches. One that is smaller
// than half the width by next to nothing is found too.
func (g *grid) touches(at place, l *lengths) int32 {
	d, _ := g.discBelow(at, l.thin+10*l.close, l)
	return d.t
}

// root returns where between two places discs that touch side t, or one that is
// nearer, become half as large as the width, and that side: −1 if none is touched.
// Side skip, if it is not t, does not count.
func (g *grid) root(thick, thin place, t, skip int32, l *lengths) (place, int32) {
	for range 16 { // so many walls do not take turns within a sample
		lo, hi := thick, thin
		if t < 0 || g.reach(hi, t) >= l.thin {
			return hi, t
		}
		for range 24 {
			mid := place{hi.side, (lo.x + hi.x) / 2, (lo.turn + hi.turn) / 2}
			if g.reach(mid, t) < l.thin {
				hi = mid
			} else {
				lo = mid
			}
		}
		d, ok := g.disc(lo, l)
		if !ok || d.t == t || d.t == skip {
			return lo, t
		}
		thin, t = lo, d.t
	}
	return thin, t
}

// reach returns the radius of the disc that touches the outline at a place and side
// t, infinite when there is none.
func (g *grid) reach(at place, t int32) float64 {
	p, n := g.stand(at)
	return g.tangent(p, n, t)
}
