package thing

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

// rimBesideMM is how far beyond a wall of what shows of a thing is looked for more of the thing: further than chords stray.
const rimBesideMM = 4 * sagittaMM

// rim returns a thing of which all that shows beside what lies over it is as broad as a width that is narrower: a dark shape
// under a smaller one is seen as its outline, and drawn by hand that is broad in one place and thin in another. What lies over it
// stays as it is, so only the thing's own outline moves, by all that is missing, as far as page has room. Errors as planar.Build.
func rim(ctx context.Context, outline geometry.Path, over *grounds, page geometry.Rect, width float64) (geometry.Path, error) {
	shows, err := over.leave(ctx, outline)
	if err != nil {
		return nil, err
	}
	inside := geometry.NewEnclosure(outline)
	walls := wallsOf(shows.Simplified(sagittaMM/2), width/finePieces)
	for i := range walls {
		w := &walls[i]
		w.room = w.within(page)
		w.fixed = inside.Holds(w.middle().Add(w.out.Mul(rimBesideMM)))
	}
	return strongerBy(ctx, outline, walls, width)
}

// within returns how far a wall may move on a page.
func (w *wall) within(page geometry.Rect) float64 {
	most := math.Inf(1)
	for _, p := range [...]geometry.Point{w.from, w.to} {
		if w.out.X < 0 {
			most = math.Min(most, (page.Min.X-p.X)/w.out.X)
		} else if w.out.X > 0 {
			most = math.Min(most, (page.Max.X-p.X)/w.out.X)
		}
		if w.out.Y < 0 {
			most = math.Min(most, (page.Min.Y-p.Y)/w.out.Y)
		} else if w.out.Y > 0 {
			most = math.Min(most, (page.Max.Y-p.Y)/w.out.Y)
		}
	}
	return math.Max(0, most)
}

// leave returns what of an outline none of them lies over; even-odd. Errors as planar.Build.
func (g *grounds) leave(ctx context.Context, outline geometry.Path) (geometry.Path, error) {
	layers := []planar.Layer{{Figures: []planar.Figure{{Path: outline, Rule: geometry.EvenOdd}}}}
	for i := range g.of {
		if over := g.near(i, outline.Bounds()); len(over.Figures) > 0 {
			layers = append(layers, over)
		}
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM})
	if err != nil {
		return nil, err
	}
	out, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if len(cover) == 1 && cover[0] == 0 {
			return 0
		}
		return planar.None
	}))
	if err != nil {
		return nil, err
	}
	return out.All(), nil
}
