package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Vanes that were drawn to abut a post, with 0.0013 mm between them on the left and over each other by as much on the right,
// become one with it, and one side as the other: that one sees no slit, nor that what ended at it was thin. Their points were made broad first.
func TestAll_ASlitBetweenWhatWasDrawnToAbutGoesFirst(t *testing.T) {
	const by = 0.0013
	j := sketch.Art(t, "#deeeff circle 30 30 30 knock", "#2e3ecd rect 21 12 18 36 knock", "#2e3ecd rect 0 0 1 1 knock")
	var vanes []job.Shape
	for _, y := range []float64{15, 26, 37} {
		for _, at := range [][2]float64{{21 - by, 16}, {39 - by, 44}} {
			vanes = append(vanes, job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(at[0], y), geometry.Pt(at[0], y+9), geometry.Pt(at[1], y+3), geometry.Pt(at[1], y))}})
		}
	}
	j.Items[0].Layers[2].Content = job.Outlines{Shapes: vanes}
	laid, spots := allMended(t, j)
	blue := laid.Separations[slices.IndexFunc(laid.Materials, func(m own.Material) bool { return m.Colour == rgbOf(t, "#2e3ecd") })]
	if len(spots) > 0 || len(blue.Pieces) != 1 {
		t.Errorf("left: %v; %d pieces", spots, len(blue.Pieces))
	}
}
