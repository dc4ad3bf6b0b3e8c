package svgimport

import (
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// Shares of the viewport are those of each element that is clipped, also where
// two viewports of different sizes have one corner and one scale.
func TestClipPath_SharesAreOfTheViewportAroundWhatIsClipped(t *testing.T) {
	r := read(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">
		<clipPath id="c"><rect width="50%" height="100%"/></clipPath>
		<rect width="80" height="10" fill="red" clip-path="url(#c)"/>
		<svg width="40" height="100"><rect width="30" y="20" height="10" fill="blue" clip-path="url(#c)"/></svg></svg>`)
	want := map[colour.RGB]float64{{R: 255}: 50, {B: 255}: 20}
	for _, l := range r.Layers {
		box := geometry.RectXYWH(0, 0, 100, 100)
		for _, s := range l.Content.(job.Outlines).Shapes {
			for _, c := range s.Clips {
				b := geometry.EmptyRect()
				for _, k := range c.Shapes {
					b = b.Union(k.Path.Bounds())
				}
				box = box.Intersect(b)
			}
		}
		if got := box.Max.X; got != want[l.Colour] {
			t.Errorf("%v is clipped at %g, want %g", l.Colour, got, want[l.Colour])
		}
	}
	if len(r.Layers) != 2 {
		t.Errorf("%d layers", len(r.Layers))
	}
}
