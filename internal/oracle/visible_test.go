package oracle

import (
	"math"
	"testing"

	"abut/geometry"
)

func TestGeos_KnowsWhatIsVisible(t *testing.T) {
	g := StartGeos(t)
	figure := func(rule geometry.FillRule, c ...geometry.Contour) Figure { return Figure{Path: c, Rule: rule} }
	twice := geometry.Path{square(0, 0, 10), square(5, 0, 10)}
	bow := geometry.Path{geometry.Polygon(geometry.Pt(0, 20), geometry.Pt(10, 30), geometry.Pt(10, 20), geometry.Pt(0, 30))}
	clipped := figure(geometry.NonZero, square(0, 0, 100))
	clipped.Clips = [][]Figure{{figure(geometry.NonZero, square(0, 0, 2)), figure(geometry.NonZero, square(50, 50, 1))}}
	got, took, err := g.Visible([][]Figure{
		{figure(geometry.NonZero, twice...)},
		{figure(geometry.EvenOdd, twice...)},
		{figure(geometry.NonZero, bow...)},
		{clipped},
	}, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	if took <= 0 {
		t.Error("no time was taken")
	}
	for i, want := range []float64{50, 100 - 4, 50, 5} {
		if math.Abs(got[i].AreaMM2-want) > 1e-9 {
			t.Errorf("layer %d: %v mm² are visible, want %v", i, got[i].AreaMM2, want)
		}
	}
}
