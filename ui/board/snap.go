package board

import (
	"math"

	"abut/geometry"
)

// snapLine is a line across the board that edges or middles can lie on: at a
// coordinate along one axis, from one end to the other along the other. All in
// millimetres.
type snapLine struct {
	at, from, to float64
	// middle lines are those of middles, and catch only them.
	middle bool
}

// snapAxis is everything to snap to along one axis. The grid gives way to lines:
// it is everywhere.
type snapAxis struct {
	lines []snapLine
	// grid is the distance of the grid's lines, one of which is at zero; 0 for none.
	grid, zero float64
}

// add takes the two edges and the middle of what reaches from lo to hi along
// the axis and from a to b across it.
func (s *snapAxis) add(lo, hi, a, b float64) {
	s.lines = append(s.lines,
		snapLine{lo, a, b, false}, snapLine{hi, a, b, false}, snapLine{(lo + hi) / 2, a, b, true})
}

// snapTo is what there is to snap to in both directions: x has upright lines, y
// level ones.
type snapTo struct{ x, y snapAxis }

// add takes the edges and middles of a rectangle.
func (s *snapTo) add(r geometry.Rect) {
	if r.Empty() {
		return
	}
	s.x.add(r.Min.X, r.Max.X, r.Min.Y, r.Max.Y)
	s.y.add(r.Min.Y, r.Max.Y, r.Min.X, r.Max.X)
}

// edge returns how far an edge at v is from the nearest line that it can snap
// to, no further than reach.
func (s *snapAxis) edge(v, reach float64) (by float64, ok bool) {
	return s.nearest(v, reach, false)
}

func (s *snapAxis) nearest(v, reach float64, middle bool) (by float64, ok bool) {
	best := reach
	for _, l := range s.lines {
		if d := math.Abs(l.at - v); l.middle == middle && d <= best {
			best, by, ok = d, l.at-v, true
		}
	}
	if !ok && !middle && s.grid > 0 {
		if d := s.zero + math.Round((v-s.zero)/s.grid)*s.grid - v; math.Abs(d) <= best {
			by, ok = d, true
		}
	}
	return by, ok
}

// span returns the shift that makes an edge or the middle of what reaches from
// lo to hi lie on a line, the smallest there is; lines win over the grid.
func (s *snapAxis) span(lo, hi, reach float64) (by float64, ok bool) {
	best := math.Inf(1)
	try := func(v float64, middle bool, a *snapAxis) {
		if d, hit := a.nearest(v, reach, middle); hit && math.Abs(d) < best {
			best, by, ok = math.Abs(d), d, true
		}
	}
	lines := snapAxis{lines: s.lines}
	try(lo, false, &lines)
	try(hi, false, &lines)
	try((lo+hi)/2, true, &lines)
	if !ok {
		grid := snapAxis{grid: s.grid, zero: s.zero}
		try(lo, false, &grid)
		try(hi, false, &grid)
	}
	return by, ok
}

// move returns the shift that snaps a moved rectangle, and in which directions
// it does; reach is how far it may be off in millimetres.
func (s *snapTo) move(r geometry.Rect, reach float64) (by geometry.Point, x, y bool) {
	by.X, x = s.x.span(r.Min.X, r.Max.X, reach)
	by.Y, y = s.y.span(r.Min.Y, r.Max.Y, reach)
	return by, x, y
}

// corner returns where a pulled corner snaps to, each direction by itself.
func (s *snapTo) corner(p geometry.Point, reach float64) (q geometry.Point, x, y bool) {
	dx, x := s.x.edge(p.X, reach)
	dy, y := s.y.edge(p.Y, reach)
	return p.Add(geometry.Pt(dx, dy)), x, y
}

// along returns by which factor k of d a corner at still + k·d snaps, when it may
// only move along that line: whichever edge needs the smaller step.
func (s *snapTo) along(still, d geometry.Point, k, reach float64) (snapped float64, ok bool) {
	best := math.Inf(1)
	try := func(by float64, hit bool, d float64) {
		if hit && math.Abs(d) > 1e-9 && math.Abs(by) < best && k+by/d > 0 {
			best, snapped, ok = math.Abs(by), k+by/d, true
		}
	}
	bx, hx := s.x.edge(still.X+k*d.X, reach)
	by, hy := s.y.edge(still.Y+k*d.Y, reach)
	try(bx, hx, d.X)
	try(by, hy, d.Y)
	return snapped, ok
}

// guide is a line on the board, in millimetres, that says what was snapped to.
type guide struct{ from, to geometry.Point }

// guides returns the lines that a rectangle lies on, as far as they reach
// together with it; grid lines go across all of board.
func (s *snapTo) guides(r, board geometry.Rect) []guide {
	var out []guide
	for _, g := range s.x.on(r.Min.X, r.Max.X, r.Min.Y, r.Max.Y, board.Min.Y, board.Max.Y) {
		out = append(out, guide{geometry.Pt(g.at, g.from), geometry.Pt(g.at, g.to)})
	}
	for _, g := range s.y.on(r.Min.Y, r.Max.Y, r.Min.X, r.Max.X, board.Min.X, board.Max.X) {
		out = append(out, guide{geometry.Pt(g.from, g.at), geometry.Pt(g.to, g.at)})
	}
	return out
}

// onLine is how near a line counts as on it, in millimetres: what rounding
// leaves.
const onLine = 1e-6

func (s *snapAxis) on(lo, hi, a, b, from, to float64) []snapLine {
	var out []snapLine
	for _, v := range []struct {
		at     float64
		middle bool
	}{{lo, false}, {hi, false}, {(lo + hi) / 2, true}} {
		g := snapLine{at: v.at, from: a, to: b}
		hit := false
		for _, l := range s.lines {
			if l.middle == v.middle && math.Abs(l.at-v.at) <= onLine {
				g.from, g.to, hit = min(g.from, l.from), max(g.to, l.to), true
			}
		}
		if !hit && !v.middle && s.grid > 0 && math.Abs(math.Round(v.at/s.grid)*s.grid-v.at) <= onLine {
			g.from, g.to, hit = from, to, true
		}
		if hit {
			out = append(out, g)
		}
	}
	return out
}
