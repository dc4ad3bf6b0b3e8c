package mend

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A horn of 12 mm becomes a millimetre broad up to its tip and ends there in a straight line across it, in
// whichever way it goes: a disc at its end would stick out beyond it.
func TestUpright_AHornEndsStraightAtItsTip(t *testing.T) {
	for _, turn := range []float64{0, 0.4, 1, 2} {
		j := sketch.Art(t, "green rect 0 0 40 40 knock", "red rect 9 9 1 1 knock")
		at := geometry.Translate(20, 20).Mul(geometry.Rotate(turn))
		horn := geometry.Path{geometry.Polygon(geometry.Pt(-6, -1), geometry.Pt(6, 0), geometry.Pt(-6, 1))}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: horn.Transform(at)}}}
		m, spot := spotOf(t, j)
		mend := m.about(&spot, 0)
		mend.Do, mend.To, mend.Chosen = job.Widen, spot.Neighbours[0].Of.Colour, turn == 1
		layers, err := m.layersOf(context.Background(), &spot, mend, j.Settings)
		if err != nil || len(layers) != 1 {
			t.Fatalf("%v, %d layers", err, len(layers))
		}
		back, _ := at.Invert()
		far, up, down := math.Inf(-1), math.Inf(-1), math.Inf(1)
		for _, c := range layers[0].path.Transform(back) {
			for p := range c.Sides() {
				far = math.Max(far, p.X)
				if p.X > 6-0.02 {
					up, down = math.Max(up, p.Y), math.Min(down, p.Y)
				}
			}
		}
		if math.Abs(far-6) > 0.02 || math.Abs(up-down-1) > 0.05 {
			t.Errorf("turned by %g: up to %.3f mm, %.3f mm broad there", turn, far, up-down)
		}
	}
}
