package colour_test

import (
	"math"
	"testing"

	"abut/internal/colour"
)

// The values are those of the test suite of CSS (web-platform-tests, css/css-color/parsing/color-computed-color-mix-function.html).
func TestMix(t *testing.T) {
	none := math.NaN()
	hsl := func(h, s, l, a float64) colour.Coordinates {
		return colour.Coordinates{Space: colour.HSL, V: [3]float64{h, s, l}, Alpha: a}
	}
	hwb := func(h, w, k, a float64) colour.Coordinates {
		return colour.Coordinates{Space: colour.HWB, V: [3]float64{h, w, k}, Alpha: a}
	}
	srgb := func(r, g, b, a float64) colour.Coordinates {
		return colour.Coordinates{V: [3]float64{r, g, b}, Alpha: a}
	}
	red, white, blue, clear := srgb(1, 0, 0, 1), srgb(1, 1, 1, 1), srgb(0, 0, 1, 1), srgb(0, 0, 0, 0)
	for _, c := range []struct {
		in    colour.Space
		way   colour.Way
		a, b  colour.Coordinates
		share float64
		want  colour.Coordinates
	}{
		{colour.HSL, colour.Shorter, hsl(120, .1, .2, 1), hsl(30, .3, .4, 1), .5, srgb(.33, .36, .24, 1)},
		{colour.HSL, colour.Shorter, hsl(120, .1, .2, .4), hsl(30, .3, .4, .8), .5, srgb(.37222222, .41111111, .25555556, .6)},
		{colour.HSL, colour.Shorter, hsl(120, .1, .2, 1), hsl(30, .3, .4, .8), .75, srgb(.42346021, .40288927, .25889273, .85)},
		{colour.HSL, colour.Shorter, clear, hsl(30, .3, .4, 1), .5, srgb(.52, .4, .28, .5)},
		{colour.HSL, colour.Shorter, hsl(120, .1, .2, 0), hsl(30, .3, .4, 1), .5, srgb(.46, .52, .28, .5)},
		{colour.HSL, colour.Shorter, white, blue, .5, srgb(.625, .625, .875, 1)},
		{colour.HSL, colour.Shorter, hsl(50, .5, .5, 1), hsl(330, .5, .5, 1), .5, srgb(.75, .33333333, .25, 1)},
		{colour.HSL, colour.Shorter, hsl(320, .5, .5, 1), hsl(20, .5, .5, 1), .5, srgb(.75, .25, .33333333, 1)},
		{colour.HSL, colour.Longer, hsl(40, .5, .5, 1), hsl(60, .5, .5, 1), .5, srgb(.25, .33333333, .75, 1)},
		{colour.HSL, colour.Longer, hsl(60, .5, .5, 1), hsl(40, .5, .5, 1), .5, srgb(.25, .33333333, .75, 1)},
		{colour.HSL, colour.Longer, hsl(60, .5, .5, 1), hsl(60, .5, .5, 1), .5, srgb(.25, .25, .75, 1)},
		{colour.HSL, colour.Longer, red, white, .5, srgb(.625, .875, .875, 1)},
		{colour.HSL, colour.Increasing, hsl(60, .5, .5, 1), hsl(40, .5, .5, 1), .5, srgb(.25, .33333333, .75, 1)},
		{colour.HSL, colour.Increasing, hsl(320, .5, .5, 1), hsl(20, .5, .5, 1), .5, srgb(.75, .25, .33333333, 1)},
		{colour.HSL, colour.Decreasing, hsl(60, .5, .5, 1), hsl(40, .5, .5, 1), .5, srgb(.75, .66666667, .25, 1)},
		{colour.HSL, colour.Decreasing, hsl(320, .5, .5, 1), hsl(20, .5, .5, 1), .5, srgb(.25, .75, .66666667, 1)},
		{colour.HSL, colour.Shorter, hsl(none, none, none, 1), hsl(30, .4, .8, 1), .5, srgb(.88, .8, .72, 1)},
		{colour.HSL, colour.Shorter, hsl(120, .2, none, 1), hsl(30, .4, .6, 1), .5, srgb(.66, .72, .48, 1)},
		{colour.HSL, colour.Shorter, hsl(none, .2, .4, 1), hsl(30, none, .8, 1), .5, srgb(.68, .6, .52, 1)},
		{colour.HSL, colour.Shorter, hsl(120, .4, .4, none), hsl(0, .4, .4, .5), .5, srgb(.56, .56, .24, .5)},
		{colour.HWB, colour.Shorter, hwb(120, .1, .2, 1), hwb(30, .3, .4, 1), .5, srgb(.575, .7, .2, 1)},
		{colour.HWB, colour.Shorter, hwb(120, .1, .2, .4), hwb(30, .3, .4, .8), .75, srgb(.62857143, .58392857, .27142857, .7)},
		{colour.HWB, colour.Shorter, white, blue, .5, srgb(.5, .5, 1, 1)},
	} {
		rgb, alpha := c.in.Mix(c.way, c.a, c.b, c.share).SRGB()
		for i, v := range append(rgb[:], alpha) {
			if want := append(c.want.V[:], c.want.Alpha)[i]; math.Abs(v-want) > 1e-6 {
				t.Errorf("%v and %v in space %d: %v/%v, want %v", c.a, c.b, c.in, rgb, alpha, c.want)
				break
			}
		}
	}
}
