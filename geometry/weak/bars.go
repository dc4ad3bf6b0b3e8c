package weak

import (
	"iter"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// bars returns the places between the two walls of thin places: from where
// medial discs touch to where they touch, and a little beyond, so that no
// hairline is left there. Opening may leave at a waist but a crumb on either
// side. Where the outline is shallow and nothing is opened near, none is needed.
// Its error is the context's.
func (s *shape) bars(pace *pace, l *lengths) ([]planar.Figure, error) {
	var out []planar.Figure
	isNeeded, err := s.needsBars(pace, l)
	if err != nil {
		return nil, err
	}
	var needed []bool
	for discs := range s.rounds() {
		needed = needed[:0]
		for i := range discs {
			needed = append(needed, isNeeded(&discs[i]))
			if err := pace.spend(1); err != nil {
				return nil, err
			}
		}
		for i := 0; i < len(discs); {
			k := i + 1
			for k < len(discs) && s.follows(&discs[k-1], &discs[k], l) {
				k++
			}
			out = s.barsOf(discs[i:k], needed[i:k], l, out)
			if err := pace.spend(k - i); err != nil {
				return nil, err
			}
			i = k
		}
	}
	return out, nil
}

// barsOf appends ribbons along those of discs which follow each other that need one, and a
// bar across the least of all if that does.
func (s *shape) barsOf(discs []disc, needed []bool, l *lengths, out []planar.Figure) []planar.Figure {
	least := 0
	for i := range discs {
		if discs[i].r < discs[least].r {
			least = i
		}
	}
	barred := needed[least]
	for i := 0; i < len(discs); {
		if !needed[i] {
			i++
			continue
		}
		from := i
		for i < len(discs) && needed[i] {
			i++
		}
		row := discs[from:i]
		before, after := s.tips(row, l)
		// Each is a figure of its own: they may be wound either way.
		if len(row) > 1 || len(before)+len(after) > 0 {
			out = append(out, planar.Figure{Path: geometry.Path{s.ribbon(row, l, before, after)}})
		}
		// In a tip the ribbon reaches to its very end.
		if len(before) > 0 && least == from || len(after) > 0 && least == i-1 {
			barred = false
		}
	}
	if barred {
		out = append(out, planar.Figure{Path: s.bar(&discs[least], l)})
	}
	return out
}

// rounds are the discs of each contour. Where things crowd, a row that goes on from
// the contour's end to its start comes in one, for a bar at such a chance end would
// be one more across the tips of needles.
func (s *shape) rounds() iter.Seq[[]disc] {
	return func(yield func([]disc) bool) {
		if s.shallow == nil {
			yield(s.discs)
			return
		}
		contour := s.way().contour
		for i := 0; i < len(s.discs); {
			k := i + 1
			for k < len(s.discs) && contour[s.discs[k].s] == contour[s.discs[i].s] {
				k++
			}
			if !yield(s.turned(s.discs[i:k])) {
				return
			}
			i = k
		}
	}
}

// turned returns the discs of a contour with the first row after the last, if that
// goes on there.
func (s *shape) turned(discs []disc) []disc {
	first, last := &discs[0], &discs[len(discs)-1]
	if first.run == last.run || first.at > 0 || s.grid.sides[last.s].next != first.s || s.isPinched(last.s) {
		return discs
	}
	head := 1
	for discs[head].run == first.run {
		head++
	}
	out := slices.Concat(discs[head:], discs[:head])
	for i := len(discs) - head; i < len(out); i++ {
		out[i].run = last.run
	}
	return out
}

// needsBars returns the test whether a disc is near what is opened, or where the
// outline is not shallow. What is grown back reaches into the disc, or what lies
// within a sample of it, only if its core is no further than half a width from that.
// Its error is the context's.
func (s *shape) needsBars(pace *pace, l *lengths) (func(*disc) bool, error) {
	if s.shallow == nil {
		return func(*disc) bool { return true }, nil
	}
	var core *grid
	if walls := sides(s.core); len(walls) > 0 {
		var err error
		if core, err = newGrid(pace, walls, l.width); err != nil {
			return nil, err
		}
	}
	return func(d *disc) bool {
		wall := &s.grid.sides[d.s]
		if !s.shallow.at(d.s, wall.nearest(d.c).Sub(wall.a).Len()) {
			return true
		}
		if core == nil {
			return false
		}
		_, _, near := core.nearest(d.c, d.r+l.r+l.slack+l.sample, -1)
		return near
	}, nil
}

// follows reports whether disc d touches next to where c does, on both sides.
func (s *shape) follows(c, d *disc, l *lengths) bool {
	return c.run == d.run && c.c.Sub(d.c).Len() < l.jump && s.touch(c.t, c, l.slack, l).Sub(s.touch(d.t, d, l.slack, l)).Len() < l.jump
}

// touch returns where a disc touches a side, so much outside.
func (s *shape) touch(t int32, d *disc, slack float64, l *lengths) geometry.Point {
	v := s.grid.sides[t].nearest(d.c).Sub(d.c)
	if n := v.Len(); n > l.nothing {
		return d.c.Add(v.Mul(1 + slack/n))
	}
	return d.c
}

// tips returns the corners in which the walls meet that a row of discs touches, before
// the first and after the last, if the outline is shallow and these are near to them.
func (s *shape) tips(row []disc, l *lengths) (before, after []geometry.Point) {
	if s.shallow == nil {
		return nil, nil
	}
	first, last := &row[0], &row[len(row)-1]
	before, after = s.tip(first, l), s.tip(last, l)
	if len(before) > 0 && len(after) > 0 && before[0] == after[0] { // one tip, and a short row
		if first.r <= last.r {
			return before, nil
		}
		return nil, after
	}
	return before, after
}

// tip returns the corner in which the two walls that a disc touches meet, if it is
// near.
func (s *shape) tip(d *disc, l *lengths) []geometry.Point {
	a, b := &s.grid.sides[d.s], &s.grid.sides[d.t]
	for _, p := range [2]geometry.Point{a.a, a.b} {
		if (p == b.a || p == b.b) && p.Sub(d.c).Len() < l.sample {
			return []geometry.Point{p}
		}
	}
	return nil
}

// ribbon is what lies between the walls that discs touch which follow each
// other, and the tips before and after them.
//
// Where things crowd, of a row between two straight walls the first and the last
// are enough; and along a straight wall it reaches over it by what rounding takes
// and no more, for just behind it may be the tip of a needle.
func (s *shape) ribbon(discs []disc, l *lengths, before, after []geometry.Point) geometry.Contour {
	slack := l.slack
	kept := make([]*disc, 0, len(discs))
	for i := 0; i < len(discs); {
		k := i + 1
		for k < len(discs) && s.goesOn(&discs[k-1], &discs[k]) {
			k++
		}
		if s.shallow != nil && k-i == len(discs) {
			slack = roundingMM
		}
		if s.shallow != nil && k-i > 2 {
			kept = append(kept, &discs[i], &discs[k-1])
			i = k
			continue
		}
		for ; i < k; i++ {
			kept = append(kept, &discs[i])
		}
	}
	pts := make([]geometry.Point, 0, 2*len(kept)+2)
	pts = append(pts, before...)
	for _, d := range kept {
		pts = append(pts, s.touch(d.s, d, slack, l))
	}
	pts = append(pts, after...)
	for _, d := range slices.Backward(kept) {
		pts = append(pts, s.touch(d.t, d, slack, l))
	}
	return geometry.Polygon(pts...)
}

// roundingMM is how far an outline and what is drawn over it may come to lie from
// each other on planar's grid: two steps.
const roundingMM = 2.0 / planar.StepsPerMM

// faces reports whether a disc touches its other side between that side's ends.
func (s *shape) faces(d *disc) bool {
	t := &s.grid.sides[d.t]
	p := t.nearest(d.c)
	return p != t.a && p != t.b
}

// bar is the way across one disc.
func (s *shape) bar(d *disc, l *lengths) geometry.Path {
	var out geometry.Path
	for _, end := range [2]geometry.Point{s.touch(d.s, d, l.slack, l), s.touch(d.t, d, l.slack, l)} {
		v := end.Sub(d.c)
		n := v.Len()
		if n < l.nothing {
			continue
		}
		u := v.Mul(1 / n)
		side := geometry.Pt(-u.Y, u.X).Mul(l.bar)
		from := d.c.Sub(u.Mul(l.bar))
		out = append(out, geometry.Polygon(from.Sub(side), end.Sub(side), end.Add(side), from.Add(side)))
	}
	return out
}

// fewer leaves out most discs of long rows between two straight walls, which say
// nothing more once there are bars: their radius is linear. Those at either end stay,
// for somewhere there what is thin ends.
func (s *shape) fewer() {
	const ends, kept = 20, 10 // two widths; and of the rest one in so many
	var out []disc
	for i := 0; i < len(s.discs); {
		k := i + 1
		for k < len(s.discs) && s.goesOn(&s.discs[k-1], &s.discs[k]) {
			k++
		}
		for j := i; j < k; j++ {
			if j < i+ends || j >= k-ends || j%kept == 0 {
				out = append(out, s.discs[j])
			}
		}
		i = k
	}
	s.discs = out
}

// goesOn reports whether a disc touches the same straight walls as the one before.
func (s *shape) goesOn(c, d *disc) bool {
	return c.run == d.run && c.s == d.s && c.t == d.t && s.faces(c) && s.faces(d)
}
