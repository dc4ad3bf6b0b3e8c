package thing

import (
	"context"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// sharpCorners is how far a corner may reach when what it belongs to grows, in what
// it grows by: corners of 29° and more stay corners (SVG's own limit for lines, SVG
// 2, 13.5.6), sharper ones would become thorns.
const sharpCorners = 4

// broader returns the outline grown by d to both sides, or by twice as much to one.
func (t *Thing) broader(ctx context.Context, outline geometry.Path, d float64, side job.Side) (geometry.Path, error) {
	opt := planar.Options{SagittaMM: sagittaMM}
	join := geometry.Join{MitreLimit: sharpCorners}
	var outer, holes geometry.Path
	for _, c := range outline {
		if (geometry.Path{c}).SignedArea() > 0 {
			outer = append(outer, c)
		} else {
			holes = append(holes, c)
		}
	}
	grown := func(p geometry.Path, d float64) (geometry.Path, error) {
		return planar.Offset(ctx, planar.Enclosed(p), d, join, opt)
	}
	if !t.Holed {
		side = job.BothSides
	}
	switch side {
	case job.Outwards:
		out, err := grown(outer, 2*d)
		return append(holes, out...), err
	case job.Inwards:
		in, err := grown(holes.Reverse(), -2*d)
		return append(in.Reverse(), outer...), err
	}
	out, err := grown(outline, d)
	if err != nil || len(t.ends) == 0 {
		return out, err
	}
	// What was cut off straight ends where it did.
	var beyond geometry.Path
	for _, e := range t.ends {
		across := geometry.Pt(e.out.Y, -e.out.X).Mul(t.WidthMM/2 + t.grown + 2*d)
		far := e.out.Mul(2 * d)
		beyond = append(beyond, geometry.Polygon(e.at.Add(across), e.at.Add(across).Add(far), e.at.Sub(across).Add(far), e.at.Sub(across)))
	}
	t.grown += d
	return combine(ctx, out, beyond, outline)
}

// combine returns what the first path covers and the second does not, and what the
// third covers; even-odd.
func combine(ctx context.Context, all, without, but geometry.Path) (geometry.Path, error) {
	layers := make([]planar.Layer, 3)
	for i, p := range []geometry.Path{all, without, but} {
		layers[i].Figures = []planar.Figure{{Path: p, Rule: geometry.EvenOdd}}
	}
	layers[1].Figures[0].Rule = geometry.NonZero
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return nil, err
	}
	d, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if n := len(cover); n > 0 && (cover[n-1] == 2 || n == 1 && cover[0] == 0) {
			return 0
		}
		return planar.None
	}))
	if err != nil {
		return nil, err
	}
	return d.All(), nil
}

// union returns what a path encloses anywhere. Errors as planar.Build.
func union(ctx context.Context, p geometry.Path) (geometry.Path, error) {
	r, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: p}}}, planar.RegionOptions{Options: planar.Options{SagittaMM: sagittaMM}})
	if err != nil {
		return nil, err
	}
	return r.All(), nil
}

// within returns what of an outline lies within a rectangle.
func within(ctx context.Context, outline geometry.Path, page geometry.Rect) (geometry.Path, error) {
	clip := &planar.Clip{Figures: []planar.Figure{{Path: page.Path()}}}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: outline, Rule: geometry.EvenOdd, Clips: []*planar.Clip{clip}}}}, planar.RegionOptions{})
	if err != nil {
		return nil, err
	}
	return d.All(), nil
}

// larger returns the map that makes what lies around a point k times as large.
func larger(about geometry.Point, k float64) geometry.Affine {
	return geometry.Translate(about.X, about.Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-about.X, -about.Y))
}

// inside returns how far a rectangle has to be moved so that it lies within a page,
// as far as it has room there.
func inside(r, page geometry.Rect) geometry.Point {
	move := func(lo, hi, from, to float64) float64 {
		switch {
		case hi-lo > to-from:
			return 0
		case lo < from:
			return from - lo
		case hi > to:
			return to - hi
		}
		return 0
	}
	return geometry.Pt(move(r.Min.X, r.Max.X, page.Min.X, page.Max.X), move(r.Min.Y, r.Max.Y, page.Min.Y, page.Max.Y))
}
