package mend

import (
	"cmp"
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
// from its middle, or to the side that has more room. The thin end of a point goes to the same
// neighbour. Nothing where that is not beside it. Errors as own.Lay.
func (m *mending) grown(ctx context.Context, s *Spot, to own.Material, width float64) ([]layer, error) {
	neighbours := slices.DeleteFunc(slices.Clone(s.Neighbours), func(n Neighbour) bool { return n.Of == s.Of })
	k := slices.IndexFunc(neighbours, func(n Neighbour) bool { return n.Of == to })
	if k < 0 {
		return nil, nil
	}
	all := bank(m.sidesOf(s, neighbours, sideStep*width))
	at := m.endsAt(s, width)
	var tip, end geometry.Path
	var err error
	if len(at) == 0 {
		if tip, end, err = s.thinEnd(ctx, width); err != nil {
			return nil, err
		}
	}
	var out []layer
	if end != nil {
		out = append(out, layer{path: end, from: s.goes(), to: to})
		thin := geometry.NewEnclosure(tip)
		all = slices.DeleteFunc(all, func(x side) bool { return thin.Nears(x.a.Lerp(x.b, 0.5), own.HealMM/4) })
	}
	if !slices.ContainsFunc(all, func(x side) bool { return x.of == k }) {
		return nil, nil
	}
	grown := layer{from: taker{of: to}, to: s.Of, straight: s.Kind == weak.Point}
	held, found := m.held(s, all, k, neighbours, at, width)
	if !found {
		grown, err = m.fromMiddle(ctx, s, grown, end, len(at) == 0, width)
		return append(out, grown), err
	}
	if s.Kind == weak.Point && end == nil && len(at) == 0 {
		if len(neighbours) == 1 && s.LengthMM > shortPoint*width {
			return s.straight(ctx, held, grown, width)
		}
		return s.rounded(ctx, held, grown, width)
	}
	path, err := united(ctx, planar.Figure{Path: strips(held, width)})
	grown.path = path.Simplified(seenMM / 16)
	return append(out, grown), err
}

// fromMiddle returns a layer that makes a spot broad to both sides of its middle, but for the end that is cut
// off. A point that ends free ends straight. Errors as own.Lay.
func (m *mending) fromMiddle(ctx context.Context, s *Spot, grown layer, end geometry.Path, free bool, width float64) (layer, error) {
	spine := *m.inwards(s, width)
	if grown.straight = end != nil; grown.straight {
		spine.Spine = beyond(spine.Spine, end, width/2)
	}
	broad, err := spine.Widened(ctx, width)
	if err != nil {
		return grown, own.Explain(err, nil)
	}
	if grown.path = broad; s.Kind == weak.Point && end == nil && free {
		grown.path, err = s.upright(ctx, broad, width)
	}
	return grown, err
}

// held returns the sides of a spot that stay as they are where it grows on those of one neighbour:
// all others but for where it only ends, and where that neighbour is on both sides the bank that
// lies in front, or has less room; false where neither does.
func (m *mending) held(s *Spot, all bank, k int, neighbours []Neighbour, at []own.Material, width float64) (bank, bool) {
	on, others := apartBy(all, func(x side) bool { return x.of == k })
	if others.length() >= bothShare*on.length() {
		if along, _ := apartBy(others, func(x side) bool { return !slices.Contains(at, neighbours[x.of].Of) }); along.length() > 0 {
			others = along
		}
		return others, true
	}
	gives, found := m.behind(s, banksOf(on))
	if !found {
		gives, found = m.roomier(banksOf(on), neighbours[k].Of, width)
	}
	if !found {
		return nil, false
	}
	if len(at) > 0 {
		// What is left of the bank that gives way beyond the end is no side to grow from.
		_, kept := apartBy(on, func(x side) bool { return slices.Contains(gives, x) })
		return banksOf(kept)[0], true
	}
	_, others = apartBy(all, func(x side) bool { return slices.Contains(gives, x) })
	return others, true
}

// thinEnd returns the thin part of a point, and what of the point lies about it, to be cut
// off; nothing where there is none that is worth it, or what it is of would miss it. Errors as own.Lay.
func (s *Spot) thinEnd(ctx context.Context, width float64) (tip, end geometry.Path, err error) {
	if s.Kind != weak.Point {
		return nil, nil, nil
	}
	if tip, err = s.thinner(ctx, bluntWidths*width); err != nil {
		return nil, nil, err
	}
	if b := tip.Bounds(); math.Hypot(b.Width(), b.Height()) <= stubWidths*width || s.reachesOut(math.Hypot(b.Width(), b.Height()), width) {
		return nil, nil, nil
	}
	end, err = s.tipOff(ctx, tip, bluntWidths*width/2)
	return tip, end, err
}

// rounded returns layers that make a point broad along some of its sides, round at its end:
// what sticks out of that goes to the neighbour, or would be a horn. Errors as own.Lay.
func (s *Spot) rounded(ctx context.Context, along bank, grown layer, width float64) ([]layer, error) {
	tip := s.tip()
	var err error
	if grown.path, err = touching(along, tip, width/math.Sqrt2 /* half a width along, and across */, width).Widened(ctx, width); err != nil {
		return nil, own.Explain(err, nil)
	}
	if len(grown.path) == 0 {
		return nil, nil
	}
	speck := geometry.Path{geometry.Ellipse(tip, own.HealMM, own.HealMM)}
	end, err := s.tipOff(ctx, speck, width/math.Sqrt2)
	if err != nil {
		return nil, err
	}
	return []layer{{path: end, from: s.goes(), to: grown.from.of}, grown}, nil
}

// straight returns layers that make a long point broad along some of its sides up to its tip, and end it
// there straight: a round end is a knob. Errors as own.Lay.
func (s *Spot) straight(ctx context.Context, along bank, grown layer, width float64) ([]layer, error) {
	tip := s.tip()
	spot := touching(along, tip, 0, width)
	broad, err := spot.Widened(ctx, width)
	if err != nil || len(broad) == 0 {
		return nil, own.Explain(err, nil)
	}
	_, way := s.goesOn(tip, width)
	if way == (geometry.Point{}) {
		return nil, nil
	}
	grown.path, err = minus(ctx, broad, geometry.Path{beyondTip(tip, way)})
	return []layer{grown}, err
}

// touching returns a spot whose middle runs half a width inwards of sides, and no nearer than
// a distance to an end: made broad it touches both, and is round there.
func touching(sides bank, end geometry.Point, short, width float64) *weak.Spot {
	spot := &weak.Spot{}
	var last *geometry.Point
	for i, s := range sides {
		at := s.a.Lerp(s.b, 0.5).Add(s.in.Mul(width / 2))
		if end.Sub(at).Len() < short-own.HealMM {
			last = nil
			continue
		}
		if last == nil || sides[i-1].b != s.a {
			last = &at
		}
		spot.Spine = append(spot.Spine, [2]geometry.Point{*last, at})
		last = &at
	}
	return spot
}

// beyond returns what of lines lies further than a distance from what is cut off.
func beyond(lines [][2]geometry.Point, cut geometry.Path, far float64) (out [][2]geometry.Point) {
	inside := geometry.NewEnclosure(cut)
	for _, l := range lines {
		n := math.Ceil(l[1].Sub(l[0]).Len()/(sideStep*far)) + 1
		for i := range int(n) {
			a, b := l[0].Lerp(l[1], float64(i)/n), l[0].Lerp(l[1], float64(i+1)/n)
			if mid := a.Lerp(b, 0.5); !inside.Nears(mid, far) && !inside.Holds(mid) {
				out = append(out, [2]geometry.Point{a, b})
			}
		}
	}
	return out
}

// bank is some sides of a spot, in their order.
type bank []side

func (b bank) length() (sum float64) {
	for _, x := range b {
		sum += x.b.Sub(x.a).Len()
	}
	return sum
}

func apartBy(all bank, is func(side) bool) (those, others bank) {
	for _, x := range all {
		if is(x) {
			those = append(those, x)
		} else {
			others = append(others, x)
		}
	}
	return those, others
}

// banksOf returns the runs of sides, the longest first, without those that are much shorter
// than that. A bank ends in a sharp corner.
func banksOf(sides bank) (out []bank) {
	goesOn := func(a, b side) bool { return a.of == b.of && a.b.Sub(b.a).Len() < own.HealMM && a.in.Dot(b.in) > 0 }
	for i, x := range sides {
		if i > 0 && goesOn(sides[i-1], x) {
			out[len(out)-1] = append(out[len(out)-1], x)
		} else {
			out = append(out, bank{x})
		}
	}
	if n := len(out) - 1; n > 0 && goesOn(out[n][len(out[n])-1], out[0][0]) { // a contour begins anywhere
		out[0], out = append(out[n], out[0]...), out[:n]
	}
	slices.SortStableFunc(out, func(a, b bank) int { return cmp.Compare(b.length(), a.length()) })
	return slices.DeleteFunc(out, func(b bank) bool { return b.length() < out[0].length()/3 })
}

// moreCramped is how much more of one bank than of the other may have too little room for a
// spot to grow to both sides.
const moreCramped = 0.3

// roomier returns that of two banks beside which a neighbour has much more room; false where
// none has.
func (m *mending) roomier(banks []bank, of own.Material, width float64) (bank, bool) {
	if len(banks) != 2 {
		return nil, false
	}
	a, b := m.crampedShare(banks[0], of, width), m.crampedShare(banks[1], of, width)
	if a > b {
		banks[0], banks[1] = banks[1], banks[0]
	}
	return banks[0], math.Abs(a-b) > moreCramped
}

// crampedShare returns for which share of a bank the neighbour that lies there is too narrow
// to give half of the width away.
func (m *mending) crampedShare(b bank, of own.Material, width float64) float64 {
	around := geometry.EmptyRect()
	for _, x := range b {
		around = around.Union(geometry.Rect{Min: x.a, Max: x.a}.Grow(1.5 * width))
	}
	lines := m.outlinesNear(of, around)
	cramped := 0.0
	for _, x := range b {
		from := x.a.Lerp(x.b, 0.5)
		to := from.Sub(x.in.Mul(1.5 * width))
		from = from.Lerp(to, 0.02) // it touches the neighbour's own side
		if slices.ContainsFunc(lines, func(l [2]geometry.Point) bool { return crosses(from, to, l[0], l[1]) }) {
			cramped += x.b.Sub(x.a).Len()
		}
	}
	return cramped / b.length()
}

// outlinesNear returns those of a material within a rectangle, as straight lines, without
// where a part of the map is cut off.
func (m *mending) outlinesNear(of own.Material, around geometry.Rect) (lines [][2]geometry.Point) {
	for _, p := range m.piecesNear(of, around) {
		for _, c := range crop(p.Outline, around) {
			for a, b := range c.Sides() {
				if m.part == (geometry.Rect{}) || m.part.Grow(-own.HealMM).Contains(a.Lerp(b, 0.5)) {
					lines = append(lines, [2]geometry.Point{a, b})
				}
			}
		}
	}
	return lines
}

// crosses reports whether two lines do.
func crosses(a, b, c, d geometry.Point) bool {
	u, v := b.Sub(a), d.Sub(c)
	return u.Cross(c.Sub(a)) > 0 != (u.Cross(d.Sub(a)) > 0) && v.Cross(a.Sub(c)) > 0 != (v.Cross(b.Sub(c)) > 0)
}

// tipOff returns what of a spot lies no further from its tip than a distance: so far into
// it reaches the round end of what is as broad. Errors as own.Lay.
func (s *Spot) tipOff(ctx context.Context, tip geometry.Path, reach float64) (geometry.Path, error) {
	near, err := planar.Offset(ctx, planar.Enclosed(tip), reach, geometry.Join{}, planar.Options{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	covered, err := s.covered(ctx)
	if err != nil {
		return nil, err
	}
	return united(ctx, evenOdd(near, covered))
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

// inwards returns the spot with its middle as far within the art's extent as
// half the width, where it runs along the picture's edge: that grows inwards. What
// runs out over the edge is as broad there as everywhere.
func (m *mending) inwards(s *Spot, width float64) *weak.Spot {
	spot := s.Spot
	room := m.page.Grow(-width / 2)
	if room.Empty() || room.Encloses(s.Bounds) {
		return &spot
	}
	spot.Spine = make([][2]geometry.Point, len(s.Spine))
	for i, l := range s.Spine {
		d := l[1].Sub(l[0])
		for k, p := range l {
			in := geometry.Pt(math.Max(room.Min.X, math.Min(room.Max.X, p.X)), math.Max(room.Min.Y, math.Min(room.Max.Y, p.Y)))
			away := d.Mul(float64(2*k - 1))
			switch by := p.Sub(in); {
			case by == geometry.Point{}:
			case math.Abs(d.X) <= math.Abs(d.Y) && by.X != 0 || math.Abs(d.Y) <= math.Abs(d.X) && by.Y != 0:
				p = in
			case away.Dot(by) > 0: // the middle ends before the edge
				p = p.Add(away.Mul((width/2 - by.Len()) * by.Len() / away.Dot(by)))
			}
			spot.Spine[i][k] = p
		}
	}
	return &spot
}
