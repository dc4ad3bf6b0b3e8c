package mend

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// gapBeside returns a map with one gap of half a millimetre between what ends at x = 10 and
// what begins at x = 10.5, and the gap.
func gapBeside(t *testing.T, layers ...string) (*mending, Spot, job.Settings) {
	t.Helper()
	j := sketch.Art(t, layers...)
	m, spot := spotOf(t, j)
	if spot.Kind != weak.Gap {
		t.Fatal(spot)
	}
	return m, spot, j.Settings
}

// A gap beside a line of 2.5 mm is opened out of the sail on its other side, all along it.
func TestOpened_TakesNothingFromALine(t *testing.T) {
	m, gap, settings := gapBeside(t, "blue rect 7.5 0 2.5 30 knock", "red rect 10.5 0 20 30 knock")
	at := given(t, m, &gap, job.Mend{Spot: job.SpotKind(gap.Kind), Do: job.Widen}, settings)
	for y := 0.1; y < 30; y += 0.5 {
		if of := at(9.99, y); of != sheet("blue") {
			t.Fatalf("at %g the line is %v", y, of)
		}
		if in, out := at(10.99, y), at(11.1, y); in == sheet("red") || out != sheet("red") {
			t.Fatalf("at %g the gap ends with %v and %v", y, in, out)
		}
	}
}

// Where both sides have as much room the gap grows from its middle, so that what is drawn
// symmetric stays so.
func TestOpened_TakesFromBothAlike(t *testing.T) {
	m, gap, _ := gapBeside(t, "blue rect 0 0 10 30 knock", "red rect 10.5 0 10 30 knock")
	l, err := m.opened(context.Background(), &gap, 1)
	if err != nil || len(l) != 1 || !l[0].from.everyone {
		t.Fatalf("%v, %v", l, err)
	}
	want := geometry.RectXYWH(9.75, 0, 1, 30)
	if got := l[0].path.Bounds(); !want.Grow(0.01).Encloses(got.Intersect(geometry.RectXYWH(0, 0, 30, 30))) {
		t.Errorf("%v, want %v", got, want)
	}
}
