package weak

import (
	"abut/geometry"
	"abut/geometry/planar"
)

// bars returns the places between the two walls of thin places: from where
// medial discs touch to where they touch, and a little beyond, so that no
// hairline is left there. Opening may leave at a waist but a crumb on either
// side.
func (s *shape) bars() []planar.Figure {
	var out []planar.Figure
	// Each is a figure of its own: they may be wound either way.
	add := func(c ...geometry.Contour) { out = append(out, planar.Figure{Path: c}) }
	for i := 0; i < len(s.discs); {
		k, least := i+1, i
		for k < len(s.discs) && s.follows(k) {
			if s.discs[k].r < s.discs[least].r {
				least = k
			}
			k++
		}
		if k-i > 1 {
			add(s.ribbon(s.discs[i:k]))
		}
		add(s.bar(&s.discs[least])...)
		i = k
	}
	return out
}

// follows reports whether disc k touches next to where the one before does, on
// both sides.
func (s *shape) follows(k int) bool {
	const jump = 5 * sampleMM
	c, d := &s.discs[k-1], &s.discs[k]
	return c.run == d.run && c.c.Sub(d.c).Len() < jump && s.touch(c.t, c).Sub(s.touch(d.t, d)).Len() < jump
}

// touch returns where a disc touches a side, a little outside.
func (s *shape) touch(t int32, d *disc) geometry.Point {
	v := s.grid.sides[t].nearest(d.c).Sub(d.c)
	if l := v.Len(); l > 1e-6 {
		return d.c.Add(v.Mul(1 + slackMM/l))
	}
	return d.c
}

// ribbon is what lies between the walls that discs touch which follow each
// other.
func (s *shape) ribbon(discs []disc) geometry.Contour {
	pts := make([]geometry.Point, 0, 2*len(discs))
	for i := range discs {
		pts = append(pts, s.touch(discs[i].s, &discs[i]))
	}
	for i := len(discs) - 1; i >= 0; i-- {
		pts = append(pts, s.touch(discs[i].t, &discs[i]))
	}
	return geometry.Polygon(pts...)
}

// bar is the way across one disc.
func (s *shape) bar(d *disc) geometry.Path {
	var out geometry.Path
	for _, end := range [2]geometry.Point{s.touch(d.s, d), s.touch(d.t, d)} {
		v := end.Sub(d.c)
		l := v.Len()
		if l < 1e-6 {
			continue
		}
		u := v.Mul(1 / l)
		side := geometry.Pt(-u.Y, u.X).Mul(barMM)
		from := d.c.Sub(u.Mul(barMM))
		out = append(out, geometry.Polygon(from.Sub(side), end.Sub(side), end.Add(side), from.Add(side)))
	}
	return out
}
