package trace

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"testing"

	"abut/geometry"
)

// jagged paints paths over each other as simple drawing programs do, and as pictures of 256
// colours are: each pixel has the colour that is at its middle.
func jagged(w, h int, paths []geometry.Path, colours []color.NRGBA) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i, p := range paths {
		inside := geometry.NewEnclosure(p.Flatten(0.005))
		for y := range h {
			for x := range w {
				if inside.Holds(geometry.Pt(float64(x)+0.5, float64(y)+0.5)) {
					img.SetNRGBA(x, y, colours[i])
				}
			}
		}
	}
	return img
}

// bends is by how much more than a full turn an outline turns in all: 0 for what is convex.
func bends(p geometry.Path) (rad float64) {
	for _, c := range p.Flatten(0.02) {
		var way []geometry.Point
		last := c.Start
		for _, s := range c.Segments {
			if d := s.End.Sub(last); d.Len() > 1e-6 {
				way = append(way, d)
				last = s.End
			}
		}
		for i := range way {
			rad += math.Abs(turn(way[i], way[(i+1)%len(way)]))
		}
		rad -= 2 * math.Pi
	}
	return rad
}

// Of a picture without smoothed edges the stairs are not what was meant: circles are round, and
// lines run straight.
func TestTrace_EdgesThatWereNotSmoothed(t *testing.T) {
	white, orange := color.NRGBA{255, 255, 255, 255}, color.NRGBA{240, 120, 0, 255}
	page := geometry.RectXYWH(0, 0, 400, 400).Path()
	for _, r := range []float64{4, 8, 15, 30, 60, 120} {
		for k, shift := range []geometry.Point{{}, {X: 0.3, Y: 0.1}, {X: 0.5, Y: 0.5}} {
			drawn := geometry.Path{geometry.Ellipse(geometry.Pt(200, 200).Add(shift), r+float64(k)*0.2, r+float64(k)*0.2)}
			got := layerOf(traced(t, jagged(400, 400, []geometry.Path{page, drawn}, []color.NRGBA{white, orange}), Options{}), orange)
			off, turned := far(got, drawn), bends(got)
			if off > 0.7 || turned > 0.5 && r > 4 || cornersOf(got) > 0 && r > 8 {
				t.Errorf("a circle of radius %.1f lies %.2f off, turns by %.2f more than it should and has %d corners", r, off, turned, cornersOf(got))
			}
		}
	}
	for _, deg := range []float64{0, 3, 11, 27, 38, 45} {
		for _, half := range []float64{6, 20, 70} {
			drawn := geometry.RectXYWH(-half, -half*0.7, 2*half, 1.4*half).Path().Transform(geometry.Translate(200, 200).Mul(geometry.Rotate(deg * math.Pi / 180)))
			got := layerOf(traced(t, jagged(400, 400, []geometry.Path{page, drawn}, []color.NRGBA{white, orange}), Options{}), orange)
			off, turned := far(got, drawn), bends(got)
			name := fmt.Sprintf("a rectangle of %g turned by %g°", 2*half, deg)
			if off > 0.9 || turned > 0.2 || cornersOf(got) != 4 {
				t.Errorf("%s lies %.2f off, turns by %.2f more than it should and has %d corners", name, off, turned, cornersOf(got))
			}
		}
	}
}

// Squares that were drawn stay, and so does what is a pixel wide.
func TestTrace_StairsThatAreNone(t *testing.T) {
	white, black := color.NRGBA{255, 255, 255, 255}, color.NRGBA{0, 0, 0, 255}
	for name, rects := range map[string][]geometry.Rect{
		"a cross":         {geometry.RectXYWH(50, 20, 20, 80), geometry.RectXYWH(20, 50, 80, 20)},
		"steps of four":   {geometry.RectXYWH(20, 20, 40, 4), geometry.RectXYWH(20, 24, 36, 4), geometry.RectXYWH(20, 28, 32, 4), geometry.RectXYWH(20, 32, 28, 4)},
		"a thin line":     {geometry.RectXYWH(20, 20, 80, 1)},
		"a battlement":    {geometry.RectXYWH(20, 40, 60, 20), geometry.RectXYWH(20, 30, 12, 10), geometry.RectXYWH(44, 30, 12, 10), geometry.RectXYWH(68, 30, 12, 10)},
		"a double border": {geometry.RectXYWH(10, 10, 100, 2), geometry.RectXYWH(10, 14, 100, 2)},
	} {
		paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 120, 120).Path()}, []color.NRGBA{white}
		var drawn geometry.Path
		for _, r := range rects {
			drawn = append(drawn, r.Path()...)
			paths, colours = append(paths, r.Path()), append(colours, black)
		}
		got := layerOf(traced(t, jagged(120, 120, paths, colours), Options{}), black)
		if off := far(got, drawn); off > 0.3 {
			t.Errorf("%s lies %.2f off", name, off)
		}
	}
}
