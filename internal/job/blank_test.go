package job

import (
	"testing"

	"abut/geometry"
)

func TestBlank_Holds(t *testing.T) {
	square := Blank{WidthMM: 100, HeightMM: 100, At: geometry.Pt(50, 50)}
	round := square
	round.Round = true
	for _, c := range []struct {
		name  string
		b     Blank
		path  geometry.Path
		inset float64
		want  bool
	}{
		{"all of a square", square, geometry.RectXYWH(0, 0, 100, 100).Path(), 0, true},
		{"not within the safe area", square, geometry.RectXYWH(0, 0, 100, 100).Path(), 3, false},
		{"corners stick out of a disc", round, geometry.RectXYWH(10, 10, 80, 80).Path(), 0, false},
		{"a disc in a disc", round, geometry.Path{geometry.Ellipse(geometry.Pt(50, 50), 47, 47)}, 3, true},
		{"a larger disc", round, geometry.Path{geometry.Ellipse(geometry.Pt(50, 50), 47.2, 47.2)}, 3, false},
		{"nothing", round, nil, 0, true},
	} {
		if got := c.b.Holds(c.path, c.inset); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

func TestSetBlankShape_RefusesWhatHasNoRoom(t *testing.T) {
	for _, b := range []Blank{{}, {WidthMM: 10, HeightMM: -1}, {WidthMM: 10, HeightMM: 10, SafeMM: 5}, {WidthMM: 10, HeightMM: 10, Material: 9}} {
		if _, err := SetBlankShape(sample(), &b); err == nil {
			t.Errorf("%+v passes", b)
		}
	}
}
