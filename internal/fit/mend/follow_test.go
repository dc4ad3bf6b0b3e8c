package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
)

// Where the tip of a pale half is left to the bare half beside it, the space that is then thin there is closed, if anything: opened,
// it would be a knob in the line around both.
func TestAll_NoKnobWhereATipIsLeftToTheBlank(t *testing.T) {
	j := sketch.Art(t, "#092f63 rect 0 0 1 1 knock", "white rect 0 0 1 1 bare knock", "#bbd8ff rect 0 0 1 1 knock")
	j = shaped(j, 0, geometry.Pt(30, 0), geometry.Pt(54, 24), geometry.Pt(54, 56), geometry.Pt(6, 56), geometry.Pt(6, 24))
	j = shaped(j, 1, geometry.Pt(30, 3.8), geometry.Pt(10, 23.8), geometry.Pt(10, 52), geometry.Pt(30, 52))
	j = shaped(j, 2, geometry.Pt(30, 3.8), geometry.Pt(50, 23.8), geometry.Pt(50, 52), geometry.Pt(30, 52))
	laid, spots := allMended(t, j)
	line := laid.Separations[slices.Index(laid.Materials, own.OwnSheet(rgbOf(t, "#092f63")))]
	if drawn := 24.*24 + 48*32 - 20*20 - 40*28.2; len(spots) > 0 || line.AreaMM2 < drawn-0.01 {
		t.Errorf("left: %v; the line has %.2f mm² less", spots, drawn-line.AreaMM2)
	}
}
