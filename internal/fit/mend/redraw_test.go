package mend

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Letters beneath others, of which 0.8 mm show on all sides, become so broad that a millimetre does, evenly; and so does the shadow
// of a word. The letters that lie over them stay as they are.
func TestAll_OutlinesOfLettersBecomeBroader(t *testing.T) {
	for name, c := range map[string]struct {
		by   float64        // how far the lower letters reach beyond the upper ones
		off  geometry.Point // and how far they are moved
		left float64        // how far they show on the left in the end
	}{
		"outline": {0.8, geometry.Point{}, 1.02},
		"shadow":  {0, geometry.Pt(0.8, 0.8), 0},
	} {
		j := sketch.Art(t, "yellow rect 0 0 60 30 knock", "blue rect 0 0 1 1 knock", "red rect 0 0 1 1 knock")
		word := func(by float64, off geometry.Point) job.Text {
			var shapes []job.Shape
			for _, x := range []float64{6, 24, 42} {
				s := job.Shape{Path: append(geometry.RectXYWH(x-by+off.X, 8-by+off.Y, 12+2*by, 14+2*by).Path(), geometry.RectXYWH(x+4+by+off.X, 12+by+off.Y, 4-2*by, 6-2*by).Path().Reverse()...)}
				s.Element = "text"
				shapes = append(shapes, s)
			}
			return job.Text{Text: "OOO", Weight: 400, SizeMM: 14, Shapes: shapes}
		}
		j.Items[0].Layers[1].Content = word(c.by, c.off)
		j.Items[0].Layers[2].Content = word(0, geometry.Point{})
		laid, spots := allMended(t, j)
		for _, s := range spots {
			if s.Of == sheet("blue") {
				t.Errorf("%s: %v %.2f mm broad at %v is left", name, s.Kind, s.WidthMM, s.At)
			}
		}
		shows := func(from, way geometry.Point) (far float64) {
			for ; far < 3; far += 0.01 {
				of, _ := laid.Owner(laid.Fresh[laid.Map.Locate(from.Add(way.Mul(far)))])
				if of != sheet("blue") {
					break
				}
			}
			return far
		}
		for _, x := range []float64{6, 24, 42} {
			left, right := shows(geometry.Pt(x-0.005, 15), geometry.Pt(-1, 0)), shows(geometry.Pt(x+12.005, 15), geometry.Pt(1, 0))
			if math.Abs(left-c.left) > 0.06 || math.Abs(right-1.03) > 0.05 {
				t.Errorf("%s: %.2f mm show on the left of the letter at %g, %.2f on its right", name, left, x, right)
			}
		}
	}
}

// A dark disc beneath a lighter one that is smaller shows as its outline, 0.4 to 1.2 mm broad as drawn by hand: where it is too
// thin it becomes a millimetre broad, and not all of it broader by what is missing there.
func TestAll_AnOutlineOfUnevenBreadthBecomesBroaderWhereItIsThin(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 60 40 knock", "blue circle 30 20 10 knock", "red circle 29.6 20 9.2 knock")
	laid, spots := allMended(t, j)
	for _, s := range spots {
		t.Errorf("%v %.2f mm broad at %v is left", s.Kind, s.WidthMM, s.At)
	}
	for a := 0.0; a < 360; a += 5 {
		sin, cos := math.Sincos(a / 180 * math.Pi)
		shows := func(far float64) bool {
			of, _ := laid.Owner(laid.Fresh[laid.Map.Locate(geometry.Pt(29.6+far*cos, 20+far*sin))])
			return of == sheet("blue")
		}
		is := 0.0
		for far := 8.0; far < 13; far += 0.01 {
			if shows(far) {
				is += 0.01
			}
		}
		if is < 0.99 || is > 1.3 {
			t.Errorf("at %g° %.2f mm show", a, is)
		}
	}
}
