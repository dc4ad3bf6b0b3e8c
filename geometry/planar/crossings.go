package planar

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// meeting is the search for what meets in one leaf cell.
type meeting struct {
	*index
	leaf leafCell
	near []bool // per chord, see index.near
	// found are the crossings, those of other cells before them.
	found []Point
	tests int
}

// crossings appends the crossings in one leaf cell, and notes the lines that pass an
// end of another there or come near a crossing.
func (x *index) crossings(leaf leafCell, p *pace, near []bool, found []Point) ([]Point, error) {
	at, _ := leaf.grid.corners(leaf.cell)
	members := leaf.members()
	p.crowded(len(members), at)
	if len(members) > bundle {
		return x.bundleCrossings(leaf, p, near, found)
	}
	m := meeting{index: x, leaf: leaf, near: near, found: found, tests: len(members) * len(members) / 2}
	if members[0] < 0 {
		m.chordsMeet(members)
	} else {
		m.runsMeet(members)
	}
	if here := m.found[len(found):]; len(here) > 0 {
		m.comeNear(here)
	}
	return m.found, p.spend(m.tests)
}

// runsMeet tests the chords of runs that are members.
func (m *meeting) runsMeet(members []int32) {
	all := m.runs.all
	for i, id := range members {
		r := &all[id]
		for _, other := range members[i+1:] {
			q := &all[other]
			if r.beside(&q.line) || r.b == q.a && m.leads(r, q) || r.a == q.b && m.leads(q, r) {
				continue
			}
			if r.last-r.first == 1 && q.last-q.first == 1 {
				m.test(r.first, q.first, &r.line, &q.line)
			} else {
				m.meet(r, q)
			}
		}
	}
}

// leads reports whether a run that ends where another begins has nothing else in common with
// it, as when a ring just goes on: neither is upright there.
func (m *meeting) leads(r, q *run) bool {
	chords := m.runs.chords
	return chords[r.last-1].a.X < r.b.X && q.a.X < chords[q.first].b.X
}

// meet tests the chords of one run that lie beside some of another's.
func (m *meeting) meet(r, q *run) {
	x0, x1 := max(r.a.X, q.a.X), min(r.b.X, q.b.X)
	y0, y1 := max(min(r.a.Y, r.b.Y), min(q.a.Y, q.b.Y)), min(max(r.a.Y, r.b.Y), max(q.a.Y, q.b.Y))
	chords, from := m.runs.chords, q.first
	for i := r.first; i < r.last && chords[i].a.X <= x1; i++ {
		s := &chords[i]
		if (s.b.X-x0)|(max(s.a.Y, s.b.Y)-y0)|(y1-min(s.a.Y, s.b.Y)) < 0 {
			continue
		}
		for from < q.last && chords[from].b.X < s.a.X {
			from++
		}
		for k := from; k < q.last && chords[k].a.X <= s.b.X; k++ {
			m.tests++
			if t := &chords[k]; !s.beside(t) {
				m.test(i, k, s, t)
			}
		}
	}
}

// chordsMeet tests chords that are members by themselves, from left to right.
func (m *meeting) chordsMeet(members []int32) {
	chords := m.runs.chords
	for i, id := range members {
		s := &chords[^id]
		for _, other := range members[i+1:] {
			t := &chords[^other]
			if t.a.X > s.b.X {
				break
			}
			if !s.beside(t) {
				m.test(^id, ^other, s, t)
			}
		}
	}
}

// beside reports whether the boxes of two lines share nothing. All four sides are asked at once, by the signs of
// differences, which fit for places on the grid: a processor cannot guess which side tells, and to guess wrongly takes longer.
func (l *line) beside(o *line) bool {
	return (l.b.X-o.a.X)|(o.b.X-l.a.X)|(max(l.a.Y, l.b.Y)-min(o.a.Y, o.b.Y))|(max(o.a.Y, o.b.Y)-min(l.a.Y, l.b.Y)) < 0
}

// test tests two chords, s and t, whose boxes meet.
func (m *meeting) test(i, k int32, s, t *line) {
	if at, ok := crossing(s.a, s.b, t.a, t.b); ok {
		m.near[i], m.near[k] = true, true
		if m.leaf.grid.holds(m.leaf.cell, at) {
			m.found = append(m.found, at)
		}
		return
	}
	if !m.near[i] && (s.passes(t.a) || s.passes(t.b)) {
		m.near[i] = true
	}
	if !m.near[k] && (t.passes(s.a) || t.passes(s.b)) {
		m.near[k] = true
	}
}

// comeNear notes the chords that pass one of the crossings in the cell.
func (m *meeting) comeNear(here []Point) {
	lo, hi := here[0], here[0]
	for _, p := range here[1:] {
		lo, hi = Point{min(lo.X, p.X), min(lo.Y, p.Y)}, Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	members := m.leaf.members()
	for _, id := range members {
		r := m.runs.at(id)
		for i := r.first; i < r.last; i++ {
			s := &m.runs.chords[i]
			if m.near[i] || (hi.X-s.a.X)|(s.b.X-lo.X)|(hi.Y-min(s.a.Y, s.b.Y))|(max(s.a.Y, s.b.Y)-lo.Y) < 0 {
				continue
			}
			// Where they are many, telling which pass which takes longer than to look.
			m.near[i] = len(here) > len(members) || slices.ContainsFunc(here, s.passes)
		}
	}
}

// passes reports whether the line passes the hot square of a vertex between its
// ends.
func (l line) passes(p Point) bool {
	return (p.X-l.a.X)|(l.b.X-p.X)|(p.Y-min(l.a.Y, l.b.Y))|(max(l.a.Y, l.b.Y)-p.Y) >= 0 &&
		p != l.a && p != l.b && inHotPixel(l.a, l.b, p)
}

// bundle is how many segments in a cell make sorting them across pay. So many
// are left together only where they nearly coincide, like hatching or the rays
// of a fan: see cells.divide.
const bundle = 3 * crowded

// bundleCrossings is crossings for a crowded cell: the parts of the chords
// within the cell are sorted across their common direction, and only those that
// overlap there are tested. All are taken to come near something.
func (x *index) bundleCrossings(leaf leafCell, p *pace, near []bool, found []Point) ([]Point, error) {
	type strand struct {
		lo, hi float64
		chord  int32
	}
	chords := x.runs.chords
	lo, hi := leaf.grid.box(leaf.cell)
	var along geometry.Point
	var strands []strand
	for _, id := range leaf.members() {
		r := x.runs.at(id)
		for i := r.first; i < r.last; i++ {
			near[i] = true
			d := steps(chords[i].b).Sub(steps(chords[i].a))
			if d.Dot(along) < 0 {
				d = d.Mul(-1)
			}
			along = along.Add(d)
			strands = append(strands, strand{chord: i})
		}
	}
	across := geometry.Pt(-along.Y, along.X).Mul(1 / along.Len())
	within := strands[:0]
	for _, s := range strands {
		a, b := steps(chords[s.chord].a), steps(chords[s.chord].b)
		t0, t1 := clipTo(a, b, lo, hi)
		if t0 > t1 {
			continue
		}
		u, v := a.Lerp(b, t0).Dot(across), a.Lerp(b, t1).Dot(across)
		// Half a step for the float arithmetic.
		within = append(within, strand{math.Min(u, v) - 0.5, math.Max(u, v) + 0.5, s.chord})
	}
	slices.SortFunc(within, func(s, t strand) int {
		return cmp.Or(cmp.Compare(s.lo, t.lo), cmp.Compare(s.hi, t.hi), cmp.Compare(s.chord, t.chord))
	})
	for i, s := range within {
		tests := 1
		for _, t := range within[i+1:] {
			if t.lo > s.hi {
				break
			}
			tests++
			a, b := &chords[s.chord], &chords[t.chord]
			if at, ok := crossing(a.a, a.b, b.a, b.b); ok && leaf.grid.holds(leaf.cell, at) {
				found = append(found, at)
			}
		}
		if err := p.spend(tests); err != nil {
			return nil, err
		}
	}
	return found, nil
}

// clipTo returns the parameters between which a + t (b − a) lies in a box;
// t0 > t1 when nowhere (Liang and Barsky 1984).
func clipTo(a, b, lo, hi geometry.Point) (t0, t1 float64) {
	t0, t1 = 0, 1
	slab := func(a, d, lo, hi float64) {
		switch {
		case d > 0:
			t0, t1 = math.Max(t0, (lo-a)/d), math.Min(t1, (hi-a)/d)
		case d < 0:
			t0, t1 = math.Max(t0, (hi-a)/d), math.Min(t1, (lo-a)/d)
		case a < lo || a > hi:
			t1 = -1
		}
	}
	slab(a.X, b.X-a.X, lo.X, hi.X)
	slab(a.Y, b.Y-a.Y, lo.Y, hi.Y)
	return t0, t1
}
