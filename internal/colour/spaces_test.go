package colour_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"abut/internal/colour"
)

func TestSpace_ThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		channel := rapid.Float64Range(-0.5, 1.5)
		rgb := [3]float64{channel.Draw(t, "r"), channel.Draw(t, "g"), channel.Draw(t, "b")}
		for s := colour.SRGB; s <= colour.HWB; s++ {
			if s == colour.HWB && (min(rgb[0], rgb[1], rgb[2]) < 0 || max(rgb[0], rgb[1], rgb[2]) > 1) {
				continue // no whiteness and blackness say it
			}
			if light := (min(rgb[0], rgb[1], rgb[2]) + max(rgb[0], rgb[1], rgb[2])) / 2; s == colour.HSL && min(math.Abs(light), math.Abs(1-light)) < 1e-6 {
				continue // nor does a saturation: black and white have none, whatever lies beyond sRGB is as light
			}
			back := s.SRGB(s.FromSRGB(rgb))
			for i := range rgb {
				if math.Abs(back[i]-rgb[i]) > 1e-7 {
					t.Fatalf("space %d: %v became %v", s, rgb, back)
				}
			}
		}
	})
}

// The coordinates are those of colorjs.io 0.7.1, for a colour that lies beyond sRGB.
func TestSpace_CoordinatesOfALibrary(t *testing.T) {
	blue, sky := [3]float64{-0.1, 0.6, 1.2}, [3]float64{0.1, 0.6, 0.9}
	for s, want := range map[colour.Space][3]float64{
		colour.CIELab:          {63.184082, 10.301408, -84.52203},
		colour.CIELCh:          {63.184082, 85.147476, 276.948845},
		colour.Oklab:           {0.701136, -0.06093, -0.238491},
		colour.Oklch:           {0.701136, 0.246151, 255.668498},
		colour.LinearSRGB:      {-0.010023, 0.318547, 1.516837},
		colour.DisplayP3:       {0.243495, 0.590561, 1.160222},
		colour.LinearDisplayP3: {0.048311, 0.30764, 1.404001},
		colour.A98RGB:          {0.323496, 0.594415, 1.190546},
		colour.ProPhotoRGB:     {0.52458, 0.530963, 1.181468},
		colour.Rec2020:         {0.471178, 0.613411, 1.145811},
		colour.XYZ:             {0.383534, 0.335187, 1.479578},
		colour.XYZD50:          {0.335345, 0.318082, 1.113958},
		colour.HSL:             {207.692308, 1.444444, 0.55},
		colour.HWB:             {202.5, 0.1, 0.1},
	} {
		from := blue
		if s == colour.HWB {
			from = sky
		}
		got := s.FromSRGB(from)
		for i := range want {
			if math.Abs(got[i]-want[i]) > 2e-6*math.Max(1, math.Abs(want[i])) {
				t.Errorf("space %d: %v, want %v", s, got, want)
				break
			}
		}
	}
}
