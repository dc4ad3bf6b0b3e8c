package weak

import (
	"context"
	"errors"

	"abut/geometry"
	"abut/geometry/planar"
)

// overlay is a map of shapes cut into pieces by a rule, drawn larger by scale: what
// is read off is in millimetres all the same.
type overlay struct {
	*planar.Division
	scale     float64
	crossings int // on the map
}

// enlarged is how much larger what crowds is drawn, at most. On planar's grid the
// last hundredth of a millimetre of a needle has no width, and what lies on either
// side of it would be one. A power of two, so that it changes no digit.
const enlarged = 64

// reachMM is how far from the origin planar's grid reaches, with room to spare.
const reachMM = 50_000

// overlay lays layers of a shape on a map and cuts it by a rule from covers to labels.
func (f *finder) overlay(ctx context.Context, s *shape, layers []planar.Layer, label func(cover []int32) int32) (*overlay, error) {
	scale := 1.0
	if s.shallow != nil {
		b := s.bounds.Grow(f.lengths.width)
		far := max(-b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y)
		for scale = enlarged; scale > 1 && scale*far > reachMM; {
			scale /= 2
		}
		for _, l := range layers {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			for i := range l.Figures {
				l.Figures[i].Path = l.Figures[i].Path.Transform(geometry.Scale(scale, scale))
			}
		}
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: scale * f.lengths.sagitta, MaxCrossings: f.most})
	if err != nil {
		if crowded := (*planar.ComplexityError)(nil); errors.As(err, &crowded) {
			return nil, &planar.ComplexityError{At: crowded.At.Mul(1 / scale), Budget: crowded.Budget}
		}
		return nil, err
	}
	d, err := m.Divide(ctx, m.Label(label))
	// Outlines have as many vertices as edges; each crossing is a vertex more, and two edges.
	return &overlay{d, scale, m.NumEdges() - m.NumVertices()}, err
}

func (o *overlay) mm(p planar.Point) geometry.Point { return p.MM().Mul(1 / o.scale) }

// points returns a seam's points, in the direction in which it is followed.
func (o *overlay) points(r planar.SeamRef) []geometry.Point {
	seam := &o.Seams[r.Index()]
	out := make([]geometry.Point, len(seam.Points))
	for i, p := range seam.Points {
		if r.Backwards() {
			i = len(out) - 1 - i
		}
		out[i] = o.mm(p)
	}
	return out
}

func (o *overlay) lengthMM(r planar.SeamRef) float64 { return o.Seams[r.Index()].LengthMM / o.scale }

func (o *overlay) areaMM2(piece int32) float64 {
	return o.Pieces[piece].AreaMM2() / (o.scale * o.scale)
}

func (o *overlay) outline(piece int32) geometry.Path {
	if p := o.Outline(int(piece)); o.scale == 1 {
		return p
	} else {
		return p.Transform(geometry.Scale(1/o.scale, 1/o.scale))
	}
}

func (o *overlay) bounds(piece int32) geometry.Rect {
	b := o.Pieces[piece].Bounds
	return geometry.Rect{Min: b.Min.Mul(1 / o.scale), Max: b.Max.Mul(1 / o.scale)}
}

// across returns the piece on the other side of a seam of a piece's ring, None for
// none.
func (o *overlay) across(r planar.SeamRef) int32 {
	if r.Backwards() {
		return o.Seams[r.Index()].Right
	}
	return o.Seams[r.Index()].Left
}
