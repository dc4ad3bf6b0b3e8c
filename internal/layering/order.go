package layering

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"abut/geometry"
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
	var previous []int32
	for list := range touches.lists() {
		if slices.Equal(list, previous) {
			continue
		}
		previous = append(previous[:0], list...)
		// Each run of one kind comes after the run before it.
		before, run := []int32(nil), []int32(nil)
		for _, u := range list {
			if len(run) > 0 && !same(run[len(run)-1], u) {
				before, run = run, nil
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

// grid parts the picture into cells, finer where there are more shapes.
type grid struct {
	xs, ys []float64
	// mids are the middles of the columns.
	mids []float64
	// rows are where the middle of each row meets the shape that was marked last.
	rows [][]geometry.Hit
	// spans are the cells of each row that were marked, in any order, one over the other; only
	// rows from top to bottom have any.
	spans       [][]span
	top, bottom int
}

// span are the columns from one up to before another.
type span struct{ from, to int32 }

func (d *drawing) newGrid() *grid {
	var xs, ys []float64
	for i := range d.areas {
		b := d.seen(d.areas[i].Bounds)
		if b.Empty() {
			continue
		}
		// Along a shape there are lines, too, or a large one would be one cell.
		for k := 0.0; k <= 1; k += 0.125 {
			xs = append(xs, b.Min.X+k*b.Width())
			ys = append(ys, b.Min.Y+k*b.Height())
		}
	}
	return gridOf(lines(xs), lines(ys))
}

func gridOf(xs, ys []float64) *grid {
	g := &grid{xs: xs, ys: ys, rows: make([][]geometry.Hit, len(ys)), spans: make([][]span, len(ys)), top: len(ys), bottom: -1}
	for x := range max(len(xs)-1, 0) {
		g.mids = append(g.mids, (xs[x]+xs[x+1])/2)
	}
	return g
}

// span marks cells of a row.
func (g *grid) span(y, from, to int) {
	if from >= to {
		return
	}
	list := g.spans[y]
	if n := len(list); n > 0 && int32(from) <= list[n-1].to && list[n-1].from <= int32(to) {
		list[n-1] = span{min(list[n-1].from, int32(from)), max(list[n-1].to, int32(to))}
		return
	}
	g.spans[y] = append(list, span{int32(from), int32(to)})
}

// marked calls f with the cells that were marked since the last time, as far as they lie
// beside each other in one row.
func (g *grid) marked(f func(cell, length int32)) {
	for y := g.top; y <= g.bottom; y++ {
		list := g.spans[y]
		slices.SortFunc(list, func(a, b span) int { return cmp.Compare(a.from, b.from) })
		for k := 0; k < len(list); {
			t := list[k]
			for k++; k < len(list) && list[k].from <= t.to; k++ {
				t.to = max(t.to, list[k].to)
			}
			f(int32(y*gridSide)+t.from, t.to-t.from)
		}
		g.spans[y] = list[:0]
	}
	g.top, g.bottom = len(g.ys), -1
}

// lines chooses gridSide of the values, evenly by rank.
func lines(v []float64) []float64 {
	slices.Sort(v)
	v = slices.Compact(v)
	if len(v) <= gridSide {
		return v
	}
	out := make([]float64, gridSide)
	for i := range out {
		out[i] = v[i*(len(v)-1)/(gridSide-1)]
	}
	return out
}

// lineAt returns the number of the last line at or before v.
func lineAt(lines []float64, v float64) int {
	i, found := slices.BinarySearch(lines, v)
	if found {
		return i
	}
	return i - 1
}

// lineFrom is lineAt for a value that lies near that of line i.
func lineFrom(lines []float64, v float64, i int) int {
	i = max(i, 0)
	for i+1 < len(lines) && lines[i+1] <= v {
		i++
	}
	for i >= 0 && lines[i] > v {
		i--
	}
	return i
}

// mark marks every cell that a shape touches.
func (g *grid) mark(p *Area) {
	box := p.Bounds
	for _, c := range p.Shape.Clips {
		b := geometry.EmptyRect()
		for _, s := range c.Shapes {
			b = b.Union(s.Path.Bounds())
		}
		box = box.Intersect(b)
	}
	if box.Empty() || len(g.xs) == 0 || len(g.ys) == 0 {
		return
	}
	m := marking{
		grid: g,
		x0:   max(lineAt(g.xs, box.Min.X), 0), x1: lineAt(g.xs, box.Max.X),
		y0: max(lineAt(g.ys, box.Min.Y), 0), y1: lineAt(g.ys, box.Max.Y),
	}
	g.top, g.bottom = min(g.top, m.y0), max(g.bottom, m.y1)
	for y := m.y0; y <= m.y1; y++ {
		g.rows[y] = g.rows[y][:0]
	}
	m.column, m.row = m.x0, m.y0
	sagitta := box.Longer() / 10000
	for _, c := range p.Shape.Path {
		from := c.Start
		for _, s := range c.Segments {
			start := from
			for k, n := 1, s.Chords(start, sagitta); k < n; k++ {
				to := s.Chord(start, k, n)
				m.edge(from, to)
				from = to
			}
			m.edge(from, s.End)
			from = s.End
		}
		m.edge(from, c.Start)
	}
	m.inside(p.Shape.Rule)
}

// marking marks the cells of one shape, all of them within a box of columns and rows.
type marking struct {
	*grid
	x0, x1, y0, y1 int
	column, row    int // of the side before
}

// edge marks the cells that a side goes through, and notes where it crosses the middles
// of rows.
func (m *marking) edge(from, to geometry.Point) {
	a, b := from, to
	if a.Y > b.Y {
		a, b = b, a
	}
	m.row = lineFrom(m.ys, a.Y, m.row)
	for y := max(m.row, m.y0); y <= m.y1 && m.ys[y] <= b.Y; y++ {
		// The part of the edge in this row.
		left, right := a.X, b.X
		if h := b.Y - a.Y; h > 0 {
			at := func(v float64) float64 { return a.X + (b.X-a.X)*max(0, min(1, (v-a.Y)/h)) }
			left = at(m.ys[y])
			if y+1 < len(m.ys) {
				right = at(m.ys[y+1])
				if middle := (m.ys[y] + m.ys[y+1]) / 2; a.Y <= middle && middle < b.Y {
					hit := geometry.Hit{X: from.X + (to.X-from.X)*(middle-from.Y)/(to.Y-from.Y), Winding: 1}
					if from.Y > to.Y {
						hit.Winding = -1
					}
					m.rows[y] = append(m.rows[y], hit)
				}
			}
		}
		if left > right {
			left, right = right, left
		}
		m.column = lineFrom(m.xs, left, m.column)
		from := max(m.column, m.x0)
		to := from
		for to <= m.x1 && m.xs[to] <= right {
			to++
		}
		m.span(y, from, to)
	}
}

// inside marks the cells that no edge touches: they are inside or outside as their
// middle is.
func (m *marking) inside(rule geometry.FillRule) {
	end := min(m.x1+1, len(m.mids))
	for y := m.y0; y <= m.y1; y++ {
		hits := m.rows[y]
		slices.SortFunc(hits, func(a, b geometry.Hit) int { return cmp.Compare(a.X, b.X) })
		w, x := 0, min(m.x0, end)
		for _, h := range hits {
			n, _ := slices.BinarySearch(m.mids[x:end], h.X)
			if rule.Encloses(w) {
				m.span(y, x, x+n)
			}
			x += n
			w += h.Winding
		}
		if rule.Encloses(w) {
			m.span(y, x, end)
		}
	}
}
