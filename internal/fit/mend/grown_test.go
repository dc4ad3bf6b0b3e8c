package mend

import (
	"context"
	"math"
	"slices"
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

// A shade within one colour grows away from what leaves no room: here from an edge that runs
// 0.6 mm from it.
func TestGrown_GoesWhereThereIsRoom(t *testing.T) {
	ctx := context.Background()
	m, err := start(ctx, sketch.Art(t, "yellow rect 0 0 40 10 knock", "green rect 0 10 40 20 knock", "blue rect 5 10.6 30 0.5 knock"))
	if err != nil {
		t.Fatal(err)
	}
	green, blue := own.OwnSheet(sketch.Palette["green"]), own.OwnSheet(sketch.Palette["blue"])
	spots, err := m.spots(ctx, sketch.Art(t).Settings, nil)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(spots, func(s Spot) bool { return s.Of == blue })
	l, err := m.grown(ctx, &spots[i], green, 1)
	if err != nil || len(l) != 1 {
		t.Fatalf("%v, %d layers", err, len(l))
	}
	if got := l[0].path.Bounds(); math.Abs(got.Min.Y-10.6) > 1e-3 || math.Abs(got.Max.Y-11.6) > 1e-3 {
		t.Errorf("it grows over %v", got)
	}
}

// A speck becomes larger in its own shape, within the art: all its corners are as they were.
func TestLarger_KeepsTheShape(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 30 knock", "blue rect 39 10 1 1 knock")
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(38.5, 10), geometry.Pt(40, 10), geometry.Pt(40, 11.2))}}}}
	m, spot := spotOf(t, j)
	got, ok := m.larger(context.Background(), &spot, 2, 1)
	if !ok || len(got) != 1 {
		t.Fatal(got, ok)
	}
	if b := got.Bounds(); math.Abs(b.Width()-2) > 1e-3 || math.Abs(b.Height()-1.6) > 1e-3 || math.Abs(b.Max.X-40) > 1e-3 {
		t.Errorf("%v", b)
	}
	if n := len(got.Simplified(1e-3)[0].Segments); n > 3 {
		t.Errorf("%d sides", n)
	}
}

// The short end of a shade is round where it grows to one side: it ends where it did, and its
// other edge stays.
func TestGrown_EndsRoundWhereItEnded(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 15 knock", "yellow rect 0 15 40 15 knock", "blue rect 10 15 20 2 knock")
	j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(10, 15), geometry.Pt(16, 15), geometry.Pt(19, 24))}}}}
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	k := slices.IndexFunc(spots, func(s Spot) bool { return s.Bounds.Min.X < 10.01 })
	if err != nil || k < 0 {
		t.Fatalf("%v, %d spots", err, len(spots))
	}
	spot := spots[k]
	if at := spot.tip(); at.Sub(geometry.Pt(10, 15)).Len() > 1e-3 {
		t.Fatalf("it ends at %v", at)
	}
	l, err := m.grown(context.Background(), &spot, sheet("yellow"), 1)
	if err != nil || len(l) != 2 || !l[1].straight {
		t.Fatalf("%v, %d layers", err, len(l))
	}
	if got := l[1].path.Bounds(); got.Min.X < 9.95 || got.Min.Y < 14.98 {
		t.Errorf("it grows over %v", got)
	}
}
