package weak

import (
	"math"

	"abut/geometry"
)

// grid finds the sides near a place. A cell that many sides pass is itself a
// grid: around the middle of a sunburst they crowd a thousand times denser than
// at its rim.
type grid struct {
	sides []side
	walls []wall
	cells cells
	// A side is looked at once in a search, however many cells it passes.
	stamp  []int32
	now    int32
	nearby facingWalls // of the place that was asked last, one at a time
	// pinches that were looked at, nil for places that are none.
	pinches map[geometry.Point]*pinch
}

// wall is a side as searches want it: where it begins, the way to its end, and 1 by
// the square of that.
type wall struct {
	a, d    geometry.Point
	inverse float64
}

// cells are square, row by row from min.
type cells struct {
	min    geometry.Point
	size   float64
	nx, ny int
	start  []int32 // start[i] to start[i+1] index list for cell i
	list   []int32
	inner  []*cells // per cell, nil where it is not divided; nil when none is
}

const (
	// A cell that more sides pass is divided: looking through so many takes as
	// long as finding the way in the grid.
	crowd = 16
	// A cell is divided into at most so many a side. Where all sides end in one
	// point the middle is divided again and again.
	mostDivided = 64
	// Division stops at a cell of this share of the first: nothing is looked up
	// nearer to a corner than half a sample.
	leastCell = 1.0 / (1 << 14)
)

// newGrid files the sides in cells of about the width, smaller ones where sides
// are short and dense. Its error is the context's.
func newGrid(p *pace, s []side, width float64) (*grid, error) {
	g := &grid{sides: s, walls: make([]wall, len(s)), stamp: make([]int32, len(s))}
	b := geometry.EmptyRect()
	length := 0.0
	ids := make([]int32, len(s))
	for i := range s {
		ids[i] = int32(i)
		b = b.Include(s[i].a)
		d := s[i].b.Sub(s[i].a)
		square := d.Dot(d)
		length += math.Sqrt(square)
		g.walls[i] = wall{s[i].a, d, 1 / square}
	}
	size := width
	if mean := length / float64(len(s)); 4*mean < size {
		size = math.Max(4*mean, width/8)
	}
	// No more cells than a few for each side.
	for most := math.Max(256, 4*float64(len(s))); b.Width()/size*(b.Height()/size) > most; {
		size *= 2
	}
	if err := g.cells.fill(p, s, ids, b, size); err != nil {
		return nil, err
	}
	return g, g.cells.divide(p, s, size*leastCell)
}

// fill distributes sides over the cells of a box.
func (k *cells) fill(p *pace, s []side, ids []int32, box geometry.Rect, size float64) error {
	k.min, k.size = box.Min, size
	k.nx, k.ny = int(box.Width()/size)+1, int(box.Height()/size)+1
	k.start = make([]int32, k.nx*k.ny+1)
	for _, id := range ids {
		passed := 0
		k.visit(&s[id], func(c int) {
			k.start[c+1]++
			passed++
		})
		if err := p.spend(passed); err != nil {
			return err
		}
	}
	for c := range k.nx * k.ny {
		k.start[c+1] += k.start[c]
	}
	k.list = make([]int32, k.start[k.nx*k.ny])
	for _, id := range ids {
		k.visit(&s[id], func(c int) {
			k.list[k.start[c]] = id
			k.start[c]++
		})
	}
	copy(k.start[1:], k.start)
	k.start[0] = 0
	return p.spend(len(k.list))
}

// divide makes crowded cells grids of their own, unless that would not thin
// them out.
func (k *cells) divide(p *pace, s []side, least float64) error {
	if k.size < least {
		return nil
	}
	for c := range k.nx * k.ny {
		ids := k.list[k.start[c]:k.start[c+1]]
		if len(ids) <= crowd {
			continue
		}
		parts := math.Min(mostDivided, math.Ceil(math.Sqrt(float64(len(ids)))))
		sub := new(cells)
		// A little smaller than the cell, for it to be that many parts.
		if err := sub.fill(p, s, ids, k.box(c).Grow(-k.size*1e-9), k.size/parts); err != nil {
			return err
		}
		if !sub.thinner(len(ids)) {
			continue
		}
		if err := sub.divide(p, s, least); err != nil {
			return err
		}
		if k.inner == nil {
			k.inner = make([]*cells, k.nx*k.ny)
		}
		k.inner[c] = sub
	}
	return nil
}

// thinner reports whether a place, chosen as often as sides pass it, shares its
// cell with less than half of n sides.
func (k *cells) thinner(n int) bool {
	squares := 0
	for c := range k.nx * k.ny {
		m := int(k.start[c+1] - k.start[c])
		squares += m * m
	}
	return 2*squares < n*len(k.list)
}

func (k *cells) box(c int) geometry.Rect {
	return geometry.RectXYWH(k.min.X+float64(c%k.nx)*k.size, k.min.Y+float64(c/k.nx)*k.size, k.size, k.size)
}

// column and row return the cell of a coordinate, clamped to the grid.
func (k *cells) column(x float64) int { return max(0, min(k.nx-1, int((x-k.min.X)/k.size))) }
func (k *cells) row(y float64) int    { return max(0, min(k.ny-1, int((y-k.min.Y)/k.size))) }

// visit names the cells that a side passes, and those that it all but touches:
// float rounding must leave none out.
func (k *cells) visit(s *side, do func(c int)) {
	a, b := s.a, s.b
	if a.Y > b.Y {
		a, b = b, a
	}
	touch := touching * k.size
	right := k.min.X + float64(k.nx)*k.size
	y1 := k.row(b.Y + touch)
	for y := k.row(a.Y - touch); y <= y1; y++ {
		// The part of the side within the row.
		top := k.min.Y + float64(y)*k.size - touch
		bottom := top + k.size + 2*touch
		if b.Y < top || a.Y > bottom {
			continue
		}
		from, to := a.X, b.X
		if d := b.Y - a.Y; d > 0 {
			from = a.X + (b.X-a.X)*max(0, min(1, (top-a.Y)/d))
			to = a.X + (b.X-a.X)*max(0, min(1, (bottom-a.Y)/d))
		}
		if from > to {
			from, to = to, from
		}
		if to+touch < k.min.X || from-touch > right {
			continue
		}
		x1 := k.column(to + touch)
		for x := k.column(from - touch); x <= x1; x++ {
			do(y*k.nx + x)
		}
	}
}

// touching is how near, in cells, counts as touching one: far more than rounding.
const touching = 1e-6

// near returns the sides that pass the cell of a place within the grid.
func (k *cells) near(p geometry.Point) []int32 {
	c := k.row(p.Y)*k.nx + k.column(p.X)
	if k.inner != nil && k.inner[c] != nil {
		return k.inner[c].near(p)
	}
	return k.list[k.start[c]:k.start[c+1]]
}

// nearest returns the side nearest to c within r, and its nearest point; false
// when there is none. The side `but` does not count.
func (g *grid) nearest(c geometry.Point, r float64, but int32) (int32, geometry.Point, bool) {
	g.now++
	n := near{c: c, limit: r * r, side: -1}
	g.search(&g.cells, &n, but)
	if n.side < 0 {
		return -1, geometry.Point{}, false
	}
	return n.side, g.sides[n.side].nearest(c), true
}

// near is the nearest side so far; limit is the square of its distance.
type near struct {
	c     geometry.Point
	limit float64
	side  int32
}

// search looks through the cells that are near enough, that of the place first:
// what is found there spares most of the others.
func (g *grid) search(k *cells, n *near, but int32) {
	r := math.Sqrt(n.limit)
	x0, x1, y0, y1 := k.column(n.c.X-r), k.column(n.c.X+r), k.row(n.c.Y-r), k.row(n.c.Y+r)
	own := k.row(n.c.Y)*k.nx + k.column(n.c.X)
	g.look(k, own, n, but)
	if x0 == x1 && y0 == y1 {
		return
	}
	touch := touching * k.size
	for y := y0; y <= y1; y++ {
		top := k.min.Y + float64(y)*k.size
		dy := max(0, top-n.c.Y-touch, n.c.Y-top-k.size-touch)
		for x := x0; x <= x1; x++ {
			left := k.min.X + float64(x)*k.size
			dx := max(0, left-n.c.X-touch, n.c.X-left-k.size-touch)
			if c := y*k.nx + x; c != own && dx*dx+dy*dy <= n.limit {
				g.look(k, c, n, but)
			}
		}
	}
}

// look looks through one cell.
func (g *grid) look(k *cells, c int, n *near, but int32) {
	if k.inner != nil && k.inner[c] != nil {
		g.search(k.inner[c], n, but)
		return
	}
	for _, i := range k.list[k.start[c]:k.start[c+1]] {
		if i == but || g.stamp[i] == g.now {
			continue
		}
		g.stamp[i] = g.now
		// Squares, and no calls: most of the time of finding goes by here.
		w := &g.walls[i]
		x, y := n.c.X-w.a.X, n.c.Y-w.a.Y
		if t := (x*w.d.X + y*w.d.Y) * w.inverse; t >= 1 {
			x, y = x-w.d.X, y-w.d.Y
		} else if t > 0 {
			x, y = x-t*w.d.X, y-t*w.d.Y
		}
		if l := x*x + y*y; l < n.limit {
			n.side, n.limit = i, l
		}
	}
}

// within names the sides that pass near a box, some perhaps more than once.
func (g *grid) within(k *cells, box geometry.Rect, do func(id int32)) {
	touch := touching * k.size
	x0, x1 := k.column(box.Min.X-touch), k.column(box.Max.X+touch)
	y0, y1 := k.row(box.Min.Y-touch), k.row(box.Max.Y+touch)
	for y := y0; y <= y1; y++ {
		for c := y*k.nx + x0; c <= y*k.nx+x1; c++ {
			if k.inner != nil && k.inner[c] != nil {
				g.within(k.inner[c], box, do)
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
