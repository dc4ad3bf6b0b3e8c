package weak

import (
	"slices"

	"abut/geometry"
)

// some asks the places that lie near rectangles, and on from there, along what is thin and
// across it, until it is sturdy; all that is not known where within is nil. w passes them in
// the order of the outline. Each thin part is asked as a whole or not at all, so it is found
// as it would be among all others.
func (a *asker) some(within []geometry.Rect, known *answered, w *walker) error {
	g := a.grid
	var todo []int32
	seen := make([]bool, len(g.sides))
	add := func(id int32) {
		if !seen[id] {
			seen[id] = true
			todo = append(todo, id)
		}
	}
	if within == nil {
		for i := range g.sides {
			add(int32(i))
		}
	}
	for _, r := range within {
		g.visit(&g.cells, r.Grow(a.width), add)
	}
	slices.SortFunc(todo, func(i, k int32) int { return int(k - i) }) // so that the first comes next
	if known == nil {
		known = &answered{from: make([]int32, len(g.sides))}
	}
	a.take = func(d answer) { known.all = append(known.all, d) }
	before := int32(-1)
	for len(todo) > 0 {
		id := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if known.from[id] == 0 {
			if before < 0 || g.sides[before].next != id {
				a.before.t = -1
			}
			known.from[id], before = int32(len(known.all)+1), id
			if err := a.side(id); err != nil {
				return err
			}
		}
		if within == nil {
			continue
		}
		all := known.of(id)
		for i := range all {
			if d := &all[i]; d.fit != sturdy && d.fit != pinches {
				add(d.t)
				add(g.previous(d.t)) // it may touch its corner
			}
		}
		if all[len(all)-1].fit != sturdy {
			add(g.sides[id].next)
		}
		if all[0].fit != sturdy {
			add(g.previous(id))
		}
	}
	for i := range g.sides {
		if seen[i] {
			for _, d := range known.of(int32(i)) {
				w.pass(d)
			}
		}
		w.end(int32(i))
	}
	return nil
}

// visit names the sides that pass near a box, some perhaps more than once.
func (g *grid) visit(k *cells, box geometry.Rect, do func(id int32)) {
	touch := touching * k.size
	x0, x1 := k.column(box.Min.X-touch), k.column(box.Max.X+touch)
	y0, y1 := k.row(box.Min.Y-touch), k.row(box.Max.Y+touch)
	for y := y0; y <= y1; y++ {
		for c := y*k.nx + x0; c <= y*k.nx+x1; c++ {
			if k.inner != nil && k.inner[c] != nil {
				g.visit(k.inner[c], box, do)
				continue
			}
			for _, id := range k.list[k.start[c]:k.start[c+1]] {
				if s := &g.sides[id]; max(s.a.X, s.b.X) >= box.Min.X && min(s.a.X, s.b.X) <= box.Max.X && max(s.a.Y, s.b.Y) >= box.Min.Y && min(s.a.Y, s.b.Y) <= box.Max.Y {
					do(id)
				}
			}
		}
	}
}
