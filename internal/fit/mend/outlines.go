package mend

import (
	"context"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
)

// crop returns polygons that wind around each place within a rectangle as the
// path does (Sutherland and Hodgman, Reentrant Polygon Clipping, 1974). Sides
// along those of the rectangle may lie on each other.
func crop(path geometry.Path, r geometry.Rect) geometry.Path {
	b := path.Bounds()
	if b.Intersect(r).Empty() {
		return nil
	}
	path = path.Flatten(spotSagittaMM)
	if r.Encloses(b) {
		return path
	}
	var out geometry.Path
	var from, to []geometry.Point
	for _, c := range path {
		from = append(from[:0], c.Start)
		for _, s := range c.Segments {
			from = append(from, s.End)
		}
		for side := range 4 {
			to = to[:0]
			for i, q := range from {
				p := from[(i+len(from)-1)%len(from)]
				dp, dq := depth(p, r, side), depth(q, r, side)
				if dp < 0 != (dq < 0) {
					to = append(to, p.Lerp(q, dp/(dp-dq)))
				}
				if dq >= 0 {
					to = append(to, q)
				}
			}
			from, to = to, from
		}
		if len(from) > 2 {
			out = append(out, geometry.Polygon(from...))
		}
	}
	return out
}

// depth is how far p lies inside one side of a rectangle.
func depth(p geometry.Point, r geometry.Rect, side int) float64 {
	switch side {
	case 0:
		return p.X - r.Min.X
	case 1:
		return r.Max.X - p.X
	case 2:
		return p.Y - r.Min.Y
	}
	return r.Max.Y - p.Y
}

// same reports whether two rectangles are the same but for rounding.
func same(a, b geometry.Rect) bool {
	return a.Grow(own.HealMM).Encloses(b) && b.Grow(own.HealMM).Encloses(a)
}

// united returns the outline of what figures cover. Errors as own.Lay.
func united(ctx context.Context, figures ...planar.Figure) (geometry.Path, error) {
	d, err := planar.Region(ctx, planar.Layer{Figures: figures}, planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	return d.All(), nil
}

// evenOdd is what a path encloses, within another one where that is given.
func evenOdd(path geometry.Path, within ...geometry.Path) planar.Figure {
	f := planar.Figure{Path: path, Rule: geometry.EvenOdd}
	for _, p := range within {
		f.Clips = append(f.Clips, &planar.Clip{Figures: []planar.Figure{{Path: p, Rule: geometry.EvenOdd}}})
	}
	return f
}

// minus returns a path without another one and some figures, and without crumbs. Errors as own.Lay.
func minus(ctx context.Context, path, other geometry.Path, figures ...planar.Figure) (geometry.Path, error) {
	if other != nil {
		figures = append(figures, evenOdd(other))
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
