package planar

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
)

// cells is a grid of square cells over a box, each holding the runs that
// pass through it or within a margin of it. A cell that holds too many is
// itself a grid: art is far denser in a coat of arms than in the flag's field.
type cells struct {
	x0, y0 int32 // top left corner of the box
	margin int32 // how near, in steps, a segment must come to a cell to be its member
	shift  uint  // a cell is 1<<shift steps wide
	nx, ny int32
	// start[i] to start[i+1] index members for cell i. Cells are numbered column
	// by column, as vertices are sorted: neighbours in one are near in the other.
	start  []int32
	member []int32
	full   bool     // some cell is crowded
	inner  []*cells // per cell: the finer grid of a crowded one; nil when none is
}

const (
	// A cell with more members than this is divided again. Pair tests grow
	// with the square of it, filling grids with its inverse; 8 to 32 differ by
	// a tenth.
	crowded = 16
	// A crowded cell is divided into as many as it has chords, by this: where they crowd
	// they meet, and pairs that share more cells are tested more often.
	crowdedShare = 4
)

// snapMargin is the margin for snap rounding: one step so that a hot pixel need
// only be looked up in the cell of its centre, one for the rounding of the float
// arithmetic in visit.
const snapMargin = 2

// newCells distributes the listed runs over about one cell a run, and
// those of crowded cells over finer ones.
func newCells(p *pace, runs *runs, ids []int32, lo, hi Point, margin int32, scratch *[parallel.Workers]cellScratch) (*cells, error) {
	g, err := fillCells(p, runs, ids, len(ids), lo, hi, margin, scratch[:])
	if err != nil {
		return nil, err
	}
	if len(g.member) < worthSplitting/usualRun {
		return g, g.divide(p, runs, 0, g.nx*g.ny, scratch[:1])
	}
	if g.full {
		g.inner = make([]*cells, g.nx*g.ny) // all workers write there
	}
	var paces [parallel.Workers]pace
	err = parallel.Ranges(p.ctx, len(g.member), 0, func(part, lo, hi int) error {
		own := pace{ctx: p.ctx, limit: p.limit}
		first, end := g.ofMembers(lo, hi)
		err := g.divide(&own, runs, first, end, scratch[part:part+1])
		paces[part] = own
		return err
	})
	if err == nil {
		err = p.together(&paces)
	}
	return g, err
}

// ofMembers returns the cells that share some of the members: those of a range of all.
func (g *cells) ofMembers(lo, hi int) (first, end int32) {
	i, _ := slices.BinarySearch(g.start, int32(lo))
	k, _ := slices.BinarySearch(g.start, int32(hi))
	return int32(i), min(int32(k), g.nx*g.ny)
}

// filling puts runs into the cells of a grid: each share of them is first listed with its
// cells, then put there.
type filling struct {
	*cells
	runs    *runs
	ids     []int32
	scratch []cellScratch // a worker each
}

// fillCells distributes the listed runs over about so many cells of one size.
func fillCells(p *pace, runs *runs, ids []int32, target int, lo, hi Point, margin int32, scratch []cellScratch) (*cells, error) {
	g := scratch[0].grid()
	*g = cells{x0: lo.X, y0: lo.Y, margin: margin}
	g.shift = cellShift(lo, hi, target)
	for 1<<g.shift < margin {
		g.shift++
	}
	g.nx, g.ny = (hi.X-lo.X)>>g.shift+1, (hi.Y-lo.Y)>>g.shift+1
	f := filling{g, runs, ids, scratch}
	if len(scratch) > 1 && len(ids) >= worthSplitting/usualRun {
		return g, f.share(p)
	}
	f.scratch = scratch[:1]
	if err := f.list(p, 0, 0, len(ids)); err != nil {
		return nil, err
	}
	f.begin()
	f.put(0)
	return g, nil
}

// share has all workers do it.
func (f filling) share(p *pace) error {
	var paces [parallel.Workers]pace
	err := parallel.Ranges(p.ctx, len(f.ids), 0, func(part, lo, hi int) error {
		own := pace{ctx: p.ctx, limit: p.limit}
		err := f.list(&own, part, lo, hi)
		paces[part] = own
		return err
	})
	if err == nil {
		err = p.together(&paces)
	}
	if err != nil {
		return err
	}
	f.begin()
	return parallel.Do(p.ctx, len(f.scratch), f.put)
}

// list lists runs lo … hi−1 with the cells that they are in.
func (f *filling) list(p *pace, part, lo, hi int) error {
	sc := &f.scratch[part]
	n := int(f.nx) * int(f.ny)
	pairs, count := sc.pairs[:0], room(sc.next, n)[:n]
	clear(count)
	for _, id := range f.ids[lo:hi] {
		k := len(pairs)
		r := f.runs.at(id)
		pairs = f.visit(&r, id, pairs)
		if err := p.spend(fillEffort * (len(pairs) - k)); err != nil {
			return err
		}
	}
	for _, p := range pairs {
		count[p.cell]++
	}
	sc.pairs, sc.next = pairs, count
	return p.spend(len(pairs))
}

// begin finds where the members of each cell begin, and those of each worker there.
func (f *filling) begin() {
	n := int(f.nx) * int(f.ny)
	f.start = f.scratch[0].ints(n + 1)
	at := int32(0)
	for i := range n {
		f.start[i] = at
		for part := range f.scratch {
			next := &f.scratch[part].next[i]
			*next, at = at, at+*next
		}
		f.full = f.full || at-f.start[i] > crowded
	}
	f.start[n] = at
	f.member = f.scratch[0].ints(int(at))
}

// put puts a worker's runs into their cells.
func (f *filling) put(part int) {
	sc := &f.scratch[part]
	for _, p := range sc.pairs {
		f.member[sc.next[p.cell]] = p.seg
		sc.next[p.cell]++
	}
}

// fillEffort is what putting a segment into a cell takes, in pairs tested.
const fillEffort = 4

// corners returns the first and the last place of a cell.
func (g *cells) corners(cell int32) (lo, hi Point) {
	lo = Point{g.x0 + cell/g.ny<<g.shift, g.y0 + cell%g.ny<<g.shift}
	side := int32(1)<<g.shift - 1
	return lo, Point{lo.X + side, lo.Y + side}
}

// cellScratch is room for making grids; those that were made in it last until it is
// reset.
type cellScratch struct {
	_      apart
	pairs  []cellPair
	next   []int32
	page   []int32
	grids  []cells
	chords []int32
	// Where chords that crowd are put in order.
	items, spare []keyed
}

// reset makes all of it room again, enough for most grids of so many lines.
func (sc *cellScratch) reset(lines int) {
	sc.pairs = room(sc.pairs, lines+lines/2)
	sc.page = room(sc.page, 3*lines)
	clear(sc.grids)
	sc.grids = sc.grids[:0]
}

// ints returns room for n numbers, whatever they are.
func (sc *cellScratch) ints(n int) []int32 {
	if cap(sc.page)-len(sc.page) < n {
		// Others keep the page that was there.
		sc.page = make([]int32, 0, max(n, cap(sc.page)/2, 1<<10))
	}
	at := len(sc.page)
	sc.page = sc.page[:at+n]
	return slices.Clip(sc.page[at:])
}

// grid returns room for a grid.
func (sc *cellScratch) grid() *cells {
	if len(sc.grids) == cap(sc.grids) {
		sc.grids = make([]cells, 0, max(8, 2*cap(sc.grids)))
	}
	sc.grids = append(sc.grids, cells{})
	return &sc.grids[len(sc.grids)-1]
}

type cellPair struct{ cell, seg int32 }

// divide turns crowded cells, of those from first to before end, into grids of their own, unless
// that would not thin them out: a bundle of lines through one point stays together at any
// scale. It is decided level by level, before going deeper.
func (g *cells) divide(p *pace, runs *runs, first, end int32, scratch []cellScratch) error {
	for i := first; i < end; i++ {
		ids := g.member[g.start[i]:g.start[i+1]]
		if len(ids) <= crowded {
			continue
		}
		lo, hi := g.corners(i)
		p.crowded(len(ids), lo)
		if ids[0] >= 0 { // runs, all of them
			var err error
			if ids, err = runs.within(p, ids, lo, hi, g.margin, &scratch[0]); err != nil {
				return err
			}
		}
		sub, err := fillCells(p, runs, ids, len(ids)/crowdedShare, lo, hi, g.margin, scratch)
		if err != nil {
			return err
		}
		if sub.shift >= g.shift || !sub.thinner(len(ids)) {
			continue
		}
		if err := sub.divide(p, runs, 0, sub.nx*sub.ny, scratch); err != nil {
			return err
		}
		if g.inner == nil {
			g.inner = make([]*cells, g.nx*g.ny)
		}
		g.inner[i] = sub
	}
	return nil
}

// thinner reports whether testing pairs within the grid's cells takes less than
// testing all pairs of n segments, filling counted.
func (g *cells) thinner(n int) bool {
	cost := fillEffort * len(g.member)
	for i := range len(g.start) - 1 {
		k := int(g.start[i+1] - g.start[i])
		cost += k * k / 2
	}
	return cost < n*n/2
}

// visit appends the cells that s passes through or comes within the margin of; where it is
// several chords, those that its box does.
func (g *cells) visit(s *run, id int32, pairs []cellPair) []cellPair {
	a, b := s.a, s.b
	lo, hi := a.Y, b.Y
	if lo > hi {
		lo, hi = hi, lo
	}
	c0, c1 := g.column(a.X-g.margin), g.column(b.X+g.margin)
	r0, r1 := g.row(lo-g.margin), g.row(hi+g.margin)
	if c0 == c1 && r0 == r1 {
		return append(pairs, cellPair{c0*g.ny + r0, id})
	}
	if c0 == c1 || r0 == r1 || a.X == b.X || s.last-s.first > 1 {
		// Clamping may name a cell at the grid's rim that the segment does not
		// come near: a test more, nothing missed.
		for c := c0; c <= c1; c++ {
			for r := r0; r <= r1; r++ {
				pairs = append(pairs, cellPair{c*g.ny + r, id})
			}
		}
		return pairs
	}
	slope := float64(int64(b.Y)-int64(a.Y)) / float64(int64(b.X)-int64(a.X))
	margin := float64(g.margin)
	for c := c0; c <= c1; c++ {
		// The part of the segment over this column and its margins.
		left := math.Max(float64(a.X), float64(int64(g.x0)+int64(c)<<g.shift)-margin)
		right := math.Min(float64(b.X), float64(int64(g.x0)+int64(c+1)<<g.shift)+margin)
		if left > right {
			continue
		}
		y0 := float64(a.Y) + (left-float64(a.X))*slope
		y1 := float64(a.Y) + (right-float64(a.X))*slope
		if y0 > y1 {
			y0, y1 = y1, y0
		}
		q0, q1 := g.row(int32(math.Floor(y0-margin))), g.row(int32(math.Ceil(y1+margin)))
		for r := max(q0, r0); r <= min(q1, r1); r++ {
			pairs = append(pairs, cellPair{c*g.ny + r, id})
		}
	}
	return pairs
}

// column and row return the cell index of a coordinate, clamped to the grid.
func (g *cells) column(x int32) int32 { return min(max((x-g.x0)>>g.shift, 0), g.nx-1) }
func (g *cells) row(y int32) int32    { return min(max((y-g.y0)>>g.shift, 0), g.ny-1) }

// leafCell is a cell that is not divided further, with the runs near it.
type leafCell struct {
	grid *cells
	cell int32
}

func (leaf leafCell) members() []int32 {
	return leaf.grid.member[leaf.grid.start[leaf.cell]:leaf.grid.start[leaf.cell+1]]
}

// leaves goes through the leaf cells, in cells from first to before end, that hold a pair of runs or
// more, until there is an error.
func (g *cells) leaves(first, end int32, do func(leafCell) error) error {
	for i := first; i < end; i++ {
		var err error
		if g.inner != nil && g.inner[i] != nil {
			err = g.inner[i].leaves(0, g.inner[i].nx*g.inner[i].ny, do)
		} else if g.start[i+1]-g.start[i] > 1 {
			err = do(leafCell{g, i})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// holds reports whether p lies in the given cell of g.
func (g *cells) holds(cell int32, p Point) bool {
	x, y := int64(p.X)-int64(g.x0), int64(p.Y)-int64(g.y0)
	return x>>g.shift == int64(cell/g.ny) && y>>g.shift == int64(cell%g.ny)
}

// box returns a cell's corners, in steps, a margin wider on each side.
func (g *cells) box(cell int32) (lo, hi geometry.Point) {
	side, m := float64(int64(1)<<g.shift), float64(g.margin)
	lo = geometry.Pt(float64(g.x0)+side*float64(cell/g.ny), float64(g.y0)+side*float64(cell%g.ny))
	return lo.Sub(geometry.Pt(m, m)), lo.Add(geometry.Pt(side+m, side+m))
}
