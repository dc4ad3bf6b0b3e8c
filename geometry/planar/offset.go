package planar

import (
	"context"

	"abut/geometry"
)

// Offset returns the outline of the layer grown by distance mm on all sides,
// or shrunk when negative, as closed contours to be filled even-odd. Round
// joins give exactly the points within the distance (Minkowski sum with a
// disc); a shrunk layer may fall apart or vanish. Chords stray by at most the
// sagitta. It takes two maps: one to clean the layer, one for the union with
// its band.
func Offset(ctx context.Context, layer Layer, distance float64, join geometry.Join, opt Options) (geometry.Path, error) {
	m, err := Build(ctx, []Layer{layer}, opt)
	if err != nil {
		return nil, err
	}
	clean := m.Divide(m.owners(func(cover []int32) bool { return len(cover) > 0 })).all()
	band := geometry.OffsetBand(clean, distance, join)
	if len(band) == 0 {
		return clean, nil
	}
	m, err = Build(ctx, []Layer{
		{Figures: []Figure{{Path: clean, Rule: geometry.EvenOdd}}},
		{Figures: []Figure{{Path: band, Rule: geometry.NonZero}}},
	}, opt)
	if err != nil {
		return nil, err
	}
	return m.Divide(m.owners(func(cover []int32) bool {
		if distance > 0 {
			return len(cover) > 0
		}
		return len(cover) == 1 && cover[0] == 0
	})).all(), nil
}

// owners labels with 0 the faces whose cover the rule wants, others None.
func (m *Map) owners(wants func(cover []int32) bool) []int32 {
	wanted := make([]bool, len(m.covers))
	for id, c := range m.covers {
		wanted[id] = wants(c)
	}
	labels := make([]int32, m.NumFaces())
	for f := range labels {
		labels[f] = None
		if wanted[m.cover[f]] {
			labels[f] = 0
		}
	}
	return labels
}

// all returns the outline of every piece.
func (d *Division) all() geometry.Path {
	pieces := make([]int, len(d.Pieces))
	for i := range pieces {
		pieces[i] = i
	}
	return d.Outline(pieces...)
}
