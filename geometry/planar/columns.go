package planar

import (
	"math/bits"

	"abut/geometry/parallel"
)

// columns finds the vertices that a fragment passes. Vertices are numbered from
// left to right, so that equally many that follow each other are a column, and
// the columns that a fragment runs through are known from the numbers of its
// ends. In each, vertices are sorted by y. Where vertices are dense, columns are
// narrow.
type columns struct {
	vertices []Point
	shift    int     // a column is 1<<shift vertices
	place    []int32 // per vertex, its place below
	points   []Point // the vertices, column by column
	ids      []VertexID
	spans    []span // the columns
	wide     []span // every so many of them
	// Levels are 64 from top, above which nothing lies, to the bottom, 1<<level steps each.
	top   int32
	level int
}

// span is how far a column reaches, and on which levels some of it lies: what is
// long passes by most columns far from anything.
type span struct {
	left, right int32
	levels      uint64
}

// columnShare is the binary logarithm of how many times more columns there are than
// vertices in one. Narrow columns are many for what is long, wide ones hold much
// that lies beside what is short.
const columnShare = 2

// wide is how many columns are passed by at once where nothing is near.
const wide = 16

// fill makes columns of the vertices, which are in order and none below bottom. Its
// error is the pace's.
func (c *columns) fill(p *pace, bottom int32, sc *scratch) error {
	n := len(c.vertices)
	c.shift = max(0, bits.Len(uint(n))-columnShare) / 2
	c.level = max(0, bits.Len32(uint32(bottom-c.top))-6)
	c.place, c.points, c.ids = room(sc.place, n)[:n], room(sc.points, n)[:n], room(sc.ids, n)[:n]
	sc.place, sc.points, sc.ids = c.place, c.points, c.ids
	sc.items = room(sc.items, n)[:n]
	sc.spare = room(sc.spare, n)[:n]
	all := (n-1)>>c.shift + 1
	c.spans = room(sc.spans, all)[:all]
	sc.spans = c.spans
	err := parallel.Ranges(p.ctx, all, worthSplitting>>c.shift, func(_, lo, hi int) error {
		p := unhurried(p.ctx)
		for i := lo; i < hi; i++ {
			from, to := i<<c.shift, min((i+1)<<c.shift, n)
			if err := c.column(p, i, sc.items[from:to], sc.spare[from:to], bottom); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	c.wide = room(sc.wide, all/wide+1)
	for i := 0; i < all; i += wide {
		last := min(i+wide, all) - 1
		w := span{left: c.spans[i].left, right: c.spans[last].right}
		for _, s := range c.spans[i : last+1] {
			w.levels |= s.levels
		}
		c.wide = append(c.wide, w)
	}
	sc.wide = c.wide
	return p.spend(3 * n)
}

// column sorts the vertices of one, in the room of items.
func (c *columns) column(p *pace, i int, items, spare []keyed, bottom int32) error {
	first := i << c.shift
	vertices := c.vertices[first : first+len(items)]
	for k, q := range vertices {
		items[k] = keyed{uint64(q.Y - c.top), VertexID(first + k)}
	}
	if err := sortKeyed(p, items, spare, bits.Len32(uint32(bottom-c.top))); err != nil {
		return err
	}
	s := span{left: vertices[0].X, right: vertices[len(vertices)-1].X}
	for k, it := range items {
		c.place[it.id], c.points[first+k], c.ids[first+k] = int32(first+k), c.vertices[it.id], it.id
		s.levels |= 1 << (it.key >> c.level)
	}
	c.spans[i] = s
	return nil
}

// passage is a fragment on its way through columns.
type passage struct {
	a, b        Point
	top, bottom int32
	first, last int     // the columns of its ends
	slope       float64 // 0 of what is in one column, level or upright
}

// within returns between which y lies what the fragment comes near in a span.
func (w *passage) within(s *span) (lo, hi int32) {
	if w.slope == 0 {
		return w.top, w.bottom
	}
	// What it is bent to passes nothing farther off than a step to each side, and up and down;
	// the rest is for the arithmetic.
	u := w.a.Y + int32((float64(max(s.left, w.a.X)-w.a.X)-1)*w.slope)
	v := w.a.Y + int32((float64(min(s.right, w.b.X)-w.a.X)+1)*w.slope)
	return max(w.top, min(u, v)-2), min(w.bottom, max(u, v)+2)
}

// vicinity is what vertices a fragment comes near, none of them its ends, in any order.
type vicinity struct {
	hit    []VertexID // it passes their hot squares
	missed []VertexID // it does not, but what it is bent to may
}

// look notes a vertex in the box of the line from a to b. A vertex that a bent part of the line
// passes is within a step of the line, in x and in y (see arrangement): twice as far as one that the line
// passes itself, so twice the reach of inHotPixel tells it.
func (near *vicinity) look(a, b, q Point, v VertexID) {
	dx, dy := int64(b.X)-int64(a.X), int64(b.Y)-int64(a.Y)
	k := 2 * (dx*(int64(q.Y)-int64(a.Y)) - dy*(int64(q.X)-int64(a.X)))
	if abs64(k) > 2*(abs64(dx)+abs64(dy)) {
		return
	}
	if inHotPixel(a, b, q) {
		near.hit = append(near.hit, v)
	} else {
		near.missed = append(near.missed, v)
	}
}

// fewBetween vertices between the ends of a fragment are sooner looked at than looked up.
const fewBetween = 48

// passed adds what vertices a fragment comes near, and returns how much work that was.
func (c *columns) passed(f fragment, near *vicinity) int {
	if f.to-f.from <= fewBetween {
		return c.scanned(f, near)
	}
	a, b := c.vertices[f.from], c.vertices[f.to]
	w := passage{a: a, b: b, top: min(a.Y, b.Y), bottom: max(a.Y, b.Y), first: int(f.from) >> c.shift, last: int(f.to) >> c.shift}
	begin, end := w.first, w.last
	// Some that lie straight above an end or below may be in the columns beside.
	for begin > 0 && c.above(begin<<c.shift, a.X, w.top) {
		begin--
	}
	for end+1 < len(c.spans) && c.below((end+1)<<c.shift-1, b.X, w.bottom) {
		end++
	}
	if begin < end && a.X < b.X {
		w.slope = float64(b.Y-a.Y) / float64(b.X-a.X)
	}
	tests := 0
	for column := begin; column <= end; column++ {
		skipped := c.skipped(&w, column)
		tests += skipped + 1
		column += skipped * wide
		s := &c.spans[column]
		lo, hi := w.within(s)
		var k int
		switch column {
		case w.first:
			k = int(c.place[f.from])
		case w.last:
			k = int(c.place[f.to])
		default:
			if s.levels&c.between(lo, hi) == 0 {
				continue
			}
			k = c.search(column, lo) - 1
		}
		tests += 1 + c.around(&w, column, k, lo, hi, near)
	}
	return tests
}

// skipped returns how many times the columns from one on, so many at once, lie far from
// the fragment. Those of its ends do not.
func (c *columns) skipped(w *passage, column int) (n int) {
	for column%wide == 0 && w.first < column && column+wide <= w.last {
		s := &c.wide[column/wide]
		if lo, hi := w.within(s); s.levels&c.between(lo, hi) != 0 {
			break
		}
		n++
		column += wide
	}
	return n
}

// around adds what a fragment comes near in a column, from place k up and down as far as it
// may lie there, and returns how many it looked at.
func (c *columns) around(w *passage, column, k int, lo, hi int32, near *vicinity) int {
	from, to := column<<c.shift, min((column+1)<<c.shift, len(c.vertices))
	i := k + 1
	for ; i < to && c.points[i].Y <= hi; i++ {
		if q := c.points[i]; q.X >= w.a.X && q.X <= w.b.X && q != w.b {
			near.look(w.a, w.b, q, c.ids[i])
		}
	}
	tests := i - k
	for i = k - 1; i >= from && c.points[i].Y >= lo; i-- {
		if q := c.points[i]; q.X >= w.a.X && q.X <= w.b.X && q != w.b {
			near.look(w.a, w.b, q, c.ids[i])
		}
	}
	return tests + k - i
}

// scanned is passed without columns, for what has few vertices between its ends.
func (c *columns) scanned(f fragment, near *vicinity) int {
	a, b := c.vertices[f.from], c.vertices[f.to]
	top, bottom := min(a.Y, b.Y), max(a.Y, b.Y)
	first, last := int(f.from), int(f.to)
	for c.above(first, a.X, top) {
		first--
	}
	for c.below(last, b.X, bottom) {
		last++
	}
	height := uint32(bottom - top)
	for i, q := range c.vertices[first : last+1] {
		if uint32(q.Y-top) <= height && q != a && q != b {
			near.look(a, b, q, VertexID(first+i))
		}
	}
	return 1 + (last-first)/2
}

// above reports whether the vertex before one lies at x, not above top.
func (c *columns) above(v int, x, top int32) bool {
	return v > 0 && c.vertices[v-1].X == x && c.vertices[v-1].Y >= top
}

// below reports whether the vertex after one lies at x, not below bottom.
func (c *columns) below(v int, x, bottom int32) bool {
	return v+1 < len(c.vertices) && c.vertices[v+1].X == x && c.vertices[v+1].Y <= bottom
}

// between returns the bits of the levels from one y to another.
func (c *columns) between(lo, hi int32) uint64 {
	return ^uint64(0) << ((lo - c.top) >> c.level) & (^uint64(0) >> (63 - (hi-c.top)>>c.level))
}

// search returns the first place in a column that does not lie above y.
func (c *columns) search(column int, y int32) int {
	from, to := column<<c.shift, min((column+1)<<c.shift, len(c.vertices))
	for from < to {
		if mid := int(uint(from+to) / 2); c.points[mid].Y < y {
			from = mid + 1
		} else {
			to = mid
		}
	}
	return from
}
