package thing

import (
	"context"
	"math"
	"slices"
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

// Strokes to the tips of two beaks, of one shape and of two, and of another width between them: what is
// worked out of a beak for one of them serves the other, and each ends where it would by itself.
func TestDraw_LinesOnOneGroundEndAsEachDoesByItself(t *testing.T) {
	beak := func(x, y float64) geometry.Path {
		return geometry.Path{geometry.Polygon(geometry.Pt(x, y-3), geometry.Pt(x+10, y), geometry.Pt(x, y+3))}
	}
	ground := []Ground{{Shapes: []job.Shape{{Path: append(beak(0, 0), beak(0, 20)...)}, {Path: beak(40, 0)}}, Transform: geometry.Identity()}}
	strokes := []job.Shape{pen(0.5, 0.3, 9, 0.4), pen(0.5, -0.3, 9, 0.4), pen(0.5, 20, 9, 0.4), pen(40.5, 0, 9, 0.4), pen(40.5, 0.6, 8, 0.2)}
	mends := make([]job.Mend, len(strokes))
	for i, s := range strokes {
		b := s.Path.Bounds()
		mends[i] = job.Mend{Do: job.Broaden, At: geometry.Pt(b.Min.X+1, b.Centre().Y), Drawn: b.Height(), WidthMM: 0.8 + 0.2*float64(i%2)}
	}
	drawn := func(shapes []job.Shape, mends []job.Mend) []job.Shape {
		out, made, err := Draw(t.Context(), Layer{Shapes: shapes, Transform: geometry.Identity(), Beneath: ground}, wide, mends)
		if err != nil || len(made) != len(mends) {
			t.Fatal(err, made)
		}
		return out
	}
	same := func(a, b job.Shape) bool {
		return slices.EqualFunc(a.Path, b.Path, func(a, b geometry.Contour) bool {
			return a.Start == b.Start && slices.Equal(a.Segments, b.Segments)
		})
	}
	var ends []float64
	apart := drawn(strokes[3:], mends[3:]) // a fine one, and another width, on the same beak
	for i := range strokes {
		alone := drawn(strokes[i:i+1], mends[i:i+1])[0]
		all := drawn(strokes, mends[i:i+1]) // those that are alike are drawn with it
		if !same(all[i], alone) || i >= 3 && !same(apart[i-3], alone) {
			t.Errorf("stroke %d lies in %v, or another mend moves it: by itself it lies in %v", i, all[i].Path.Bounds(), alone.Path.Bounds())
		}
		ends = append(ends, strokes[i].Path.Bounds().Max.X-alone.Path.Bounds().Max.X)
	}
	if slices.Min(ends) < 0.1 {
		t.Errorf("they end %v mm sooner: too little to tell", ends)
	}
}
