package mend

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A line of 0.3 mm between the halves of a beak: of a small one it would leave two thin stripes when it is drawn
// 1 mm broad, so it stays as it was drawn and is listed; on a large one there is room.
func TestAll_ALineDoesNotEatWhatItLiesOn(t *testing.T) {
	for high, broad := range map[float64]bool{2.2: false, 8: true} {
		j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "orange rect 0 0 1 1 knock", "black rect 0 0 1 1 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(10, 15-high/2, 5, high).Path()}}}
		c := geometry.Contour{Start: geometry.Pt(10, 15), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(15, 15))}}
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(10, 14.85, 5, 0.3).Path(), Centre: geometry.Path{c}}}}
		laid, spots := allMended(t, j)
		i := slices.Index(laid.Materials, sheet("black"))
		got := laid.Separations[i].Outline.Bounds().Height()
		if want := map[bool]float64{true: 1.02, false: 0.3}[broad]; math.Abs(got-want) > 0.02 {
			t.Errorf("on %g mm it is %.2f mm broad, want %g", high, got, want)
		}
		if listed := slices.ContainsFunc(spots, func(s Spot) bool { return s.Of == sheet("black") }); listed == broad {
			t.Errorf("on %g mm: listed %t", high, listed)
		}
	}
}
