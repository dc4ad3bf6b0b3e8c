package planar

import (
	"context"

	"abut/geometry"
)

// RegionOptions steer Region. The zero value is usable.
type RegionOptions struct {
	Options
	// HealMM is the width under which parts, and gaps between them, go to their
	// neighbour; see Map.Heal. 0 heals nothing.
	HealMM float64
	// Curves keeps the layer's own curves; see Division.Smooth.
	Curves bool
}

// Region divides what a layer covers into its connected parts: pieces with label
// 0. Errors as Build.
func Region(ctx context.Context, layer Layer, opt RegionOptions) (*Division, error) {
	return region(ctx, []Layer{layer}, opt, func(cover []int32) bool { return len(cover) > 0 })
}

// region divides the places whose cover is wanted.
func region(ctx context.Context, layers []Layer, opt RegionOptions, wants func(cover []int32) bool) (*Division, error) {
	m, err := Build(ctx, layers, opt.Options)
	if err != nil {
		return nil, err
	}
	labels := m.Label(func(cover []int32) int32 {
		if wants(cover) {
			return 0
		}
		return None
	})
	if opt.HealMM > 0 {
		if _, err := m.Heal(ctx, labels, opt.HealMM); err != nil {
			return nil, err
		}
	}
	d, err := m.Divide(ctx, labels)
	if err == nil && opt.Curves {
		err = d.Smooth(ctx)
	}
	return d, err
}

// Offset returns the outline of the layer grown by distance mm on all sides,
// or shrunk when negative, as closed contours to be filled even-odd. Round
// joins give exactly the points within the distance (Minkowski sum with a
// disc); a shrunk layer may fall apart or vanish. Chords stray by at most the
// sagitta. It takes two maps: one to clean the layer, one for the union with
// its band.
func Offset(ctx context.Context, layer Layer, distance float64, join geometry.Join, opt Options) (geometry.Path, error) {
	d, err := Region(ctx, layer, RegionOptions{Options: opt})
	if err != nil {
		return nil, err
	}
	clean := d.All()
	band := geometry.OffsetBand(clean, distance, join)
	if len(band) == 0 {
		return clean, nil
	}
	d, err = region(ctx, []Layer{
		{Figures: []Figure{{Path: clean, Rule: geometry.EvenOdd}}},
		{Figures: []Figure{{Path: band, Rule: geometry.NonZero}}},
	}, RegionOptions{Options: opt}, func(cover []int32) bool {
		if distance > 0 {
			return len(cover) > 0
		}
		return len(cover) == 1 && cover[0] == 0
	})
	if err != nil {
		return nil, err
	}
	return d.All(), nil
}
