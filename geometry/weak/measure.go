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
	speck := make([]bool, n)
	for i := range f.parts.Pieces {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p := &f.parts.Pieces[i]
		k := p.Label % n
		if s := &f.shapes[k]; s.isSpeck(f.o) {
			if !speck[k] && f.o.wanted(s.outline.Bounds()) {
				speck[k] = true
				out = append(out, f.speck(k))
			}
			continue
		}
		if p.Label >= n {
			continue
		}
		if !f.o.wanted(p.Bounds) {
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

func (f *finder) speck(k int32) Spot {
	s := &f.shapes[k]
	b := s.outline.Bounds()
	out := Spot{
		Kind: Speck, Piece: s.piece, Whole: true, Outline: s.outline, Bounds: b,
		WidthMM: math.Min(b.Width(), b.Height()), LengthMM: math.Max(b.Width(), b.Height()),
		AreaMM2: math.Abs(s.outline.SignedArea()),
	}
	n := int32(len(f.shapes))
	all := map[int32]float64{}
	for i := range f.parts.Pieces {
		p := &f.parts.Pieces[i]
		if p.Label%n != k {
			continue
		}
		for other, l := range f.border(int32(i)).neighbours {
			all[other] += l
		}
		if p.Area2 > 0 && out.At == (geometry.Point{}) {
			out.At = f.parts.Inside(i)
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
	w := f.o.WidthMM
	b := f.border(i)
	out := Spot{
		Piece: s.piece, Outline: f.parts.Outline(int(i)), Bounds: p.Bounds, AreaMM2: p.AreaMM2(),
		Whole: b.runs == 0, Neighbours: sorted(b.neighbours),
	}
	if out.Whole && out.AreaMM2 < 0.5*math.Abs(s.outline.SignedArea()) {
		return out, false // a crumb of rounding that touches its piece at corners
	}
	discs := s.within(out.Outline, out.Bounds)
	switch {
	case b.runs == 0:
		out.Kind = Sliver
	case len(discs) == 0:
		return out, false
	case b.runs > 1:
		out.Kind = Neck
	case b.diameterMM+f.cusp() <= w:
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
// back by slackMM more than they were shrunk: where the larger circle meets the
// side.
func (f *finder) cusp() float64 {
	return math.Sqrt(f.o.WidthMM*slackMM + slackMM*slackMM)
}

// within returns the medial discs with their centres inside the outline.
func (s *shape) within(outline geometry.Path, bounds geometry.Rect) []disc {
	var out []disc
	inside := newSlabs(outline)
	for i := range s.discs {
		if c := s.discs[i].c; bounds.Contains(c) && inside.enclose(c) {
			out = append(out, s.discs[i])
		}
	}
	return out
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
		discs = append(discs, s.beyond(discs, f.o.WidthMM)...)
	}
	out.Spine = spine(discs, f.o.WidthMM/2, out.Kind == Point, b.tip)
}

// beyond returns the discs at which a waist that opens at a wide angle goes on
// to widen: they touch at a blunter angle than a thin place does.
func (s *shape) beyond(discs []disc, width float64) []disc {
	var out []disc
	for _, d := range s.opening {
		best, r := width, 0.0
		for k := range discs {
			if l := discs[k].c.Sub(d.c).Len(); l < best {
				best, r = l, discs[k].r
			}
		}
		// Towards a plain corner discs become smaller.
		if best < width && d.r > r {
			out = append(out, d)
		}
	}
	return out
}

// simple reports whether the spot has no hole.
func (f *finder) simple(s *Spot) bool { return len(s.Outline) == 1 }

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
