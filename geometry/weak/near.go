package weak

import (
	"slices"

	"abut/geometry"
)

// near asks the places that lie near rectangles, and on from there, along what is thin and
// across it, until it is sturdy; w passes them in the order of the outline. Each thin part
// is asked as a whole or not at all, so it is found as it would be among all others.
func (a *asker) near(within []geometry.Rect, w *walker) error {
	g := a.grid
	var todo []int32
	seen := make([]bool, len(g.sides))
	add := func(id int32) {
		if !seen[id] {
			seen[id] = true
			todo = append(todo, id)
		}
	}
	for _, r := range within {
		g.visit(&g.cells, r.Grow(a.width), add)
	}
	slices.SortFunc(todo, func(i, k int32) int { return int(k - i) }) // so that the first comes next
	from := make([]int32, len(g.sides))                               // what they answer begins there, plus one
	answers := w.space.answers
	a.take = func(d answer) { answers = append(answers, d) }
	before := int32(-1)
	for len(todo) > 0 {
		id := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if before < 0 || g.sides[before].next != id {
			a.before.t = -1
		}
		first := len(answers)
		if err := a.side(id); err != nil {
			return err
		}
		from[id], before = int32(first+1), id
		for i := first; i < len(answers); i++ {
			if d := &answers[i]; d.fit != sturdy && d.fit != pinches {
				add(d.t)
				add(g.previous(d.t)) // it may touch its corner
			}
		}
		if answers[len(answers)-1].fit != sturdy {
			add(g.sides[id].next)
		}
		if answers[first].fit != sturdy {
			add(g.previous(id))
		}
	}
	for i := range g.sides {
		if first := int(from[i]); first > 0 {
			for k := first - 1; k < len(answers) && answers[k].s == int32(i); k++ {
				w.pass(answers[k])
			}
		}
		w.end(int32(i))
	}
	w.space.answers = answers
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
