package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// bluntWidths is how broad, in narrowest widths, a point is where it is cut off that is made
// broad from there on: to make it broad up to its tip would change as much of the picture
// again. stubWidths is how long what is cut off is at least.
const (
	bluntWidths = 0.5
	stubWidths  = 0.75
)

// bothShare is how long its other sides are at least, in those along a neighbour, of what
// does not lie in the midst of that.
const bothShare = 0.5

// grown returns layers that make a spot as broad as it must be on the side of one neighbour
// alone: as far as the width reaches from its other sides, which stay as they were drawn. So
// a shade along an edge grows away from that. Where the neighbour is on both sides it grows
// from its middle. The thin end of a point goes to the same neighbour. Nothing where that
// is not beside it. Errors as own.Lay.
func (m *mending) grown(ctx context.Context, s *Spot, to own.Material, width float64) (out []layer, err error) {
	neighbours := slices.DeleteFunc(slices.Clone(s.Neighbours), func(n Neighbour) bool { return n.Of == s.Of })
	k := slices.IndexFunc(neighbours, func(n Neighbour) bool { return n.Of == to })
	if k < 0 {
		return nil, nil
	}
	var end geometry.Path
	all := m.sidesOf(s, neighbours, sideStep*width)
	if s.Kind == weak.Point {
		tip, err := s.thinner(ctx, bluntWidths*width)
		if err != nil {
			return nil, err
		}
		if b := tip.Bounds(); math.Hypot(b.Width(), b.Height()) > stubWidths*width {
			if end, err = s.tipOff(ctx, tip, bluntWidths*width/2); err != nil {
				return nil, err
			}
			out = append(out, layer{path: end, from: taker{of: s.Of}, to: to})
			all = slices.DeleteFunc(all, func(x side) bool { return tip.Distance(x.a.Lerp(x.b, 0.5)) < own.HealMM/4 })
		}
	}
	var others []side
	on, beside := 0.0, 0.0
	for _, x := range all {
		if length := x.b.Sub(x.a).Len(); x.of == k {
			on += length
		} else {
			others, beside = append(others, x), beside+length
		}
	}
	if on == 0 {
		return nil, nil
	}
	grown := layer{from: taker{of: to}, to: s.Of}
	if beside < bothShare*on {
		spine := *m.inwards(s, width)
		if end != nil {
			cut := geometry.NewEnclosure(end)
			spine.Spine = slices.DeleteFunc(slices.Clone(spine.Spine), func(l [2]geometry.Point) bool { return cut.Holds(l[0]) || cut.Holds(l[1]) })
		}
		if grown.path, err = spine.Widened(ctx, width); err != nil {
			return nil, own.Explain(err, nil)
		}
		return append(out, grown), nil
	}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: strips(others, width)}}}, planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	grown.path = d.All().Simplified(seenMM / 4)
	return append(out, grown), nil
}

// thinner returns the part of a spot that is thinner than a width. Errors as own.Lay.
func (s *Spot) thinner(ctx context.Context, width float64) (out geometry.Path, _ error) {
	o := weak.Options{WidthMM: math.Max(weak.MinWidthMM, width), NoGaps: true, NoSpines: true, Within: []geometry.Rect{s.Bounds}}
	spots, err := weak.Find(ctx, []geometry.Path{s.whole}, o)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	for i := range spots {
		if s.Bounds.Grow(own.HealMM).Encloses(spots[i].Bounds) {
			out = append(out, spots[i].Outline...)
		}
	}
	return out, nil
}

// tipOff returns what of a spot lies no further from its tip than a distance: so far into
// it reaches the round end of what is as broad. Errors as own.Lay.
func (s *Spot) tipOff(ctx context.Context, tip geometry.Path, reach float64) (geometry.Path, error) {
	near, err := planar.Offset(ctx, planar.Layer{Figures: []planar.Figure{{Path: tip, Rule: geometry.EvenOdd}}}, reach, geometry.Join{}, planar.Options{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	covered, err := covering(ctx, s.Outline)
	if err != nil {
		return nil, err
	}
	within := []*planar.Clip{{Figures: []planar.Figure{{Path: covered, Rule: geometry.EvenOdd}}}}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: near, Rule: geometry.EvenOdd, Clips: within}}}, planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	return d.All(), nil
}

// strips covers what lies within a distance of sides, inwards of them.
func strips(sides []side, width float64) (out geometry.Path) {
	for i, s := range sides {
		far := s.in.Mul(width)
		out = append(out, clockwise(s.a, s.b, s.b.Add(far), s.a.Add(far)))
		if i+1 == len(sides) {
			break
		}
		if next := sides[i+1]; next.a == s.b && next.in != s.in && next.in.Dot(s.in) > -0.9 {
			n := s.in.Add(next.in) // where it bends away
			out = append(out, clockwise(s.b, s.b.Add(far), s.b.Add(n.Mul(width/n.Len())), s.b.Add(next.in.Mul(width))))
		}
	}
	return out
}

// clockwise returns a polygon that turns so on screen.
func clockwise(corners ...geometry.Point) geometry.Contour {
	c := geometry.Path{geometry.Polygon(corners...)}
	if c.SignedArea() < 0 {
		c = c.Reverse()
	}
	return c[0]
}
