package weak

import (
	"slices"

	"abut/geometry"
)

// discs looks for the medial discs of thin places: all of them or, unless within is nil,
// those of the thin parts whose outline comes nearer than a width to its rectangles. What is
// known is not asked again, and what is asked is added to it, unless it is nil.
func (g *grid) discs(pace *pace, l *lengths, within []geometry.Rect, known *answered) (*medial, error) {
	h := workspaces.Get().(*workspace)
	defer workspaces.Put(h)
	h.thin, h.opening = h.thin[:0], h.opening[:0]
	w := &walker{grid: g, space: h, m: &medial{}, last: -2}
	a := &asker{grid: g, pace: pace, lengths: l, walls: &h.walls, before: disc{t: -1}, take: w.pass}
	if within != nil || known != nil {
		if err := a.some(within, known, w); err != nil {
			return nil, err
		}
	} else {
		for i := range g.sides {
			if err := a.side(int32(i)); err != nil {
				return nil, err
			}
			w.end(int32(i))
		}
	}
	w.m.thin, w.m.opening = slices.Clone(h.thin), slices.Clone(h.opening)
	return w.m, nil
}

// some asks the places that lie near rectangles, and on from there, along what is thin and
// across it, until it is sturdy; all that is not known where within is nil. w passes them in
// the order of the outline. Each thin part is asked as a whole or not at all, so it is found
// as it would be among all others.
func (a *asker) some(within []geometry.Rect, known *answered, w *walker) error {
	g := a.grid
	f := &front{grid: g, seen: make([]bool, len(g.sides))}
	f.begin(within, a.width)
	keep := known != nil
	if !keep {
		known = &answered{from: make([]int32, len(g.sides))}
	}
	// Answers are gathered in the workspace, and what is kept gets just the room that it needs.
	was := known.all
	known.all = append(w.space.answers[:0], was...)
	a.take = func(d answer) { known.all = append(known.all, d) }
	before := int32(-1)
	for len(f.todo) > 0 {
		id := f.pop()
		if known.from[id] == 0 {
			if before < 0 || g.sides[before].next != id {
				a.before.t = -1
			}
			known.from[id], before = int32(len(known.all)+1), id
			if err := a.side(id); err != nil {
				return err
			}
		}
		if within != nil {
			f.spread(id, known.of(id))
		}
	}
	w.passAll(f.seen, known)
	w.space.answers = known.all
	switch {
	case len(known.all) == len(was):
		known.all = was
	case keep:
		known.all = slices.Clone(known.all)
	}
	return nil
}

// front are the sides of an outline that are to be asked yet, the next one last.
type front struct {
	grid *grid
	todo []int32
	seen []bool // those that are or were among them
}

func (f *front) add(id int32) {
	if !f.seen[id] {
		f.seen[id] = true
		f.todo = append(f.todo, id)
	}
}

func (f *front) pop() int32 {
	last := len(f.todo) - 1
	id := f.todo[last]
	f.todo = f.todo[:last]
	return id
}

// begin adds the sides that lie within a width of rectangles, or all where those are nil, so
// that the first comes next.
func (f *front) begin(within []geometry.Rect, width float64) {
	if within == nil {
		for i := range f.seen {
			f.add(int32(i))
		}
	}
	add := f.add
	for _, r := range within {
		f.grid.within(&f.grid.cells, r.Grow(width), add)
	}
	slices.SortFunc(f.todo, func(i, k int32) int { return int(k - i) })
}

// spread adds what hangs together with a side where its answers are thin: across it, and
// along the outline from either end.
func (f *front) spread(id int32, all []answer) {
	for i := range all {
		if d := &all[i]; d.fit != sturdy && d.fit != pinches {
			f.add(d.t)
			f.add(f.grid.previous(d.t)) // it may touch its corner
		}
	}
	if all[len(all)-1].fit != sturdy {
		f.add(f.grid.sides[id].next)
	}
	if all[0].fit != sturdy {
		f.add(f.grid.previous(id))
	}
}

// passAll passes what is known of the sides that were seen, in the order of the outline.
func (w *walker) passAll(seen []bool, known *answered) {
	for i := range seen {
		if seen[i] {
			for _, d := range known.of(int32(i)) {
				w.pass(d)
			}
		}
		w.end(int32(i))
	}
}
