package weak

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
)

// spots looks at every connected thin part.
func (f *finder) spots(ctx context.Context) ([]Spot, error) {
	var out []Spot
	for i := range f.shapes {
		s := &f.shapes[i]
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		switch {
		case s.isSpeck(f.o):
			if s.grid != nil && f.o.wanted(s.bounds) {
				out = append(out, f.speck(int32(i)))
			}
		case s.banked != nil:
			out = append(out, f.along(int32(i))...)
		case s.parts != nil:
			out = append(out, f.mapped(int32(i))...)
		}
	}
	slices.SortStableFunc(out, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(uint32(a.Piece), uint32(b.Piece)), cmp.Compare(a.Bounds.Min.Y, b.Bounds.Min.Y), cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X))
	})
	return out, nil
}

// along lists the spots between the banks of shape k.
func (f *finder) along(k int32) []Spot {
	s := &f.shapes[k]
	b := s.banked
	parts := make([][]int32, len(b.banks))
	for i := range b.banks {
		p := b.partOf(int32(i))
		parts[p] = append(parts[p], int32(i))
	}
	var out []Spot
	for _, banks := range parts {
		discs := f.discsAlong(s, banks, s.discs)
		if len(discs) == 0 {
			continue // but a corner
		}
		outline, edge := f.between(k, banks, discs)
		if len(outline) == 0 { // from one corner to another, and nothing is thin beside them
			least := slices.MinFunc(discs, func(a, b disc) int { return cmp.Compare(a.r, b.r) })
			outline = s.waist(&least)
		}
		spot := Spot{Outline: outline, Bounds: outline.Bounds(), AreaMM2: math.Abs(outline.SignedArea())}
		if !f.o.wanted(spot.Bounds) || !f.name(&spot, s, discs, &edge) {
			continue
		}
		var opening []disc
		if f.opens(&spot) {
			opening = beyond(discs, f.discsAlong(s, banks, s.opening), f.lengths.width)
		}
		f.measure(&spot, discs, opening, &edge)
		out = append(out, spot)
	}
	return out
}

// waist is a rhomb across a disc, from where it touches to where it touches.
func (s *shape) waist(d *disc) geometry.Path {
	p, q := s.grid.sides[d.s].nearest(d.c), s.grid.sides[d.t].nearest(d.c)
	v := q.Sub(p).Mul(0.1)
	aside := geometry.Pt(-v.Y, v.X)
	return geometry.Path{geometry.Polygon(p, d.c.Sub(aside), q, d.c.Add(aside))}
}

// discsAlong returns those of a shape's discs that touch its outline along some banks.
func (f *finder) discsAlong(s *shape, banks []int32, all []disc) []disc {
	var spans []span
	for _, i := range banks {
		spans = append(spans, s.banked.discsOf(&s.banked.banks[i], all, &f.lengths)...)
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.lo, b.lo) })
	n := 0
	for _, r := range spans {
		n += r.hi - r.lo
	}
	out := make([]disc, 0, n)
	for _, r := range spans {
		out = append(out, all[r.lo:r.hi]...)
	}
	return out
}

// between returns the outline of the thin part of shape k between banks, in which
// these discs are, and what surrounds it.
func (f *finder) between(k int32, banks []int32, discs []disc) (geometry.Path, border) {
	s := &f.shapes[k]
	b := s.banked
	edge := border{neighbours: map[int32]float64{}}
	var outline geometry.Path
	var hull []geometry.Point
	done, thin := map[int32]bool{}, &middles{discs: discs, within: f.lengths.thin}
	for _, first := range banks {
		var ring []geometry.Point
		for i := first; !done[i]; {
			done[i] = true
			bank := &b.banks[i]
			var way []geometry.Point
			b.follow(bank, func(side int32, from, to geometry.Point) {
				if way == nil {
					way = append(way, from)
				}
				way = append(way, to)
				edge.freeMM += to.Sub(from).Len()
				f.beside(k, side, from, to, edge.neighbours)
			})
			if bank.stop < 0 {
				ring = append(ring, way[:max(0, len(way)-1)]...)
				edge.add(way, f.lengths.step)
				break
			}
			edge.runs++
			if way == nil {
				way = []geometry.Point{b.ends[bank.stop].p}
			}
			edge.add(way, f.lengths.step)
			ring = append(append(ring, way...), s.bend(&b.ends[bank.stop], thin, &f.lengths)...)
			i = b.ends[b.ends[bank.stop].mate].bank
		}
		if len(ring) > 2 {
			outline = append(outline, geometry.Polygon(ring...))
			hull = append(hull, ring...)
		}
	}
	edge.diameterMM = diameter(hull, f.lengths.width)
	return outline, edge
}

// speck describes shape k.
func (f *finder) speck(k int32) Spot {
	s := &f.shapes[k]
	b := s.bounds
	all := map[int32]float64{}
	at, room := b.Centre(), 0.0
	for i := range s.sides {
		l := &s.sides[i]
		f.beside(k, int32(i), l.a, l.b, all)
		// The middle of the largest disc that touches the middle of a side.
		d, _ := s.grid.shrinkAbove(l.a.Lerp(l.b, 0.5), l.inward(), int32(i), f.o.SpeckMM, room, &f.lengths)
		if d.t >= 0 && d.r > room {
			at, room = d.c, d.r
		}
	}
	return Spot{
		Kind: Speck, Piece: s.piece, Whole: true, At: at, Outline: s.outline, Bounds: b,
		WidthMM: b.Shorter(), LengthMM: b.Longer(),
		AreaMM2: s.area, Neighbours: sorted(all), sought: f.lengths.width,
		Spine: [][2]geometry.Point{{b.Centre(), b.Centre()}},
	}
}

// mapped lists the spots that the map of shape k shows.
func (f *finder) mapped(k int32) (out []Spot) {
	d := f.shapes[k].parts
	for i := range d.Pieces {
		if d.Pieces[i].Label == thinPart && f.o.wanted(d.bounds(int32(i))) {
			if s, ok := f.spot(k, int32(i)); ok {
				out = append(out, s)
			}
		}
	}
	return out
}

// spot measures a connected thin part of the map of shape k; false when it is but a corner.
func (f *finder) spot(k, i int32) (Spot, bool) {
	s := &f.shapes[k]
	b := f.border(k, i)
	out := Spot{Outline: s.parts.outline(i), Bounds: s.parts.bounds(i), AreaMM2: s.parts.areaMM2(i)}
	if b.runs == 0 && out.AreaMM2 < 0.5*s.area {
		return out, false // a crumb of rounding that touches its piece at corners
	}
	discs := s.within(out.Outline, out.Bounds, b.free, &f.lengths)
	if !f.name(&out, s, discs, &b) {
		return out, false
	}
	var opening []disc
	if f.opens(&out) {
		opening = beyond(discs, s.opening, f.lengths.width)
	}
	f.measure(&out, discs, opening, &b)
	return out, true
}

// name says what a thin part of a shape is, with discs in it; false when it is but a
// corner.
func (f *finder) name(out *Spot, s *shape, discs []disc, b *border) bool {
	out.Piece, out.Whole, out.Neighbours, out.sought = s.piece, b.runs == 0, sorted(b.neighbours), f.lengths.width
	switch {
	case b.runs == 0:
		out.Kind = Sliver
	case len(discs) == 0:
		return false
	case b.runs > 1:
		out.Kind = Neck
	case b.diameterMM+b.cuspMM <= f.lengths.width:
		return false
	case b.corners == 1 || f.pointed(out, discs, b):
		out.Kind = Point
	default:
		out.Kind = Sliver
	}
	if s.piece == NoPiece {
		if out.Kind == Point {
			return false // waste that ends in a point harms nothing
		}
		out.Kind = Gap
	}
	return true
}

const (
	// bluntTip is how broad, in widths, the end of a thin part is at most that is a point all the same: where two outlines
	// meet at a third one rounding, or a hair of that, leaves two corners for one.
	bluntTip = 0.1
	// wedgeTip is that of one no longer, in widths, than wedgeLength: a tip that someone drew blunt gets thinner than it is
	// once it is cut. What is longer is a line.
	wedgeTip    = 0.25
	wedgeLength = 3
	// tapering is how many times as broad as its end such a part is on average at least: a slot is none. A wedge with straight
	// sides is 2.5 times as broad as the broadest such end.
	tapering      = 3
	wedgeTapering = 2.2
)

// pointed reports whether a thin part tapers off to where it is narrowest, and ends there in corners that nobody
// tells from one.
func (f *finder) pointed(out *Spot, discs []disc, b *border) bool {
	if b.corners < 2 {
		return false
	}
	least := slices.MinFunc(discs, func(a, b disc) int { return cmp.Compare(a.r, b.r) })
	near, times, long := bluntTip*f.lengths.width, float64(tapering), b.freeMM/2
	if long <= wedgeLength*f.lengths.width {
		near, times = wedgeTip*f.lengths.width, wedgeTapering
	}
	if 2*least.r > near || out.AreaMM2 < times*2*least.r*long {
		return false
	}
	return !slices.ContainsFunc(b.tips, func(p geometry.Point) bool { return p.Sub(least.c).Len() > near })
}

// measure fills in widths, length, place and spine. opening are what goes on to widen
// beyond it.
func (f *finder) measure(out *Spot, discs, opening []disc, b *border) {
	narrow, wide := math.Inf(1), 0.0
	at := geometry.Point{}
	var middle geometry.Point
	for k := range discs {
		d := &discs[k]
		if 2*d.r < narrow {
			narrow, at = 2*d.r, d.c
		}
		if 2*d.r > wide {
			wide, middle = 2*d.r, d.c
		}
	}
	if len(discs) == 0 { // a whole piece without two sides that face each other
		narrow = out.Bounds.Shorter()
		wide, at, middle = narrow, out.Bounds.Centre(), out.Bounds.Centre()
		discs = []disc{{c: middle}}
	}
	switch {
	case out.Kind == Point:
		out.LengthMM = b.freeMM/2 + b.cuspMM
		out.WidthMM, out.At = out.AreaMM2/out.LengthMM, middle
	case out.Whole:
		out.LengthMM = math.Max(b.freeMM/2-wide*boolTo(b.runs == 0 && f.simple(out)), wide)
		out.WidthMM, out.At = wide, middle
		if out.Kind == Gap {
			out.WidthMM, out.At = narrow, at
		}
	case b.runs == 1:
		out.LengthMM = math.Max((b.freeMM-narrow)/2, 0)
		out.WidthMM, out.At = narrow, at
	default:
		out.LengthMM = b.freeMM / 2
		out.WidthMM, out.At = narrow, at
	}
	if f.o.NoSpines {
		return
	}
	out.Spine = spine(append(discs, opening...), &f.lengths, out.Kind == Point, b.tip)
}

// opens reports whether a spot's spine goes on to where it opens.
func (f *finder) opens(s *Spot) bool { return !f.o.NoSpines && (s.Kind == Neck || s.Kind == Gap) }

// simple reports whether the spot has no hole.
func (f *finder) simple(s *Spot) bool { return len(s.Outline) == 1 }

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
