package weak

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// bank is a stretch of the outline along which all discs are smaller than half the
// width: from one end to another, or all of a contour.
type bank struct {
	from, to    place
	start, stop int32 // ends, −1 for all of a contour
	part        int32 // a bank of the same part; itself for one of them
}

// wraps reports whether the bank goes on where its contour begins.
func (k *bank) wraps() bool { return k.from.compare(k.to) > 0 }

// banked are the banks of a shape. Two ends that the same disc touches lie across
// from each other: between them what is thin goes over into what is sturdy.
//
// So thin parts need no map: the border of one leads along a bank to its stop, across
// to where another one starts, and on, until it is back. The largest disc at a place
// and its centre are continuous along the walk (Blum, 1967), so each end has one
// across; samples may have missed it.
type banked struct {
	grid     *grid
	contour  []int32 // of each side
	contours []contour
	ends     []end
	banks    []bank
}

// contour is the first and the last side of one, and its banks.
type contour struct {
	first, last int32
	banks       span
}

// newBanked finds the banks of a shape; false when they cannot be told apart: where
// something is just as broad as the width, or walls meet in a pinch.
func (s *shape) newBanked(l *lengths) (*banked, bool) {
	if len(s.pinched) > 0 {
		return nil, false
	}
	b := &banked{grid: s.grid, contour: make([]int32, len(s.grid.sides)), ends: make([]end, len(s.changes), len(s.changes)+len(s.changes)/4)}
	b.findContours()
	for i, c := range s.changes {
		if b.ends[i] = s.grid.endOf(c, l); b.ends[i].t < 0 {
			return nil, false
		}
	}
	b.pair(l)
	for i := range s.changes {
		b.across(int32(i))
	}
	if !b.listAll(s, l) {
		return nil, false
	}
	b.join(s.discs, l)
	return b, true
}

// findContours tells the contours of sides apart.
func (b *banked) findContours() {
	first := int32(0)
	for i := range b.grid.sides {
		b.contour[i] = int32(len(b.contours))
		if b.grid.sides[i].next <= int32(i) {
			b.contours = append(b.contours, contour{first: first, last: int32(i)})
			first = int32(i + 1)
		}
	}
}

// listAll makes banks of the ends and of those that are found beside them; false when they
// cannot be told apart.
func (b *banked) listAll(s *shape, l *lengths) bool {
	good, seen := -1, len(s.changes) // ends that make banks, and those that were looked beside
	for range mostMissed {
		missed, ok := b.list(s.whole)
		if !ok {
			if int(missed) < len(s.changes) || !b.beyond(missed, l) {
				break
			}
			continue
		}
		good = len(b.ends)
		for ; seen < good && len(b.ends) == good; seen++ {
			if b.unheld(int32(seen), l) {
				b.beyond(int32(seen), l)
			}
		}
		if len(b.ends) == good {
			break
		}
	}
	if good >= 0 && good < len(b.ends) {
		b.ends = b.ends[:good]
		b.list(s.whole)
	}
	return good >= 0
}

// mostMissed bounds how often a shape is searched for sturdy places between two
// samples. There are one or two in a picture of thousands of corners; along a curve just
// as broad as the width there is one at each, where it may be found or not.
const mostMissed = 16

// across adds the end that lies across from one that no change was found for.
func (b *banked) across(i int32) {
	if e := b.ends[i]; e.mate < 0 {
		b.ends[i].mate = int32(len(b.ends))
		b.ends = append(b.ends, end{
			at: b.grid.touched(e.t, e.q, e.c), p: e.q, q: e.p, c: e.c, t: e.at.side, starts: !e.starts, mate: i,
		})
	}
}

// beyond adds the other end of a sturdy stretch that begins at end i and lies between
// two samples, as where three walls touch one disc; false when it is not found.
func (b *banked) beyond(i int32, l *lengths) bool {
	from := b.ends[i].at
	thin := b.beside(i, l)
	to := thin
	if b.ends[i].starts {
		from, to = thin, from
	}
	if _, ok := b.grid.disc(thin, l); !ok {
		return false
	}
	e := b.grid.endBetween(from, to, !b.ends[i].starts, l)
	if e.t < 0 {
		return false
	}
	b.ends = append(b.ends, e)
	b.across(int32(len(b.ends) - 1))
	return true
}

// beside returns the place next to an end, on its sturdy side, that was asked.
func (b *banked) beside(i int32, l *lengths) place {
	if e := &b.ends[i]; e.starts {
		return b.grid.ahead(e.at, l)
	}
	return b.grid.after(b.ends[i].at, l)
}

// unheld reports whether it is thin beside an end that no change was found for, although
// no bank is there: where two sturdy stretches that lie between samples follow each other.
func (b *banked) unheld(i int32, l *lengths) bool {
	at := b.beside(i, l)
	if b.holder(at) >= 0 {
		return false
	}
	_, thin := b.grid.disc(at, l)
	return thin
}

// pair finds the ends that lie across from each other: each the nearest of the other among those that the same disc
// touches. That is so to within a ten-thousandth of the width; along sides shorter than a sample those of another one are
// next. A disc touches more than two walls at times, so that what it touches may lie further apart.
func (b *banked) pair(l *lengths) {
	var starts, stops []int32
	for i := range b.ends {
		if b.ends[i].starts {
			starts = append(starts, int32(i))
		} else {
			stops = append(stops, int32(i))
		}
	}
	byX := func(i, k int32) int { return cmp.Compare(b.ends[i].c.X, b.ends[k].c.X) }
	slices.SortFunc(starts, byX)
	slices.SortFunc(stops, byX)
	near := l.sample / 1000
	nearest := func(e *end, among []int32) int32 {
		best, least := int32(-1), l.sample
		i, _ := slices.BinarySearchFunc(among, e.c.X-near, func(k int32, x float64) int { return cmp.Compare(b.ends[k].c.X, x) })
		for ; i < len(among) && b.ends[among[i]].c.X <= e.c.X+near; i++ {
			f := &b.ends[among[i]]
			if math.Abs(f.c.Y-e.c.Y) > near {
				continue
			}
			if d := e.q.Sub(f.p).Len() + f.q.Sub(e.p).Len(); d < least {
				best, least = among[i], d
			}
		}
		return best
	}
	of := make([]int32, len(b.ends))
	for _, i := range starts {
		of[i] = nearest(&b.ends[i], stops)
	}
	for _, i := range stops {
		if k := nearest(&b.ends[i], starts); k >= 0 && of[k] == i {
			b.ends[i].mate, b.ends[k].mate = k, i
		}
	}
}

// list makes banks of the ends, in the order of the walk. When not every start is
// followed by a stop it returns one that goes on, the last that was added if it can.
func (b *banked) list(whole []int32) (missed int32, ok bool) {
	b.banks = b.banks[:0]
	order := make([]int32, len(b.ends))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, k int32) int { return b.ends[i].at.compare(b.ends[k].at) })
	for c := range b.contours {
		k := &b.contours[c]
		k.banks.lo = len(b.banks)
		n := 0
		for n < len(order) && b.ends[order[n]].at.side <= k.last {
			n++
		}
		of := order[:n]
		order = order[n:]
		if len(whole) > 0 && whole[0] == k.first {
			whole = whole[1:]
			if n == 0 {
				b.banks = append(b.banks, bank{from: place{side: k.first}, to: place{k.last, b.grid.sides[k.last].length(), math.Pi}, start: -1, stop: -1})
			}
		}
		for i, id := range of {
			next := of[(i+1)%n]
			if b.ends[id].starts == b.ends[next].starts {
				return max(id, next), false
			}
			if b.ends[id].starts {
				b.ends[id].bank = int32(len(b.banks))
				b.banks = append(b.banks, bank{from: b.ends[id].at, to: b.ends[next].at, start: id, stop: next})
			}
		}
		k.banks.hi = len(b.banks)
	}
	return -1, true
}

// holder returns the bank that a place lies in, −1 if none.
func (b *banked) holder(at place) int32 {
	c := b.contours[b.contour[at.side]].banks
	all := b.banks[c.lo:c.hi]
	if len(all) == 0 {
		return -1
	}
	i, found := slices.BinarySearchFunc(all, at, func(k bank, at place) int { return k.from.compare(at) })
	if !found {
		i--
	}
	if i >= 0 && (all[i].wraps() || at.compare(all[i].to) <= 0) {
		return int32(c.lo + i)
	}
	if last := len(all) - 1; i < 0 && all[last].wraps() && at.compare(all[last].to) <= 0 {
		return int32(c.lo + last)
	}
	return -1
}

// join makes one part of banks that lie across from each other: at their ends, or
// where a disc of a thin place touches both.
func (b *banked) join(discs []disc, l *lengths) {
	for i := range b.banks {
		b.banks[i].part = int32(i)
	}
	for i := range b.banks {
		k := &b.banks[i]
		if k.stop >= 0 {
			b.unite(int32(i), b.ends[b.ends[k.stop].mate].bank)
		}
		for _, r := range b.discsOf(k, discs, l) {
			for j := r.lo; j < r.hi; j++ {
				d := &discs[j]
				if other := b.holder(b.grid.touched(d.t, b.grid.sides[d.t].nearest(d.c), d.c)); other >= 0 {
					b.unite(int32(i), other)
				}
			}
		}
	}
}

func (b *banked) partOf(i int32) int32 {
	for b.banks[i].part != i {
		b.banks[i].part = b.banks[b.banks[i].part].part
		i = b.banks[i].part
	}
	return i
}

func (b *banked) unite(i, k int32) {
	i, k = b.partOf(i), b.partOf(k)
	b.banks[max(i, k)].part = min(i, k)
}

// discsOf returns which of a list of discs, in the order of the walk, touch the
// outline along a bank.
func (b *banked) discsOf(k *bank, discs []disc, l *lengths) []span {
	from := func(at place) int {
		i, _ := slices.BinarySearchFunc(discs, at, func(d disc, at place) int {
			if d.s != at.side {
				return cmp.Compare(d.s, at.side)
			}
			return b.grid.placeOf(asked{d.s, d.at}, l).compare(at)
		})
		return i
	}
	if !k.wraps() {
		return []span{{from(k.from), from(k.to)}}
	}
	c := b.contours[b.contour[k.from.side]]
	return []span{{from(k.from), from(place{side: c.last + 1})}, {from(place{side: c.first}), from(k.to)}}
}

// follow goes along a bank, stretch by stretch of its sides.
func (b *banked) follow(k *bank, do func(side int32, from, to geometry.Point)) {
	g := b.grid
	at, stop := g.sides[k.from.side].a, g.sides[k.to.side].b
	if k.start >= 0 {
		at, stop = b.ends[k.start].p, b.ends[k.stop].p
	}
	for i, begun := k.from.side, false; ; i, begun = g.sides[i].next, true {
		to, last := g.sides[i].b, i == k.to.side && (begun || !k.wraps())
		if last {
			to = stop
		}
		if at != to {
			do(i, at, to)
		}
		if at = to; last {
			return
		}
	}
}

// bend returns the way across from a stop to the end across of it, without the two:
// none where the disc touches as in a thin place, and the way is straight. Where a
// part opens at a blunter angle it ends along the disc itself, unless that reaches
// over the middle of what is thin, as at a short waist.
func (s *shape) bend(e *end, thin *middles, l *lengths) []geometry.Point {
	u, v := e.p.Sub(e.c), s.banked.ends[e.mate].p.Sub(e.c)
	angle := math.Atan2(u.Cross(v), u.Dot(v))
	if u.Dot(v) <= facing*u.Len()*v.Len() || angle >= 0 {
		return nil
	}
	if thin.near(e.c) {
		return nil
	}
	out := appendArc(nil, e.c, u, v, -l.thin, l.sagitta)
	return out[:len(out)-1]
}

// middles are the centres of discs, filed by square cells when it is first asked what is near: the ground between thousands of
// dots is one thin part with as many ends.
type middles struct {
	discs  []disc
	within float64 // how near they are, and as large cells are
	filed  map[[2]int32][]int32
}

// fewMiddles is how many are looked at one after the other: filing them takes about as long.
const fewMiddles = 64

// near reports whether one of them is nearer to a place than within.
func (m *middles) near(at geometry.Point) bool {
	is := func(d *disc) bool { v := d.c.Sub(at); return v.Dot(v) < m.within*m.within }
	if len(m.discs) <= fewMiddles {
		return slices.ContainsFunc(m.discs, func(d disc) bool { return is(&d) })
	}
	if m.filed == nil {
		m.filed = map[[2]int32][]int32{}
		for i := range m.discs {
			c := m.cell(m.discs[i].c)
			m.filed[c] = append(m.filed[c], int32(i))
		}
	}
	c := m.cell(at)
	for x := c[0] - 1; x <= c[0]+1; x++ {
		for y := c[1] - 1; y <= c[1]+1; y++ {
			for _, i := range m.filed[[2]int32{x, y}] {
				if is(&m.discs[i]) {
					return true
				}
			}
		}
	}
	return false
}

func (m *middles) cell(p geometry.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p.X / m.within)), int32(math.Floor(p.Y / m.within))}
}
