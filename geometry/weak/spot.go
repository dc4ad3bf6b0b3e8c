package weak

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

// Kind is what is weak about a place.
type Kind uint8

const (
	// Neck is a narrow part between two sturdy ones, or from one back to itself.
	Neck Kind = iota
	// Point is a narrow part that ends in one sharp corner.
	Point
	// Sliver is any other narrow part, such as a tooth or a hairline; or a whole
	// piece that is narrow everywhere.
	Sliver
	// Gap is a narrow place that no piece has, between two cut lines.
	Gap
	// Speck is a whole piece that is small in every direction.
	Speck
)

// String returns the kind's name in files.
func (k Kind) String() string {
	return [...]string{"neck", "point", "sliver", "gap", "speck"}[k]
}

// NoPiece stands for what no piece has.
const NoPiece int32 = -1

// Spot is one weak place. Lengths are millimetres.
type Spot struct {
	Kind Kind
	// Piece indexes the pieces that were looked at, NoPiece for a gap.
	Piece int32
	// Whole: the spot is all of its piece, or all of a gap.
	Whole bool
	// At is a place inside, where a neck is narrowest.
	At geometry.Point
	// WidthMM is the narrowest width of a neck, a gap or a sliver that grows out
	// of its piece, the greatest width of one that is a whole piece, and the
	// smaller side of a speck's bounds. A point's goes down to nothing, so it is
	// the mean: area by length.
	WidthMM  float64
	LengthMM float64
	AreaMM2  float64
	// Outline is the thin part: closed polygons, even-odd.
	Outline geometry.Path
	Bounds  geometry.Rect
	// Spine runs along the middle of the thin part: strokes of it as broad as the
	// narrowest width cover it, and nothing that they make is thinner.
	Spine [][2]geometry.Point
	// Neighbours are what else the thin part touches, longest border first; its
	// own piece does not count.
	Neighbours []Neighbour
	// sought is the width that it is narrower than.
	sought float64
}

// Neighbour is a piece that a spot touches, or NoPiece.
type Neighbour struct {
	Piece    int32
	LengthMM float64
}

// Options say what is narrow.
type Options struct {
	// WidthMM is the narrowest width that can be cut and weeded, at least
	// MinWidthMM.
	WidthMM float64
	// SpeckMM is the size under which a whole piece is a speck; 0 finds none.
	SpeckMM float64
	// NoGaps leaves out the search for gaps.
	NoGaps bool
	// NoSpines leaves spots without one, for who does not widen them.
	NoSpines bool
	// Within, unless it is nil, is where to look: what does not reach into one of
	// the rectangles is left out.
	Within []geometry.Rect
	// Memory, unless it is nil, spares asking again what has not changed since the last
	// time, if that was for the same WidthMM.
	Memory *Memory
}

// Widened returns what makes the spot as broad as widthMM: discs of that
// diameter along its middle, closed polygons to be filled even-odd and united
// with its piece. A point is made broad only as far as its tip is covered.
// Errors as planar.Build.
func (s *Spot) Widened(ctx context.Context, widthMM float64) (geometry.Path, error) {
	strokes := make(geometry.Path, 0, len(s.Spine))
	for _, l := range s.Spine {
		strokes = append(strokes, capsule(l[0], l[1], widthMM/2))
	}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: strokes}}}, planar.RegionOptions{})
	if err != nil {
		return nil, err
	}
	sought := s.sought
	if sought == 0 {
		sought = widthMM // a spot that was not found
	}
	return d.All().Simplified(lengthsFor(sought).simple), nil
}

// capsule is all that lies within r of the line from a to b: a polygon around
// the true outline, at most 1/100 of r too large.
func capsule(a, b geometry.Point, r float64) geometry.Contour {
	u := geometry.Pt(1, 0)
	if d := b.Sub(a); d.Len() > 1e-9 {
		u = d.Mul(1 / d.Len())
	}
	pts := make([]geometry.Point, 0, 2*len(halfTurn))
	for _, k := range halfTurn {
		pts = append(pts, b.Add(geometry.Pt(u.X*k.X-u.Y*k.Y, u.X*k.Y+u.Y*k.X).Mul(r)))
	}
	for _, k := range halfTurn {
		pts = append(pts, a.Sub(geometry.Pt(u.X*k.X-u.Y*k.Y, u.X*k.Y+u.Y*k.X).Mul(r)))
	}
	return geometry.Polygon(pts...)
}

// halfTurn are the directions of a half circle's corners, for capsule; around
// the circle of the true radius, 24 a turn.
var halfTurn = func() []geometry.Point {
	const n = 12
	var out []geometry.Point
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(i)/n - 0.5))
		out = append(out, geometry.Pt(cos, sin).Mul(1/math.Cos(math.Pi/2/n)))
	}
	return out
}()
