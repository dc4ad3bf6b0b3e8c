package mend

import (
	"testing"

	"abut/geometry"
	"abut/internal/fit/thing"
)

// One sprinkle of many may move by itself. What is in a row, a ring, a grid or a mirror image would look like a mistake.
func TestScattered_LiesInNoOrder(t *testing.T) {
	for name, c := range map[string]struct {
		at   []geometry.Point // of alike things, the first is asked about
		want bool
	}{
		"sprinkles":    {[]geometry.Point{geometry.Pt(3, 4), geometry.Pt(8, 2), geometry.Pt(10, 9), geometry.Pt(2, 12), geometry.Pt(17, 5)}, true},
		"by itself":    {[]geometry.Point{geometry.Pt(3, 4)}, false},
		"two eyes":     {[]geometry.Point{geometry.Pt(3, 4), geometry.Pt(9, 4)}, false},
		"middle":       {[]geometry.Point{geometry.Pt(6, 4), geometry.Pt(3, 4.1), geometry.Pt(9, 4)}, false},
		"end of a row": {[]geometry.Point{geometry.Pt(3, 4), geometry.Pt(6, 5), geometry.Pt(9, 6.1), geometry.Pt(30, 20)}, false},
		"corner":       {[]geometry.Point{geometry.Pt(3, 4), geometry.Pt(6, 5), geometry.Pt(2, 9), geometry.Pt(5, 10)}, false},
		"mirror image": {[]geometry.Point{geometry.Pt(3, 4), geometry.Pt(17, 4), geometry.Pt(6, 9), geometry.Pt(14, 9)}, false},
	} {
		var things []thing.Thing
		for _, at := range c.at {
			things = append(things, thing.Thing{Group: 1, Bounds: geometry.Rect{Min: at, Max: at}.Grow(1)})
		}
		things = append(things, thing.Thing{Group: 2, Bounds: geometry.RectXYWH(4, 4, 1, 1)})
		if got := scattered(things, 0); got != c.want {
			t.Errorf("%s: %t", name, got)
		}
	}
}
