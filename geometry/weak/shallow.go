package weak

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// shallows is where the other side of a shape is so near that nobody needs to go
// half a width inwards to find what is nearer to the outline than that. In the
// middle of a sunburst all rays come within half a width of all others: bands of
// that depth would cross like a star's sides.
//
// What the disc at a place of the outline does not reach is nearer to another
// place. So what lies within half a width of the outline lies on the way from
// there to the centres of the discs. Between two samples a disc is no larger than
// one that touches the same side as either does: its radius is a convex function
// of the place (a parabola for each point of that side, all above the straight
// line that stands for its inside), at most what lies on the line between the two.
type shallows struct {
	parts []part
	turns []turn
	deep  float64 // as deep as a band is elsewhere
	// Of the last part, between these its slope must stay for it to go on.
	low, high float64
}

// part is a stretch of a side along which the band's depth is linear.
type part struct {
	side   int32
	x0, x1 float64 // along the side
	d0, d1 float64
}

// turn is a stretch of the corner where a side ends, up to one of its normals, and
// how deep the band's sector is there.
type turn struct {
	side, normal int32
	depth        float64
}

const (
	// A depth reaches from one wall over the other: 2 radii and a quarter of one.
	// No rounding leaves a hairline between the bands of both then.
	reaches = 2.25
	// Where the radius is not linear, a part's depth may be between these.
	reachesAtLeast, reachesAtMost = 1.5, 6
)

// shallows works out where the outline is shallow. Its error is the context's.
func (s *shape) shallows(pace *pace, l *lengths) (*shallows, error) {
	out := &shallows{deep: l.r}
	discs := s.discs
	for i := range s.grid.sides {
		id := int32(i)
		k := 0
		for k < len(discs) && discs[k].s == id {
			k++
		}
		asked := out.along(s.grid, id, discs[:k], l)
		if !s.isPinched(id) {
			asked += out.corner(s.grid, id, l)
		}
		discs = discs[k:]
		if err := pace.spend(asked); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// along adds the parts of one side, of which these are the discs of thin places, and
// returns how many places it asked.
func (s *shallows) along(g *grid, id int32, discs []disc, l *lengths) int {
	wall := &g.sides[id]
	n, length, samples := wall.inward(), wall.length(), l.samples(wall)
	guess := l.r
	// touches returns the other side that the disc at a place touches, −1 when
	// there is none.
	touches := func(place int, p geometry.Point) int32 {
		if len(discs) > 0 && discs[0].at == int32(place) {
			d := discs[0]
			discs = discs[1:]
			guess = 1.25 * d.r
			return d.t
		}
		d, _ := g.shrink(p, n, id, l.r, guess, l)
		guess = 1.25 * d.r
		return d.t
	}
	s.low, s.high = 1, 0
	x, before, at := 0.0, int32(-1), wall.a
	to := func(next float64, p geometry.Point, t int32) {
		r0, r1 := g.largest(at, n, before, p, n, t)
		if reaches*max(r0, r1) <= s.deep {
			s.add(id, x, next, r0, r1)
		} else {
			s.low, s.high = 1, 0
		}
		x, before, at = next, t, p
	}
	for j := range samples {
		share := sampleAt(j, samples)
		p := wall.a.Lerp(wall.b, share)
		to(length*share, p, touches(j, p))
	}
	to(length, wall.b, -1)
	return samples
}

// corner adds the stretches of the corner where a side ends, if it points inwards,
// and returns how many places it asked.
func (s *shallows) corner(g *grid, id int32, l *lengths) int {
	p, normals, guess := g.sides[id].b, g.corner(id), l.r
	before := int32(-1)
	for i, n := range normals {
		d, _ := g.shrink(p, n, id, l.r, guess, l)
		guess = 1.25 * d.r
		if i > 0 {
			r0, r1 := g.largest(p, normals[i-1], before, p, n, d.t)
			if depth := reaches * max(r0, r1); depth <= l.r {
				s.turns = append(s.turns, turn{id, int32(i), depth})
			}
		}
		before = d.t
	}
	return len(normals)
}

// add prolongs the last part if its depth stays linear, or begins another.
func (s *shallows) add(side int32, x0, x1, r0, r1 float64) {
	if s.low <= s.high {
		p := &s.parts[len(s.parts)-1]
		low, high := s.low, s.high
		for _, v := range [2][2]float64{{x0, r0}, {x1, r1}} {
			low = max(low, (reachesAtLeast*v[1]-p.d0)/(v[0]-p.x0))
			high = min(high, (min(reachesAtMost*v[1], s.deep)-p.d0)/(v[0]-p.x0))
		}
		if slope := (reaches*r1 - p.d0) / (x1 - p.x0); low <= slope && slope <= high {
			p.x1, p.d1 = x1, reaches*r1
			s.low, s.high = low, high
			return
		}
	}
	s.parts = append(s.parts, part{side, x0, x1, reaches * r0, reaches * r1})
	s.low = (reachesAtLeast*r1 - reaches*r0) / (x1 - x0)
	s.high = (min(reachesAtMost*r1, s.deep) - reaches*r0) / (x1 - x0)
}

// largest returns what the radius of discs between two places p0 and p1 is at most
// there, with normals n0 and n1, if the discs at these touch sides t0 and t1, −1
// for none: infinite if neither does.
func (g *grid) largest(p0, n0 geometry.Point, t0 int32, p1, n1 geometry.Point, t1 int32) (r0, r1 float64) {
	r0, r1 = math.Inf(1), math.Inf(1)
	for i, t := range [2]int32{t0, t1} {
		if t < 0 || i > 0 && t == t0 {
			continue
		}
		if u, v := g.tangent(p0, n0, t), g.tangent(p1, n1, t); max(u, v) < max(r0, r1) {
			r0, r1 = u, v
		}
	}
	return r0, r1
}

// of returns the parts of a side, in order along it.
func (s *shallows) of(side int32) []part {
	i, _ := slices.BinarySearchFunc(s.parts, side, func(p part, side int32) int { return cmp.Compare(p.side, side) })
	k := i
	for k < len(s.parts) && s.parts[k].side == side {
		k++
	}
	return s.parts[i:k]
}

// sector appends the sector of the band at the corner where a side ends, between
// displacements n and m from it, and reports whether it is not as deep as they are.
func (s *shape) sector(pts []geometry.Point, id int32, n, m geometry.Point) ([]geometry.Point, bool) {
	if s == nil || s.shallow == nil {
		return pts, false
	}
	b, whole := s.grid.sides[id].b, n.Len()
	if s.isPinched(id) {
		return append(pts, b), true
	}
	i, ok := slices.BinarySearchFunc(s.shallow.turns, id, func(t turn, side int32) int { return cmp.Compare(t.side, side) })
	if !ok {
		return pts, false
	}
	turns := s.shallow.turns[i:]
	normals := s.grid.corner(id)
	for k := 1; k < len(normals); k++ {
		depth := whole
		if len(turns) > 0 && turns[0].side == id && turns[0].normal == int32(k) {
			depth, turns = turns[0].depth, turns[1:]
		}
		pts = append(pts, b.Add(normals[k-1].Mul(depth)), b.Add(normals[k].Mul(depth)))
	}
	return append(pts, b.Add(m)), true
}

// at reports whether a place along a side is shallow.
func (s *shallows) at(side int32, x float64) bool {
	return slices.ContainsFunc(s.of(side), func(p part) bool { return p.x0 <= x && x <= p.x1 })
}

// edge appends the far edge of the band beside a side, which lies as deep as the
// displacement from it except where the side is shallow.
func (s *shape) edge(pts []geometry.Point, id int32, side *side, deep geometry.Point) []geometry.Point {
	if s == nil || s.shallow == nil {
		return append(pts, side.a.Add(deep), side.b.Add(deep))
	}
	length, whole := side.length(), deep.Len()
	at := func(x, depth float64) {
		pts = append(pts, side.a.Lerp(side.b, x/length).Add(deep.Mul(depth/whole)))
	}
	x := 0.0
	for _, p := range s.shallow.of(id) {
		if p.x0 > x {
			at(x, whole)
			at(p.x0, whole)
		}
		at(p.x0, p.d0)
		at(p.x1, p.d1)
		x = p.x1
	}
	if x < length {
		at(x, whole)
		at(length, whole)
	}
	return pts
}
