package mend

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A needle of which a width is a quarter of its length keeps its length, and its sides run to corners at its tip: where discs along
// its middle make a stick of its end, it gets broader all the way.
func TestAll_ANeedleStaysANeedle(t *testing.T) {
	j := sketch.Art(t, "blue rect 0 0 1 1 knock", "red rect 0 20 40 20 knock")
	needle := geometry.Polygon(geometry.Pt(20, 2), geometry.Pt(21.5, 12), geometry.Pt(20, 16), geometry.Pt(18.5, 12))
	j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{needle}}}}
	laid, spots := allMended(t, j)
	for _, s := range spots {
		if s.At.Y < 12 {
			t.Errorf("%v %.2f mm broad at %v is left", s.Kind, s.WidthMM, s.At)
		}
	}
	blue := func(x, y float64) bool {
		f := laid.Map.Locate(geometry.Pt(x, y))
		if f < 0 {
			return false
		}
		of, _ := laid.Owner(laid.Fresh[f])
		return of == sheet("blue")
	}
	half := func(y float64) (far float64) {
		for far = 0; blue(20+far, y) && blue(20-far, y); far += 0.01 {
		}
		return far
	}
	if blue(20, 1.9) {
		t.Error("it reaches beyond where its tip was")
	}
	// The sides are drawn anew up to 1.9 × (3.37 mm that are thin + 1.02) of their length, of which 2.02/2 are across.
	end := taperedTimes * (3.37 + 1.02) / math.Hypot(1, 0.15)
	for _, y := range []float64{2.05, 4, 6, 8, 9.5, 11} {
		want := math.Max(0.51+(0.15*end-0.51)*(y-2)/end, 0.15*(y-2))
		if got := half(y); math.Abs(got-want) > 0.04 {
			t.Errorf("at %g mm it is %.2f mm broad to a side, want %.2f", y, got, want)
		}
	}
}

// Sides are straight up to where they bend by more than one sees, whatever corners lie on them, and no longer than asked for.
func TestSidesAt(t *testing.T) {
	at := geometry.Pt(0, 0)
	outline := geometry.Path{geometry.Polygon(at, geometry.Pt(2, 4), geometry.Pt(3, 6.01), geometry.Pt(5, 10), geometry.Pt(-1, 12), geometry.Pt(-3, 9), geometry.Pt(-1, 3))}
	for _, c := range []struct {
		most          float64
		before, after geometry.Point
	}{
		{100, geometry.Pt(-3, 9), geometry.Pt(5, 10)},
		{math.Sqrt(10), geometry.Pt(-1, 3), geometry.Pt(math.Sqrt2, 2*math.Sqrt2)},
	} {
		before, after, ok := sidesAt(outline, geometry.Pt(0.001, 0), c.most)
		if !ok || before.Sub(c.before).Len() > 0.03 || after.Sub(c.after).Len() > 0.03 {
			t.Errorf("up to %g: %v to %v and %v", c.most, ok, before, after)
		}
	}
	if _, _, ok := sidesAt(outline, geometry.Pt(0.5, 1), 10); ok {
		t.Error("a place on a side is no corner")
	}
}

// What gets narrower in bows has no sides to be drawn anew.
func TestTapered_NotOfALeaf(t *testing.T) {
	var points []geometry.Point
	for i := range 41 {
		u := float64(i) / 40
		points = append(points, geometry.Pt(20+3*math.Sin(math.Pi*u)*u, 4+16*u))
	}
	for i := 39; i > 0; i-- {
		u := float64(i) / 40
		points = append(points, geometry.Pt(20-3*math.Sin(math.Pi*u)*u, 4+16*u))
	}
	leaf := geometry.Polygon(points...)
	j := sketch.Art(t, "blue rect 0 0 1 1 knock")
	j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{leaf}}}}
	_, spot := spotOf(t, j)
	if spot.Of == own.Bare {
		t.Fatalf("%v at %v", spot.Kind, spot.At)
	}
	if path, ok := spot.tapered(1); ok {
		t.Errorf("%v at %v: %v", spot.Kind, spot.At, path)
	}
}
