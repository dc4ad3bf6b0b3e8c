package mend

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// Dashes of 0.4 mm, to become 1 mm broad, run from left to right a distance below the upper edge of a red field and
// above the lower edge of a slot in it: they move down as far as they lack, where that leaves them room.
func TestAside_IsAsFarAsDashesLack(t *testing.T) {
	for name, c := range map[string]struct {
		above, below float64 // from the middle of the dashes
		want         float64
	}{
		"near the edge":   {0.9, 5, -0.6},
		"near the slot":   {5, 0.9, 0.6},
		"between both":    {0.9, 0.9, 0},
		"nowhere near":    {5, 5, 0},
		"too far to move": {0.3, 5, 0},
	} {
		j := sketch.Art(t, "red rect 0 0 60 40", "black rect 0 0 1 1", "white rect 2 21 56 2")
		var dashes job.Shape
		y := c.above
		slot := y + c.below
		for x := 4.0; x < 54; x += 4 {
			dashes.Path = append(dashes.Path, geometry.RectXYWH(x, y-0.2, 2.4, 0.4).Path()...)
			dashes.Centre = append(dashes.Centre, geometry.Contour{Start: geometry.Pt(x, y), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(x+2.4, y))}})
		}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{dashes}}
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(2, slot, 56, 2).Path()}}}
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		things, err := thing.Find(t.Context(), []job.Shape{dashes}, geometry.Identity(), false)
		if err != nil || things[0].Kind != thing.Dash {
			t.Fatal(err, things[0].Kind)
		}
		by, ok := m.sidestep(things, things[0].Group, 1)
		if ok != (c.want != 0) || ok && math.Abs(math.Abs(by-c.want)-own.HealMM) > 0.01 {
			t.Errorf("%s: %.3f, %t, want %g", name, by, ok, c.want)
		}
	}
}
