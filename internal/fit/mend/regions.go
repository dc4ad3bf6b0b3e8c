package mend

import (
	"context"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
)

// minus returns a path without another one and some figures, and without crumbs. Errors as own.Lay.
func minus(ctx context.Context, path, other geometry.Path, figures ...planar.Figure) (geometry.Path, error) {
	if other != nil {
		figures = append(figures, planar.Figure{Path: other, Rule: geometry.EvenOdd})
	}
	m, err := planar.Build(ctx, []planar.Layer{planar.Enclosed(path), {Figures: figures}}, planar.Options{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	labels := m.Label(func(cover []int32) int32 {
		if len(cover) == 1 && cover[0] == 0 {
			return 0
		}
		return planar.None
	})
	d, err := m.Divide(ctx, labels)
	if err != nil {
		return nil, err
	}
	var large []int
	for i := range d.Pieces {
		if d.Pieces[i].AreaMM2() >= seenMM*seenMM {
			large = append(large, i)
		}
	}
	if len(large) == 0 {
		return nil, nil
	}
	return d.Outline(large...), nil
}
