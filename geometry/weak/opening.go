package weak

import (
	"context"
	"iter"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

// open returns what is left of a shape near its thin places
// after shrinking by half the width and growing back, as figures of one layer,
// and sets its core: what there is before growing back. It is larger than the
// true opening where nothing thin is near.
func (f *finder) open(ctx context.Context, s *shape) (out []planar.Figure, _ error) {
	l := &f.lengths
	s.core = nil
	pace := &pace{ctx: ctx}
	near := newNearby(centres(s.discs), f.reach*l.width)
	band, err := near.band(pace, s.grid.sides, -l.r, s, l)
	if err != nil {
		return nil, err
	}
	if s.shallow != nil {
		band = append(band, s.sectors(near, l)...)
	}
	layers := []planar.Layer{{Figures: []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}}, {Figures: []planar.Figure{{Path: band}}}}
	d, err := f.overlay(ctx, s, layers, func(c []int32) int32 {
		if len(c) == 1 && c[0] == outlined {
			return sturdyPart
		}
		return planar.None
	})
	if err != nil {
		return nil, err
	}
	for k := range d.Pieces {
		core := d.outline(int32(k))
		s.core = append(s.core, core...)
		band, err := near.band(pace, sides(core), l.r+l.slack, nil, l)
		if err != nil {
			return nil, err
		}
		out = append(out, planar.Figure{Path: core, Rule: geometry.EvenOdd}, planar.Figure{Path: band})
	}
	return out, nil
}

// centres are where discs lie.
func centres(discs []disc) iter.Seq[geometry.Point] {
	return func(yield func(geometry.Point) bool) {
		for i := range discs {
			if !yield(discs[i].c) {
				return
			}
		}
	}
}

// band is geometry.OffsetBand of the parts of an outline that are near: what a
// quad beside each side and a sector at each corner that opens cover together.
// Where these follow each other, the sides that two of them have in common, once
// each way, are left out: they would be most of what has to be cut with the rest.
// It is less deep where the outline, that of the shape unless this is nil, is
// shallow. Its error is the context's.
func (k *nearby) band(pace *pace, all []side, d float64, s *shape, l *lengths) (geometry.Path, error) {
	var out geometry.Path
	for i := 0; i < len(all); {
		if err := pace.spend(1); err != nil {
			return nil, err
		}
		if !k.touches(all[i].a, all[i].b) {
			i++
			continue
		}
		first := i
		pts := []geometry.Point{all[i].a}
		for {
			side := &all[i]
			n := side.inward().Mul(-d)
			next := side.next == int32(i+1) && k.touches(all[i+1].a, all[i+1].b)
			m := all[side.next].inward().Mul(-d)
			pts = s.edge(pts, int32(i), side, n)
			if turn := n.Cross(m) * math.Copysign(1, d); turn > 0 || turn == 0 && n.Dot(m) < 0 {
				var shallow bool
				if pts, shallow = s.sector(pts, int32(i), n, m); !shallow {
					pts = appendArc(pts, side.b, n, m, d, l.sagitta)
				}
			} else if next && turn != 0 {
				pts = append(pts, side.b)
			}
			if i++; !next {
				break
			}
			if err := pace.spend(1); err != nil {
				return nil, err
			}
		}
		for j := i - 1; j >= first; j-- {
			pts = append(pts, all[j].b)
		}
		out = append(out, wound(pts, d))
	}
	return out, nil
}

// sectors are the bands, half a width deep, of the shape's pinches that are near.
func (s *shape) sectors(near *nearby, l *lengths) geometry.Path {
	var out geometry.Path
	for _, p := range s.pinches {
		if !near.touches(p.at, p.at) {
			continue
		}
		pts := []geometry.Point{p.at}
		for _, n := range p.open() {
			pts = append(pts, p.at.Add(n.Mul(l.r)))
		}
		out = append(out, wound(pts, -l.r))
	}
	return out
}

// wound returns the polygon of a band at distance d, all wound the same way.
func wound(pts []geometry.Point, d float64) geometry.Contour {
	c := geometry.Polygon(pts...)
	if d < 0 {
		c = geometry.Path{c}.Reverse()[0]
	}
	return c
}

// appendArc appends the arc around b that follows its end b + n and leads to
// b + m, d away, in chords that stray less than the sagitta.
func appendArc(pts []geometry.Point, b, n, m geometry.Point, d, sagitta float64) []geometry.Point {
	angle := math.Atan2(n.Cross(m), n.Dot(m))
	if n.Cross(m) == 0 { // straight back
		angle = math.Copysign(math.Pi, d)
	}
	step := 2 * math.Acos(math.Max(0, 1-sagitta/math.Abs(d)))
	k := max(1, int(math.Ceil(math.Abs(angle)/step)))
	for i := 1; i < k; i++ {
		sin, cos := math.Sincos(angle * float64(i) / float64(k))
		pts = append(pts, b.Add(geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos)))
	}
	return append(pts, b.Add(m))
}
