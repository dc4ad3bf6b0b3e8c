package motif

import (
	"math"
	"testing"

	"abut/geometry"
)

func area(paths []geometry.Path) float64 {
	sum := 0.0
	for _, p := range paths {
		sum += p.SignedArea()
	}
	return sum
}

// A ray is half of r² sin of its angle, a ring what its circles leave: clockwise
// outlines count as more than nothing, holes as less.
func TestMotifs_CoverWhatTheySay(t *testing.T) {
	tau := 2 * math.Pi
	for _, c := range []struct {
		name string
		got  float64
		want float64
	}{
		{"100 rays", area(Sunburst(100, 50, 1)), 100 * 1250 * math.Sin(tau/100)},
		{"100 rays over half the turn", area(Sunburst(100, 50, 0.5)), 100 * 1250 * math.Sin(tau/200)},
		{"12 rays that overlap", area(Windmill(12, 50, 3)), 12 * (50 + 3) * math.Pi * 50 / 12 / 2},
		{"a star of 5", Star(5, 20, 50).SignedArea(), 5 * 20 * 50 * math.Sin(math.Pi/5)},
		{"20 rings", area(Rings(20, 50)), math.Pi * 2500},
		{"100 lines", area(Hatch(100, 50, false)), 1250},
		{"100 lines aslant", area(Hatch(100, 50, true)), 1250},
	} {
		if math.Abs(c.got-c.want) > 1e-6*c.want {
			t.Errorf("%s cover %g mm², want %g", c.name, c.got, c.want)
		}
	}
	glyphs := Lettering(3, 4)
	if len(glyphs) != 27 {
		t.Fatalf("%d shapes in 9 glyphs", len(glyphs))
	}
	for i, p := range glyphs {
		if p.SignedArea() <= 0 {
			t.Errorf("shape %d of the lettering covers %g mm²", i, p.SignedArea())
		}
		for _, q := range glyphs[:i] {
			a, b := p.Bounds(), q.Bounds()
			if r := a.Intersect(b); r.Width() > 1e-6 && r.Height() > 1e-6 {
				t.Errorf("shape %d lies over another one: %v, %v", i, a, b)
			}
		}
	}
}
