package planar

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// crossings appends the crossings in one leaf cell, and notes the lines that pass an
// end of another there or come near a crossing.
func (leaf *leafCell) crossings(p *pace, lines []line, near []bool, found []Point) ([]Point, error) {
	at, _ := leaf.grid.corners(leaf.cell)
	p.crowded(len(leaf.members()), at)
	members := leaf.members()
	if len(members) > bundle {
		for _, id := range members {
			near[id] = true
		}
		return leaf.bundleCrossings(p, lines, found)
	}
	before := len(found)
	for i, id := range members {
		s := &lines[id]
		y0, y1 := min(s.a.Y, s.b.Y), max(s.a.Y, s.b.Y)
		for _, other := range members[i+1:] {
			t := &lines[other]
			if t.a.X > s.b.X {
				break // lines are sorted, and so are members
			}
			if t.a.Y > y1 && t.b.Y > y1 || t.a.Y < y0 && t.b.Y < y0 {
				continue
			}
			if at, ok := crossing(s.a, s.b, t.a, t.b); ok {
				near[id], near[other] = true, true
				if leaf.grid.holds(leaf.cell, at) {
					found = append(found, at)
				}
				continue
			}
			near[id] = near[id] || s.passes(t.a) || s.passes(t.b)
			near[other] = near[other] || t.passes(s.a) || t.passes(s.b)
		}
	}
	here := found[before:]
	for _, id := range members {
		// Where they are many, telling which pass which takes longer than to look.
		near[id] = near[id] || len(here) > len(members) || slices.ContainsFunc(here, lines[id].passes)
	}
	n := len(members)
	return found, p.spend(n * n / 2)
}

// passes reports whether the line passes the hot square of a vertex between its
// ends.
func (l line) passes(p Point) bool {
	return p.X >= l.a.X && p.X <= l.b.X && p.Y >= min(l.a.Y, l.b.Y) && p.Y <= max(l.a.Y, l.b.Y) &&
		p != l.a && p != l.b && inHotPixel(l.a, l.b, p)
}

// bundle is how many segments in a cell make sorting them across pay. So many
// are left together only where they nearly coincide, like hatching or the rays
// of a fan: see cells.divide.
const bundle = 3 * crowded

// bundleCrossings is crossings for a crowded cell: the parts of the lines
// within the cell are sorted across their common direction, and only those that
// overlap there are tested.
func (leaf *leafCell) bundleCrossings(p *pace, lines []line, found []Point) ([]Point, error) {
	type strand struct {
		lo, hi float64
		id     int32
	}
	lo, hi := leaf.grid.box(leaf.cell)
	var along geometry.Point
	for _, id := range leaf.members() {
		d := steps(lines[id].b).Sub(steps(lines[id].a))
		if d.Dot(along) < 0 {
			d = d.Mul(-1)
		}
		along = along.Add(d)
	}
	across := geometry.Pt(-along.Y, along.X).Mul(1 / along.Len())
	strands := make([]strand, 0, len(leaf.members()))
	for _, id := range leaf.members() {
		a, b := steps(lines[id].a), steps(lines[id].b)
		t0, t1 := clipTo(a, b, lo, hi)
		if t0 > t1 {
			continue
		}
		u, v := a.Lerp(b, t0).Dot(across), a.Lerp(b, t1).Dot(across)
		// Half a step for the float arithmetic.
		strands = append(strands, strand{math.Min(u, v) - 0.5, math.Max(u, v) + 0.5, id})
	}
	slices.SortFunc(strands, func(s, t strand) int {
		return cmp.Or(cmp.Compare(s.lo, t.lo), cmp.Compare(s.hi, t.hi), cmp.Compare(s.id, t.id))
	})
	for i, s := range strands {
		tests := 1
		for _, t := range strands[i+1:] {
			if t.lo > s.hi {
				break
			}
			tests++
			a, b := &lines[min(s.id, t.id)], &lines[max(s.id, t.id)]
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
