package board

import (
	"image"
	"testing"

	"abut/geometry"
)

// However large a picture is and however small the window, all of it can be seen, and looked at from there.
func TestView_ShowsAllOfABanner(t *testing.T) {
	v := view{size: image.Pt(296, 350)}
	for _, wide := range []float64{100, 2400, 20_000} {
		r := geometry.RectXYWH(0, 0, wide, wide*0.7)
		v = v.showing(r, 12)
		for _, p := range []geometry.Point{r.Min, r.Max} {
			if x, y := v.px(p); x < 0 || y < 0 || x > 296 || y > 350 {
				t.Errorf("%v mm wide: a corner is at %v, %v", wide, x, y)
			}
		}
		if out := v.zoomed(image.Pt(148, 175), 0.5); out.scale > v.scale {
			t.Errorf("%v mm wide: zooming out from %v zooms in, to %v", wide, v.scale, out.scale)
		}
	}
}
