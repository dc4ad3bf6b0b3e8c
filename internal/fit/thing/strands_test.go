package thing

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// A mast with a yard across it and a stay, each as broad as it is.
func rigging() job.Shape {
	return job.Shape{Path: geometry.Path{
		geometry.Polygon(geometry.Pt(10, 0), geometry.Pt(10.8, 0), geometry.Pt(10.8, 20), geometry.Pt(10, 20)),
		geometry.Polygon(geometry.Pt(2, 15), geometry.Pt(18, 15), geometry.Pt(18, 15.4), geometry.Pt(2, 15.4)),
		geometry.Polygon(geometry.Pt(10.2, 1), geometry.Pt(10.6, 1), geometry.Pt(17.2, 15.2), geometry.Pt(16.8, 15.2)),
	}}
}

func TestFind_ALineOfSeveralHasTheWidthOfItsThinnest(t *testing.T) {
	things := find(t, rigging())
	if len(things) != 1 || len(things[0].strands) != 3 {
		t.Fatalf("%d things, of %d strands", len(things), len(things[0].strands))
	}
	// The stay is 0.4 mm broad across the picture and leans by 6.6 in 14.2.
	if want := 0.4 * math.Cos(math.Atan(6.6/14.2)); math.Abs(things[0].WidthMM-want) > 0.01 {
		t.Errorf("%.3f mm broad, not %.3f", things[0].WidthMM, want)
	}
	for i, want := range []float64{0.8, 0.4} {
		if got := things[0].strands[i].widthMM; math.Abs(got-want) > 0.01 {
			t.Errorf("strand %d is %.3f mm broad, not %.1f", i, got, want)
		}
	}
}

func TestDraw_EachStrandGrowsByWhatItLacks(t *testing.T) {
	out, made := draw(t, wide, job.Mend{At: geometry.Pt(10.4, 18), Do: job.Broaden, Drawn: 0.36, WidthMM: 1}, rigging())
	if len(made) != 1 {
		t.Fatal("it was not made")
	}
	inside := geometry.NewEnclosure(out[0].Path)
	broad := func(from, to geometry.Point) float64 {
		n, in := 2000, 0
		for i := range n {
			if inside.Holds(from.Lerp(to, (float64(i)+0.5)/float64(n))) {
				in++
			}
		}
		return to.Sub(from).Len() * float64(in) / float64(n)
	}
	for name, x := range map[string]struct{ from, to geometry.Point }{
		"mast": {geometry.Pt(5, 18), geometry.Pt(15, 18)},
		"yard": {geometry.Pt(5, 10), geometry.Pt(5, 19)},
	} {
		if got := broad(x.from, x.to); math.Abs(got-1) > 0.02 {
			t.Errorf("%s: %.3f mm broad, not 1", name, got)
		}
	}
	// The ends stay where they were.
	if b := out[0].Path.Bounds(); math.Abs(b.Min.Y) > 0.01 || math.Abs(b.Max.Y-20) > 0.01 || math.Abs(b.Min.X-2) > 0.01 || math.Abs(b.Max.X-18) > 0.01 {
		t.Errorf("it reaches over %v", b)
	}
}

func TestFind_ARingIsNoStrands(t *testing.T) {
	ring := job.Shape{Rule: geometry.EvenOdd, Path: geometry.Path{geometry.Ellipse(geometry.Pt(5, 5), 4, 4), geometry.Ellipse(geometry.Pt(5, 5), 3.5, 3.5)}}
	things, err := Find(context.Background(), []job.Shape{ring}, geometry.Identity(), false)
	if err != nil || len(things) != 1 || things[0].strands != nil {
		t.Errorf("%v, %v", things, err)
	}
}
