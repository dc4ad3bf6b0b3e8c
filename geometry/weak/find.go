package weak

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

const (
	// sagittaMM is how far the arcs of offsets may be off; two of them add up
	// to a fifth of what the found width may be wrong.
	sagittaMM = 0.0025
	// slackMM is how much further a shrunk piece is grown back, so that rounding
	// and chords leave no hairlines along an outline that is not thin.
	slackMM = 0.006
	// barMM is half the width of the bars across a waist.
	barMM = 0.06
	// reach, in widths, is how far from a thin place the outline is shrunk and
	// grown. Half a width each way is what both can do; the rest is room.
	reach = 1.75
)

// shape is a piece, or a connected part of what no piece has.
type shape struct {
	piece   int32 // NoPiece for a gap
	outline geometry.Path
	grid    *grid
	discs   []disc
	// opening are discs that touch at too blunt an angle to be thin places.
	opening []disc
}

// maxCrossings bounds what the bands around thin parts may cross each other, far
// below what a map allows: where a picture is so fine that they do so a million
// times, nobody will mend its spots one by one, and a second has gone by.
const maxCrossings = 1_000_000

// Find returns the weak spots of pieces that do not overlap, ordered by piece
// and place. Each piece is closed polygons, even-odd, on planar's grid, outer
// contours clockwise on screen and holes anticlockwise, as Division.Outline
// gives them. Errors as planar.Build.
func Find(ctx context.Context, pieces []geometry.Path, o Options) ([]Spot, error) {
	if !(o.WidthMM > 0) || len(pieces) == 0 {
		return nil, nil
	}
	shapes := make([]shape, len(pieces))
	for i, p := range pieces {
		shapes[i] = shape{piece: int32(i), outline: p}
	}
	if !o.NoGaps {
		gaps, err := unowned(ctx, pieces, o.WidthMM)
		if err != nil {
			return nil, err
		}
		for _, g := range gaps {
			shapes = append(shapes, shape{piece: NoPiece, outline: g})
		}
	}
	something := false
	for i := range shapes {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := &shapes[i]
		list := sides(s.outline)
		if len(list) == 0 {
			continue
		}
		s.grid = newGrid(list, o.WidthMM)
		s.discs, s.opening = thinDiscs(s.grid, o.WidthMM/2, o.near(s))
		something = something || len(s.discs) > 0 || s.isSpeck(o) && o.wanted(s.outline.Bounds())
	}
	if !something {
		return nil, nil
	}
	f := &finder{o: o, reach: reach, shapes: shapes}
	if err := f.divide(ctx); err != nil {
		return nil, err
	}
	return f.spots(ctx)
}

// unowned returns the outlines of the places that no piece has, the one around
// everything included.
func unowned(ctx context.Context, pieces []geometry.Path, width float64) ([]geometry.Path, error) {
	layers := make([]planar.Layer, 2)
	b := geometry.EmptyRect()
	for _, p := range pieces {
		layers[1].Figures = append(layers[1].Figures, planar.Figure{Path: p, Rule: geometry.EvenOdd})
		b = b.Union(p.Bounds())
	}
	if b.Empty() {
		return nil, nil
	}
	layers[0].Figures = []planar.Figure{{Path: b.Grow(4 * width).Path()}}
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return nil, err
	}
	d, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if len(cover) == 1 && cover[0] == 0 {
			return 0
		}
		return planar.None
	}))
	if err != nil {
		return nil, err
	}
	out := make([]geometry.Path, len(d.Pieces))
	for i := range d.Pieces {
		out[i] = d.Outline(i)
	}
	return out, nil
}

// near returns where to look for thin places of a shape, nil for everywhere.
func (o *Options) near(s *shape) func(geometry.Point) bool {
	if o.Within == nil {
		return nil
	}
	b := s.outline.Bounds()
	var near []geometry.Rect
	for _, r := range o.Within {
		if r = r.Grow(o.WidthMM); !r.Intersect(b).Empty() {
			near = append(near, r)
		}
	}
	return func(p geometry.Point) bool {
		return slices.ContainsFunc(near, func(r geometry.Rect) bool { return r.Contains(p) })
	}
}

// wanted reports whether something with these bounds is looked for.
func (o *Options) wanted(b geometry.Rect) bool {
	return o.Within == nil || slices.ContainsFunc(o.Within, func(r geometry.Rect) bool { return !r.Intersect(b).Empty() })
}

func (s *shape) isSpeck(o Options) bool {
	b := s.outline.Bounds()
	return s.piece != NoPiece && math.Max(b.Width(), b.Height()) < o.SpeckMM
}

// finder divides shapes into thin and sturdy parts.
type finder struct {
	o      Options
	reach  float64
	shapes []shape
	parts  *planar.Division // label i is the thin part of shape i, n + i the sturdy one
}

// divide lays on one map all shapes, the thin ones opened, and the bars of
// their medial discs.
func (f *finder) divide(ctx context.Context) error {
	n := len(f.shapes)
	opened, err := f.open(ctx)
	if err != nil {
		return err
	}
	layers := make([]planar.Layer, 3*n)
	for i := range f.shapes {
		s := &f.shapes[i]
		layers[i].Figures = []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}
		layers[n+i].Figures = opened[i]
		layers[2*n+i].Figures = s.bars()
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM, MaxCrossings: maxCrossings})
	if err != nil {
		return err
	}
	f.parts, err = m.Divide(ctx, m.Label(f.label))
	return err
}

// label says whether a place is thin, and of which shape. cover is ascending.
func (f *finder) label(cover []int32) int32 {
	n := int32(len(f.shapes))
	if len(cover) == 0 || cover[0] >= n {
		return planar.None
	}
	i := cover[0]
	if f.shapes[i].grid == nil {
		return planar.None
	}
	_, open := slices.BinarySearch(cover, n+i)
	_, barred := slices.BinarySearch(cover, 2*n+i)
	if len(f.shapes[i].discs) > 0 && (!open || barred) {
		return i
	}
	return n + i
}
