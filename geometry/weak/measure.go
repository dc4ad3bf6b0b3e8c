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
	n := int32(len(f.shapes))
	var out []Spot
	parts := make([][]int32, n) // of the shapes that are specks
	for i := range f.parts.Pieces {
		if k := f.parts.Pieces[i].Label % n; f.shapes[k].isSpeck(f.o) {
			parts[k] = append(parts[k], int32(i))
		}
	}
	for i := range f.parts.Pieces {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p := &f.parts.Pieces[i]
		k := p.Label % n
		if len(parts[k]) > 0 {
			if parts[k][0] == int32(i) && f.o.wanted(f.shapes[k].bounds) {
				out = append(out, f.speck(k, parts[k]))
			}
			continue
		}
		if p.Label >= n || !f.o.wanted(f.parts.bounds(int32(i))) {
			continue
		}
		if s, ok := f.spot(int32(i)); ok {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(uint32(a.Piece), uint32(b.Piece)), cmp.Compare(a.Bounds.Min.Y, b.Bounds.Min.Y), cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X))
	})
	return out, nil
}

// speck describes shape k, which is in these parts.
func (f *finder) speck(k int32, parts []int32) Spot {
	s := &f.shapes[k]
	b := s.bounds
	out := Spot{
		Kind: Speck, Piece: s.piece, Whole: true, Outline: s.outline, Bounds: b,
		WidthMM: math.Min(b.Width(), b.Height()), LengthMM: math.Max(b.Width(), b.Height()),
		AreaMM2: s.area, sought: f.lengths.width,
	}
	all := map[int32]float64{}
	for _, i := range parts {
		for other, l := range f.border(i).neighbours {
			all[other] += l
		}
		if f.parts.Pieces[i].Area2 > 0 && out.At == (geometry.Point{}) {
			out.At = f.parts.inside(i)
		}
	}
	out.Neighbours = sorted(all)
	out.Spine = [][2]geometry.Point{{b.Centre(), b.Centre()}}
	return out
}

// spot measures a connected thin part; false when it is but a corner.
func (f *finder) spot(i int32) (Spot, bool) {
	p := &f.parts.Pieces[i]
	s := &f.shapes[p.Label]
	b := f.border(i)
	out := Spot{
		Piece: s.piece, Outline: f.parts.outline(i), Bounds: f.parts.bounds(i), AreaMM2: f.parts.areaMM2(i),
		Whole: b.runs == 0, Neighbours: sorted(b.neighbours), sought: f.lengths.width,
	}
	if out.Whole && out.AreaMM2 < 0.5*s.area {
		return out, false // a crumb of rounding that touches its piece at corners
	}
	discs := s.within(out.Outline, out.Bounds, b.free, &f.lengths)
	switch {
	case b.runs == 0:
		out.Kind = Sliver
	case len(discs) == 0:
		return out, false
	case b.runs > 1:
		out.Kind = Neck
	case b.diameterMM+f.cusp() <= f.lengths.width:
		return out, false
	case b.corners == 1:
		out.Kind = Point
	default:
		out.Kind = Sliver
	}
	if s.piece == NoPiece {
		if out.Kind == Point {
			return out, false // waste that ends in a point harms nothing
		}
		out.Kind = Gap
	}
	f.measure(&out, s, discs, &b)
	return out, true
}

// cusp is how much of its side a corner's residue loses because shapes are grown
// back by slack more than they were shrunk: where the larger circle meets the
// side.
func (f *finder) cusp() float64 {
	l := &f.lengths
	return math.Sqrt(l.width*l.slack + l.slack*l.slack)
}

// measure fills in widths, length, place and spine.
func (f *finder) measure(out *Spot, s *shape, discs []disc, b *border) {
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
		narrow = math.Min(out.Bounds.Width(), out.Bounds.Height())
		wide, at, middle = narrow, out.Bounds.Centre(), out.Bounds.Centre()
		discs = []disc{{c: middle}}
	}
	switch {
	case out.Kind == Point:
		out.LengthMM = b.freeMM/2 + f.cusp()
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
	if out.Kind == Neck || out.Kind == Gap {
		discs = append(discs, s.beyond(discs, f.lengths.width)...)
	}
	out.Spine = spine(discs, &f.lengths, out.Kind == Point, b.tip)
}

// simple reports whether the spot has no hole.
func (f *finder) simple(s *Spot) bool { return len(s.Outline) == 1 }

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
