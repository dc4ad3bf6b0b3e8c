package mend

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// facets is a point of 34° upwards on blue, of a light and a dark half, once as it is and once the other way round: at
// 12 and at 28.
func facets(t *testing.T) job.Job {
	j := sketch.Art(t, "blue rect 0 0 40 40 knock", "yellow rect 0 0 1 1 knock", "red rect 0 0 1 1 knock")
	half := func(a, b float64) geometry.Contour {
		p := []geometry.Point{geometry.Pt(a, 10), geometry.Pt(b, 30), geometry.Pt(a, 30)}
		if b < a {
			p[1], p[2] = p[2], p[1]
		}
		return geometry.Polygon(p...)
	}
	for i, x := range [][2]float64{{1, 1}, {2, -1}} {
		j.Items[0].Layers[i+1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{half(12, 12+6*x[1]), half(28, 28-6*x[1])}}}}
	}
	return j
}

// The half that contrasts more with what lies around takes the tip at both points, up to a straight line, and neither
// half is thin there: nothing is left to mend, and what was drawn is as straight as it was.
func TestAll_OneHalfOfAPointTakesItsTip(t *testing.T) {
	laid, spots := allMended(t, facets(t))
	for _, s := range spots {
		t.Errorf("%v %.2f mm broad at %v is left", s.Kind, s.WidthMM, s.At)
	}
	at := func(x, y float64) own.Material {
		of, _ := laid.Owner(laid.Fresh[laid.Map.Locate(geometry.Pt(x, y))])
		return of
	}
	for _, x := range []struct{ middle, dark float64 }{{12, -1}, {28, 1}} {
		// The whole point is a millimetre broad at 11.7, and either half at 13.5.
		for _, off := range []float64{0.1, 0.5} {
			if of := at(x.middle+x.dark*off, 12.9); of != sheet("yellow") {
				t.Errorf("above the line, %g mm beside %g: %v", off, x.middle, of)
			}
		}
		for _, off := range []float64{0.1, 0.5, 1} {
			if of := at(x.middle+x.dark*off, 14); of != sheet("red") {
				t.Errorf("beneath the line, %g mm beside %g: %v", off, x.middle, of)
			}
		}
		for y := 12.5; y < 29; y += 0.5 { // the silhouette is as drawn
			half := (y - 10) * 0.3
			for _, side := range []float64{-1, 1} {
				if in, out := at(x.middle+side*(half-0.02), y), at(x.middle+side*(half+0.02), y); in == sheet("blue") || out != sheet("blue") {
					t.Errorf("at %g, %g: %v within, %v beyond", x.middle+side*math.Abs(half), y, in, out)
				}
			}
		}
	}
}
