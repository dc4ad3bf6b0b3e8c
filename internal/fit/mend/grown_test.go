package mend

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A shade between two colours grows into the one: the other's edge stays as it was drawn.
func TestGrown_LeavesTheOtherSideAsItWas(t *testing.T) {
	ctx := context.Background()
	m, spot := spotOf(t, sketch.Art(t, "green rect 0 0 40 30 knock", "yellow rect 0 15 40 15 knock", "blue rect 0 14.8 40 0.4 knock"))
	for name, want := range map[string]geometry.Rect{"yellow": geometry.RectXYWH(0, 14.8, 40, 1), "green": geometry.RectXYWH(0, 14.2, 40, 1)} {
		l, err := m.grown(ctx, &spot, own.OwnSheet(sketch.Palette[name]), 1)
		if err != nil || len(l) != 1 {
			t.Fatalf("%s: %v, %d layers", name, err, len(l))
		}
		if got := l[0].path.Bounds(); l[0].from.of.Colour != sketch.Palette[name] || !want.Grow(1e-3).Encloses(got) || !got.Grow(1e-3).Encloses(want) {
			t.Errorf("%s: from %v in %v, want %v", name, l[0].from, got, want)
		}
	}
}

// A shade of 20 mm that begins with nothing and is 2 mm broad at its end is 0.5 mm broad after
// 5 mm: there it is cut off straight, and is 1 mm broad from there on.
func TestGrown_BluntsAPointWhereItIsHalfAsBroadAsItMustBe(t *testing.T) {
	ctx := context.Background()
	j := sketch.Art(t, "green rect 0 0 40 15 knock", "yellow rect 0 15 40 15 knock", "blue rect 10 15 20 2 knock")
	j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(10, 15), geometry.Pt(30, 15), geometry.Pt(30, 17))}}}}
	m, spot := spotOf(t, j)
	yellow := own.OwnSheet(sketch.Palette["yellow"])
	l, err := m.grown(ctx, &spot, yellow, 1)
	if err != nil || len(l) != 2 {
		t.Fatalf("%v, %d layers", err, len(l))
	}
	if l[0].to != yellow || l[1].to != spot.Of {
		t.Errorf("its tip goes to %v, and %v grows", l[0].to, l[1].to)
	}
	got := l[1].path.Bounds()
	if math.Abs(got.Min.X-15) > 0.1 || math.Abs(got.Min.Y-15) > 1e-3 || math.Abs(got.Max.Y-16) > 1e-3 {
		t.Errorf("it grows over %v", got)
	}
}
