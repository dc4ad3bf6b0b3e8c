package planar

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
)

func area(t testing.TB, p geometry.Path) float64 {
	t.Helper()
	m := build(t, layer(geometry.EvenOdd, p))
	return ownedBy(divided(m, topmost(m)), 0)
}

func offset(t testing.TB, l Layer, d float64, join geometry.Join) geometry.Path {
	t.Helper()
	p, err := Offset(context.Background(), l, d, join, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Steiner's formula for a convex shape, A + P·d + πd², within the bound of the
// chords: 40 × 20 grown by 3 is 1188.2743339.
func TestOffset_OutwardIsSteinersFormula(t *testing.T) {
	for _, d := range []float64{0.1, 1, 3, 10} {
		want := 800 + 120*d + math.Pi*d*d
		if d == 3 && math.Abs(want-1188.2743339) > 1e-7 {
			t.Fatalf("the formula gives %v", want)
		}
		bound := 2.0/3*defaultSagittaMM*2*math.Pi*d + math.Sqrt2/StepsPerMM*(120+2*math.Pi*d)
		if got := area(t, offset(t, rect(0, 0, 40, 20), d, geometry.Join{})); math.Abs(got-want) > bound {
			t.Errorf("grown by %v: %v mm², want %v ± %v", d, got, want, bound)
		}
	}
}

func TestOffset_InwardIsExactForARectangle(t *testing.T) {
	if got := area(t, offset(t, rect(0, 0, 40, 20), -3, geometry.Join{})); got != 34*14 {
		t.Errorf("area %v, want 476", got)
	}
}

func TestOffset_MitreKeepsCornersSquare(t *testing.T) {
	if got := area(t, offset(t, rect(0, 0, 40, 20), 3, geometry.Join{MitreLimit: 4})); got != 46*26 {
		t.Errorf("area %v, want 1196", got)
	}
	// A limit below √2 cuts the corners off: each loses a triangle of legs 3.
	if got := area(t, offset(t, rect(0, 0, 40, 20), 3, geometry.Join{MitreLimit: 1})); math.Abs(got-(46*26-4*4.5)) > 1e-2 {
		t.Errorf("bevelled: area %v, want %v", got, 46*26-4*4.5)
	}
}

func TestOffset_InwardRemovesNarrowNeck(t *testing.T) {
	dumbbell := Layer{Figures: []Figure{
		{Path: geometry.RectXYWH(0, 0, 10, 10).Path()},
		{Path: geometry.RectXYWH(10, 4.6, 10, 0.8).Path()},
		{Path: geometry.RectXYWH(20, 0, 10, 10).Path()},
	}}
	if p := offset(t, dumbbell, -0.5, geometry.Join{}); len(p) != 2 {
		t.Errorf("%d contours, want the two squares", len(p))
	}
	if p := offset(t, dumbbell, -0.3, geometry.Join{}); len(p) != 1 {
		t.Errorf("%d contours, want one dumbbell", len(p))
	}
}

func TestOffset_HolesShrinkAsTheShapeGrows(t *testing.T) {
	ring := geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 20, 20), geometry.Ellipse(geometry.Pt(0, 0), 10, 10)}
	l := layer(geometry.EvenOdd, ring)
	for _, c := range []struct{ d, outer, inner float64 }{{4, 24, 6}, {-4, 16, 14}, {11, 31, 0}} {
		got := area(t, offset(t, l, c.d, geometry.Join{}))
		want := math.Pi * (c.outer*c.outer - c.inner*c.inner)
		if bound := 2.0 / 3 * 0.02 * 2 * math.Pi * (c.outer + c.inner + 1); math.Abs(got-want) > bound {
			t.Errorf("by %v: area %v, want %v ± %v", c.d, got, want, bound)
		}
	}
	if p := offset(t, l, -6, geometry.Join{}); len(p) != 0 {
		t.Errorf("inset past the middle leaves %d contours, want none", len(p))
	}
}
