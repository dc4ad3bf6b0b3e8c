package mend

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// hollows are the radii, in narrowest widths, of the hollows at which what is added to a
// piece runs into its sides, the best first: in a larger one the outline turns less, but
// it may reach across to something else.
var hollows = [...]float64{1.5, 0.5}

// hollowReach is how far from what makes a spot broad, in narrowest widths, a hollow reaches
// that is one.
const hollowReach = 1

// smooth returns strokes that make a spot broad with all that lies in the hollows between
// them and its piece: an outline bends gently there, where round strokes alone would
// stick out of it. Errors as own.Lay.
func (s *Spot) smooth(ctx context.Context, strokes geometry.Path, width float64) (geometry.Path, error) {
	if s.whole == nil {
		return strokes, nil
	}
	near := crop(s.whole, strokes.Bounds().Grow(3*hollows[0]*width))
	for _, h := range hollows {
		added, err := s.hollow(ctx, near, strokes, h*width)
		if err != nil {
			return nil, own.Explain(err, nil)
		}
		far, inside := 0.0, geometry.NewEnclosure(strokes)
		for _, c := range added {
			for a := range c.Sides() {
				if !inside.Holds(a) {
					far = math.Max(far, strokes.Distance(a))
				}
			}
		}
		if far < hollowReach*width {
			return added, nil
		}
	}
	return strokes, nil
}

// hollow returns what a piece has to be given for strokes over it to run into it in hollows of
// a radius: the parts that closing both by a disc adds to the piece (Serra, Image Analysis
// and Mathematical Morphology, 1982, chapter II), where strokes are part of them.
func (s *Spot) hollow(ctx context.Context, piece, strokes geometry.Path, radius float64) (geometry.Path, error) {
	opt := planar.Options{SagittaMM: spotSagittaMM}
	both := planar.Layer{Figures: []planar.Figure{evenOdd(piece), evenOdd(strokes)}}
	grown, err := planar.Offset(ctx, both, radius, geometry.Join{}, opt)
	if err != nil {
		return nil, err
	}
	closed, err := planar.Offset(ctx, planar.Enclosed(grown), -radius, geometry.Join{}, opt)
	if err != nil {
		return nil, err
	}
	m, err := planar.Build(ctx, []planar.Layer{
		{Figures: []planar.Figure{evenOdd(closed), evenOdd(strokes)}},
		{Figures: []planar.Figure{evenOdd(strokes)}},
		{Figures: []planar.Figure{evenOdd(piece)}},
	}, planar.Options{})
	if err != nil {
		return nil, err
	}
	d, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if n := len(cover); n > 0 && cover[n-1] != 2 {
			return 0
		}
		return planar.None
	}))
	if err != nil {
		return nil, err
	}
	var out []int
	for i := range d.Pieces {
		for _, f := range d.Pieces[i].Faces {
			if c := m.Cover(f); len(c) > 1 {
				out = append(out, i)
				break
			}
		}
	}
	return d.Outline(out...), nil
}

// barStep is how exactly a bar is as long as it must be, in mm.
const barStep = 0.02

// bar returns a line along which a speck becomes as long and as broad as it must be: its
// longest one, about its middle.
func (s *Spot) bar(long, broad float64) [][2]geometry.Point {
	var a, b geometry.Point
	for _, c := range s.Outline {
		for p := range c.Sides() {
			for _, d := range s.Outline {
				for q := range d.Sides() {
					if q.Sub(p).Len() > b.Sub(a).Len() {
						a, b = p, q
					}
				}
			}
		}
	}
	length := b.Sub(a).Len()
	if length == 0 {
		return s.Spine
	}
	// Bounds are measured, and with its own it may reach that sooner.
	way, by := b.Sub(a).Mul(1/length), geometry.Point{}
	for range int(long / barStep) {
		all := s.Bounds.Union(geometry.Rect{Min: s.At, Max: s.At}.Grow(broad / 2))
		for _, end := range [...]geometry.Point{s.At.Sub(by), s.At.Add(by)} {
			all = all.Union(geometry.Rect{Min: end, Max: end}.Grow(broad / 2))
		}
		if all.Longer() >= long {
			break
		}
		by = by.Add(way.Mul(barStep))
	}
	return [][2]geometry.Point{{s.At.Sub(by), s.At.Add(by)}}
}

// broadened returns what makes a spot as broad as it must be, with smooth sides where asked.
// A speck becomes as long as the smallest piece, and always has them. Errors as own.Lay.
func (m *mending) broadened(ctx context.Context, s *Spot, width, speck float64, smooth bool) (geometry.Path, error) {
	spot := m.inwards(s, width)
	if s.Kind == weak.Speck {
		smooth = true
		bar := *s
		bar.Spine = s.bar(speck, width)
		spot = m.inwards(&bar, width)
	}
	strokes, err := spot.Widened(ctx, width)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	if strokes, err = s.squared(ctx, strokes, width); err != nil || !smooth {
		return strokes, err
	}
	return s.smooth(ctx, strokes, width)
}
