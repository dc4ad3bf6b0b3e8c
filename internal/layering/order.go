package layering

import (
	"cmp"
	"iter"
	"math"
	"slices"
)

// A picture may be drawn in another order than its file's, as long as shapes of
// different colours that lie over each other keep theirs. reorder looks for an
// order in which shapes of one colour come together: far fewer layers, where
// outlines and fills alternate.

const (
	// maxReordered bounds the shapes that are put into another order, maxKinds
	// their colours and opacity groups, maxMeetings the looks at pairs that lie
	// over each other, maxMarked the cells marked: some tenths of a second each.
	maxReordered = 5000
	maxKinds     = 500
	maxMeetings  = 4_000_000
	maxMarked    = 8_000_000
	// gridSide is how finely it is seen what lies over what.
	gridSide = 512
)

// bunch is what is drawn together: a shape, or all of an opacity group.
type bunch struct {
	items []int // of the areas
	key   layerKey
	// single: it never joins others, as the parts of an opacity group.
	single bool
	// clear: see-through or a gradient; it joins only those that it lies apart from.
	clear bool
}

// reorder returns the layers of another order with the same picture; false when
// that would take too long.
func (d *drawing) reorder() ([]layer, bool) {
	if len(d.areas) > maxReordered {
		return nil, false
	}
	bunches := d.bunches()
	after, ok := d.order(bunches)
	if !ok {
		return nil, false
	}
	kinds := map[layerKey]bool{}
	for _, b := range bunches {
		kinds[b.key] = true
	}
	if len(kinds) > maxKinds {
		return nil, false
	}
	var best [][]int
	for _, backward := range []bool{false, true} {
		for _, share := range []bool{false, true} {
			if order := schedule(bunches, after, backward, share); best == nil || len(order) < len(best) {
				best = order
			}
		}
	}
	var out []layer
	nowhere := make([]*Group, len(d.areas))
	for _, drawn := range best {
		if first := bunches[drawn[0]]; first.single {
			out = append(out, d.joined(first.items, nowhere)...)
			continue
		}
		first := &d.areas[bunches[drawn[0]].items[0]]
		l := layer{first: *first, label: first.Label, place: first.Group}
		for _, u := range drawn {
			i := bunches[u].items[0]
			l.take(&d.areas[i], i)
		}
		out = append(out, l)
	}
	return out, true
}

// schedule draws bunches of one kind together, those first that wait for none.
// Which kind comes next: one that is used up by now, else that with most to draw
// or, with share, with the largest part of what is left of it. No rule is best
// for all pictures, and what is hard from the bottom up may be easy backwards.
func schedule(bunches []bunch, after [][]int, backward, share bool) [][]int {
	if backward {
		out := schedule(bunches, turned(after), false, share)
		slices.Reverse(out)
		return out
	}
	waits := make([]int, len(bunches))
	for _, list := range after {
		for _, v := range list {
			waits[v]++
		}
	}
	ready, left := map[layerKey][]int{}, map[layerKey]int{}
	for u := range bunches {
		left[bunches[u].key]++
		if waits[u] == 0 {
			ready[bunches[u].key] = append(ready[bunches[u].key], u)
		}
	}
	worth := func(k layerKey, n int) float64 {
		switch {
		case n == left[k]:
			return math.Inf(1)
		case share:
			return float64(n) / float64(left[k])
		}
		return float64(n)
	}
	var out [][]int
	for len(ready) > 0 {
		var best layerKey
		var most []int
		for k, list := range ready {
			if most == nil || cmp.Or(cmp.Compare(worth(k, len(list)), worth(best, len(most))), cmp.Compare(most[0], list[0])) > 0 {
				best, most = k, list
			}
		}
		delete(ready, best)
		left[best] -= len(most)
		for _, u := range most {
			for _, v := range after[u] {
				if waits[v]--; waits[v] == 0 {
					ready[bunches[v].key] = append(ready[bunches[v].key], v)
				}
			}
		}
		slices.Sort(most)
		out = append(out, most)
	}
	return out
}

// turned says who comes before each, of who comes after each.
func turned(after [][]int) [][]int {
	before := make([][]int, len(after))
	for u, list := range after {
		for _, v := range list {
			before[v] = append(before[v], u)
		}
	}
	return before
}

// joined joins neighbours of one kind.
func (d *drawing) joined(items []int, folders []*Group) []layer {
	var out []layer
	for _, i := range items {
		p := &d.areas[i]
		if k := len(out) - 1; k < 0 || !out[k].is(p.key(nil), folders) {
			out = append(out, layer{first: *p, label: p.Label, place: p.Group})
		}
		out[len(out)-1].take(p, i)
	}
	return out
}

func (d *drawing) bunches() []bunch {
	var out []bunch
	for i := range d.areas {
		p := &d.areas[i]
		if n := len(out); p.Opacity != 0 && n > 0 && out[n-1].single && out[n-1].key.group == p.Opacity {
			out[n-1].items = append(out[n-1].items, i)
			continue
		}
		u := bunch{items: []int{i}, key: p.key(nil), clear: p.Alpha < 1 || p.Paint != nil}
		if p.Opacity != 0 {
			u.single, u.clear = true, true
		}
		out = append(out, u)
	}
	return out
}

// order says which bunches come after each.
func (d *drawing) order(bunches []bunch) (after [][]int, ok bool) {
	touches, ok := d.touches(bunches)
	if !ok {
		return nil, false
	}
	after = make([][]int, len(bunches))
	// One bit for each pair: 3 MiB at most, as many as may be reordered.
	known := make([]uint64, (len(bunches)*len(bunches)+63)/64)
	meetings := 0
	same := func(a, b int32) bool {
		return !bunches[a].clear && !bunches[a].single && bunches[a].key == bunches[b].key
	}
	var previous, before, run []int32
	for list := range touches.lists() {
		if slices.Equal(list, previous) {
			continue
		}
		previous = append(previous[:0], list...)
		// Each run of one kind comes after the run before it.
		before, run = before[:0], run[:0]
		for _, u := range list {
			if len(run) > 0 && !same(run[len(run)-1], u) {
				before, run = run, before[:0]
			}
			run = append(run, u)
			for _, v := range before {
				if meetings++; meetings > maxMeetings {
					return nil, false
				}
				if pair := int(v)*len(bunches) + int(u); known[pair/64]>>(pair%64)&1 == 0 {
					known[pair/64] |= 1 << (pair % 64)
					after[v] = append(after[v], int(u))
				}
			}
		}
	}
	for _, list := range after {
		slices.Sort(list)
	}
	return after, true
}

// touches says which bunches touch which cells; false where it takes too much room.
func (d *drawing) touches(bunches []bunch) (touches runs, ok bool) {
	g := d.newGrid()
	for u := range bunches {
		for _, i := range bunches[u].items {
			g.mark(&d.areas[i])
		}
		g.marked(func(cell, length int32) { touches.add(run{cell, int32(u), length}) })
		if touches.cells > maxMarked || u&0xf == 0 && d.ctx.Err() != nil {
			return runs{}, false
		}
	}
	return touches, true
}

// run says that a bunch touches cells of a row, one beside the other.
type run struct{ cell, bunch, length int32 }

// runs are filed in blocks, so that none is copied as they grow to millions.
type runs struct {
	blocks [][]run
	cells  int
}

// runsInBlock is how many: some hundreds of KiB.
const runsInBlock = 1 << 15

func (r *runs) add(t run) {
	r.cells += int(t.length)
	k := len(r.blocks) - 1
	if k < 0 || len(r.blocks[k]) == runsInBlock {
		r.blocks = append(r.blocks, make([]run, 0, runsInBlock))
		k++
	}
	r.blocks[k] = append(r.blocks[k], t)
}

// lists yields what touches each cell, in the order in which it was filed, cell after cell;
// cells beside each other that the same touches once. A list holds until the next.
//
// Rows are swept: a list changes only where a run begins or ends.
func (r *runs) lists() iter.Seq[[]int32] {
	var ends [gridSide + 1]int
	for _, block := range r.blocks {
		for _, t := range block {
			ends[t.cell/gridSide+1]++
		}
	}
	for y := range gridSide {
		ends[y+1] += ends[y]
	}
	rows := make([]run, ends[gridSide])
	for _, block := range r.blocks {
		for _, t := range block {
			y := t.cell / gridSide
			rows[ends[y]] = t
			ends[y]++ // in the end it is where the row ends
		}
	}
	return func(yield func([]int32) bool) {
		s, from := sweep{}, 0
		for _, to := range ends[:gridSide] {
			if !s.row(rows[from:to], yield) {
				return
			}
			from = to
		}
	}
}

// sweep goes along the cells of a row.
type sweep struct {
	// begin and end chain the runs that begin or end at a column, by their number plus one.
	begin, end [gridSide + 1]int32
	next       [][2]int32
	touching   []int32
}

// row yields the lists of a row, until yield does not want more.
func (s *sweep) row(list []run, yield func([]int32) bool) bool {
	clear(s.begin[:])
	clear(s.end[:])
	s.next = append(s.next[:0], make([][2]int32, len(list))...)
	for k := len(list) - 1; k >= 0; k-- {
		x := list[k].cell % gridSide
		for i, head := range [2]*int32{&s.begin[x], &s.end[x+list[k].length]} {
			s.next[k][i], *head = *head, int32(k+1)
		}
	}
	s.touching = s.touching[:0]
	for x := range gridSide {
		if x > 0 && s.begin[x] == 0 && s.end[x] == 0 {
			continue
		}
		for k := s.end[x]; k != 0; k = s.next[k-1][1] {
			i, _ := slices.BinarySearch(s.touching, list[k-1].bunch)
			s.touching = slices.Delete(s.touching, i, i+1)
		}
		for k := s.begin[x]; k != 0; k = s.next[k-1][0] {
			i, _ := slices.BinarySearch(s.touching, list[k-1].bunch)
			s.touching = slices.Insert(s.touching, i, list[k-1].bunch)
		}
		if !yield(s.touching) {
			return false
		}
	}
	return true
}
