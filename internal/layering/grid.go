package layering

import (
	"cmp"
	"slices"

	"abut/geometry"
)

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
			if n := s.Chords(from, sagitta); n > 1 {
				cut := s.Chorded(from, n)
				for k := 1; k < n; k++ {
					to := cut.End(k)
					m.edge(from, to)
					from = to
				}
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
	h := b.Y - a.Y
	at := func(v float64) float64 { // where it is at y = v, or the end that is nearest
		switch {
		case v <= a.Y:
			return a.X
		case v >= b.Y:
			return a.X + (b.X - a.X) // as it comes out between
		}
		return a.X + (b.X-a.X)*((v-a.Y)/h)
	}
	for y := max(m.row, m.y0); y <= m.y1 && m.ys[y] <= b.Y; y++ {
		// The part of the edge in this row.
		left, right := a.X, b.X
		if h > 0 {
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
