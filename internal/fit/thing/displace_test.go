package thing

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// A side moves by as much as the width needs, and those beside it go on as they ran: a trapezium
// stays one, with as many corners and the same angles.
func TestDraw_MovesAnEdgeBetweenItsCorners(t *testing.T) {
	band := func() job.Shape {
		return job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(2, 0), geometry.Pt(8, 0), geometry.Pt(9, 4), geometry.Pt(1, 4))}}
	}
	for name, c := range map[string]struct {
		moved    float64
		whole    bool
		top      float64
		left, to float64
	}{
		"inwards":           {0.4, false, 0.4, 1.9, 8.1},
		"outwards":          {-0.4, false, -0.4, 2.1, 7.9},
		"no more than need": {0.9, false, 0.5, 1.875, 8.125},
		"across all":        {0.9, true, 0.9, 1.775, 8.225},
	} {
		m := job.Mend{Do: job.Displace, Edge: true, Whole: c.whole, At: geometry.Pt(5, 0.01), Moved: geometry.Pt(0, c.moved), Drawn: 0.5, WidthMM: 1}
		out, made := draw(t, wide, m, band())
		if len(made) != 1 || len(out[0].Path) != 1 || len(out[0].Path[0].Segments) > 4 {
			t.Fatalf("%s: %+v, %v", name, made, out[0].Path)
		}
		for _, p := range []geometry.Point{geometry.Pt(c.left, c.top), geometry.Pt(c.to, c.top), geometry.Pt(9, 4), geometry.Pt(1, 4)} {
			if out[0].Path.Distance(p) > 1e-3 || !hasCorner(out[0].Path, p) {
				t.Errorf("%s: no corner at %v: %v", name, p, out[0].Path)
			}
		}
	}
}

func hasCorner(path geometry.Path, at geometry.Point) bool {
	for _, c := range path {
		for a := range c.Sides() {
			if a.Sub(at).Len() < 1e-3 {
				return true
			}
		}
	}
	return false
}

// The flat side of a cloud runs into its round ends: it cannot move alone, but the cloud can.
func TestDraw_MovesWhatHasNoCornersAsAWhole(t *testing.T) {
	arc := func(k float64) geometry.Contour {
		return geometry.Contour{Closed: true, Start: geometry.Pt(1, 2), Segments: []geometry.Segment{
			geometry.CubicTo(geometry.Pt(0, 2), geometry.Pt(0, 0), geometry.Pt(2, 0)),
			geometry.LineTo(geometry.Pt(8, 0)),
			geometry.CubicTo(geometry.Pt(10, 0), geometry.Pt(10, 2), geometry.Pt(9, 2+k)),
			geometry.LineTo(geometry.Pt(1, 2)),
		}}
	}
	cloud := job.Shape{Path: geometry.Path{arc(0)}}
	at := geometry.Pt(5, 0.01)
	if _, ok := find(t, cloud)[0].EdgeAt(at, 0.1); ok {
		t.Error("a side without corners")
	}
	out, _ := draw(t, wide, job.Mend{Do: job.Displace, Edge: true, At: at, Moved: geometry.Pt(0, 0.3), Drawn: 0.7, WidthMM: 1}, cloud)
	if math.Abs(out[0].Path.Bounds().Min.Y) > 1e-3 {
		t.Errorf("its side has moved: %v", out[0].Path.Bounds())
	}
	out, _ = draw(t, wide, job.Mend{Do: job.Displace, At: at, Moved: geometry.Pt(0.4, -0.3), Drawn: 0.5, WidthMM: 1}, cloud)
	was, is := cloud.Path.Bounds(), out[0].Path.Bounds()
	if by := is.Min.Sub(was.Min); by.Sub(geometry.Pt(0.4, -0.3)).Len() > 0.01 {
		t.Errorf("it moves by %v", by)
	}
}

// On a larger picture a thing moves by less, and in the end not at all.
func TestDraw_MovesNoFurtherThanTheSizeNeeds(t *testing.T) {
	m := job.Mend{Do: job.Displace, At: geometry.Pt(1, 1), Moved: geometry.Pt(0.5, 0), Drawn: 0.5, WidthMM: 1}
	for scale, want := range map[float64]float64{1: 0.5, 1.5: 0.25, 2: 0, 3: 0} {
		out, made, err := Draw(t.Context(), Layer{Shapes: []job.Shape{rect(0, 0, 4, 4)}, Transform: geometry.Scale(scale, scale)}, wide, []job.Mend{m})
		if err != nil || len(made) != 1 {
			t.Fatal(made, err)
		}
		if got := out[0].Path.Bounds().Min.X * scale; math.Abs(got-want) > 1e-3 {
			t.Errorf("%g times as large: %.3f mm, want %g", scale, got, want)
		}
	}
}
