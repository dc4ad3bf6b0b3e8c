package fit

import (
	"context"
	"reflect"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

func cutWith(t testing.TB, j job.Job, mm float64) (fitted, cut *Plan) {
	t.Helper()
	j = must(t)(job.SetClearance(j, mm))
	fitted, err := computeCurves(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	if cut, err = Cut(context.Background(), fitted, j.Settings); err != nil {
		t.Fatal(err)
	}
	return fitted, cut
}

func TestCut_NoClearanceIsThePlanItself(t *testing.T) {
	fitted, cut := cutWith(t, knockAll(t, art(t, "red rect 0 0 30 20", "blue rect 10 5 5 5")), 0)
	if fitted != cut {
		t.Error("another plan")
	}
}

func TestCut_TakesTheGapFromThePieceLaidLater(t *testing.T) {
	// Blue lies in a hole of red, green beside red along 20 mm and free elsewhere.
	fitted, cut := cutWith(t, knockAll(t, art(t, "red rect 0 0 30 20", "blue rect 10 5 5 5", "green rect 30 0 10 20")), 0.2)
	if !reflect.DeepEqual(fitted.Separations[0], cut.Separations[0]) {
		t.Error("the base is changed")
	}
	blue, green := separation(t, cut, "blue"), separation(t, cut, "green")
	// Corners stay sharp, free sides where they are.
	if want := (geometry.Rect{Min: geometry.Pt(10.2, 5.2), Max: geometry.Pt(14.8, 9.8)}); blue.Bounds != want || !near(blue.AreaMM2, 4.6*4.6, 1e-9) {
		t.Errorf("blue: %+v, %g mm²", blue.Bounds, blue.AreaMM2)
	}
	if want := (geometry.Rect{Min: geometry.Pt(30.2, 0), Max: geometry.Pt(40, 20)}); green.Bounds != want || !near(green.AreaMM2, 9.8*20, 1e-9) {
		t.Errorf("green: %+v, %g mm²", green.Bounds, green.AreaMM2)
	}
}

// The oracle is the distance to what is laid earlier.
func TestCut_KeepsTheGapAllAround(t *testing.T) {
	const gap = 0.2
	fitted, cut := cutWith(t, knockAll(t, art(t,
		"red rect 0 0 60 40", "blue circle 20 20 9", "green circle 30 24 7", "yellow rect 26 4 3 30", "purple circle 45 20 0.7")), gap)
	along := 0
	for k := range cut.Separations {
		_, at := fitted.Find(cut.Separations[k].Of)
		for _, earlier := range fitted.Separations[:at] {
			outline := earlier.Outline.Flatten(0.0005)
			for _, c := range cut.Separations[k].Outline.Flatten(0.0005) {
				for p := range c.Sides() {
					far := outline.Distance(p)
					if far < gap-0.003 {
						t.Errorf("%s is %.4f mm from %s at %v", cut.Separations[k].Name, far, earlier.Name, p)
					}
					if far < gap+0.003 {
						along++
					}
				}
			}
		}
	}
	if along < 100 {
		t.Errorf("only %d places along a gap", along)
	}
}

func TestCut_PiecesThatAreLostAreCounted(t *testing.T) {
	_, cut := cutWith(t, knockAll(t, art(t, "red rect 0 0 30 20", "blue rect 10 5 5 5 + rect 20 5 5 0.3")), 0.2)
	if n := len(separation(t, cut, "blue").Pieces); n != 1 || !warned(cut, "clearance-lost") {
		t.Errorf("%d pieces, %+v", n, cut.Warnings)
	}
}

func TestCut_CurvesStayCurves(t *testing.T) {
	_, cut := cutWith(t, knockAll(t, art(t, "red circle 20 20 18", "blue circle 20 20 5")), 0.2)
	if b := separation(t, cut, "blue").Bounds; !near(b.Width(), 9.6, 0.006) {
		t.Errorf("blue is %g mm wide", b.Width())
	}
	cubic := false
	for _, g := range separation(t, cut, "red").Outline[1].Segments {
		cubic = cubic || g.Cubic
	}
	if !cubic {
		t.Error("the base's curves are gone")
	}
}
