package thing

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// A stroke of 0.4 mm from the root of a beak, 10 mm long and 6 mm high there, to its tip. Drawn 1 mm
// broad it ends as far in the beak as a disc of 1.8 mm reaches, and not in front of it; on a field, along
// its edge and where it lies on nothing it stays as long as it was.
func TestDraw_ALineEndsWhereItsGroundHasRoomForIt(t *testing.T) {
	ground := func(corners ...geometry.Point) []Ground {
		return []Ground{{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(corners...)}}}, Transform: geometry.Identity()}}
	}
	for name, x := range map[string]struct {
		on  []Ground
		end float64
	}{
		"a beak":          {ground(geometry.Pt(0, -3), geometry.Pt(10, 0), geometry.Pt(0, 3)), 10 - 0.9/math.Sin(math.Atan(0.3)) + 0.9},
		"a field":         {ground(geometry.Pt(-5, -9), geometry.Pt(20, -9), geometry.Pt(20, 9), geometry.Pt(-5, 9)), 9.5},
		"an edge":         {ground(geometry.Pt(-5, -9), geometry.Pt(20, -9), geometry.Pt(20, 0.2), geometry.Pt(-5, 0.2)), 9.5},
		"beside a ground": {ground(geometry.Pt(0, 5), geometry.Pt(10, 8), geometry.Pt(0, 11)), 9.5},
		"nothing":         {nil, 9.5},
	} {
		l := Layer{Shapes: []job.Shape{pen(0.5, 0, 9, 0.4)}, Transform: geometry.Identity(), Beneath: x.on}
		out, made, err := Draw(context.Background(), l, wide, []job.Mend{{Do: job.Broaden, At: geometry.Pt(2, 0), Drawn: 0.4, WidthMM: 1}})
		if err != nil || len(made) != 1 {
			t.Fatal(err, made)
		}
		if b := out[0].Path.Bounds(); math.Abs(b.Max.X-x.end) > 0.02 || math.Abs(b.Min.X-0.5) > 1e-3 || math.Abs(b.Height()-1) > 1e-2 {
			t.Errorf("on %s it lies in %v, want its end at %g", name, b, x.end)
		}
	}
}

// A shade of 0.8 mm from edge to edge of a neck, drawn 1 mm broad, ends at its edges still.
func TestDraw_AShapeEndsAtTheEdgeOfItsGround(t *testing.T) {
	neck := []Ground{{Shapes: []job.Shape{{Path: geometry.RectXYWH(0, -9, 10, 18).Path()}}, Transform: geometry.Identity()}}
	for name, c := range map[string]struct {
		on   []Ground
		want geometry.Rect
	}{"on a neck": {neck, geometry.RectXYWH(0, -0.1, 10, 1)}, "on nothing": {nil, geometry.RectXYWH(-0.1, -0.1, 10.2, 1)}} {
		l := Layer{Shapes: []job.Shape{{Path: geometry.RectXYWH(0, 0, 10, 0.8).Path()}}, Transform: geometry.Identity(), Beneath: c.on}
		out, made, err := Draw(context.Background(), l, wide, []job.Mend{{Do: job.Broaden, At: geometry.Pt(2, 0.4), Drawn: 0.8, WidthMM: 1}})
		if err != nil || len(made) != 1 {
			t.Fatal(err, made)
		}
		if got := out[0].Path.Bounds(); !got.Grow(0.01).Encloses(c.want) || !c.want.Grow(0.01).Encloses(got) {
			t.Errorf("%s it lies in %v, want %v", name, got, c.want)
		}
	}
}
