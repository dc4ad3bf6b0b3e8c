package mend

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A horn of 12 mm becomes a millimetre broad up to its tip and ends there in a straight line across it, in
// whichever way it goes: a disc at its end would stick out beyond it.
func TestUpright_AHornEndsStraightAtItsTip(t *testing.T) {
	for _, turn := range []float64{0, 0.4, 1, 2} {
		j := sketch.Art(t, "green rect 0 0 40 40 knock", "red rect 9 9 1 1 knock")
		at := geometry.Translate(20, 20).Mul(geometry.Rotate(turn))
		horn := geometry.Path{geometry.Polygon(geometry.Pt(-6, -1), geometry.Pt(6, 0), geometry.Pt(-6, 1))}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: horn.Transform(at)}}}
		m, spot := spotOf(t, j)
		mend := m.about(&spot, 0)
		mend.Do, mend.To, mend.Chosen = job.Widen, spot.Neighbours[0].Of.Colour, turn == 1
		layers, err := m.layersOf(context.Background(), &spot, mend, j.Settings)
		if err != nil || len(layers) != 1 {
			t.Fatalf("%v, %d layers", err, len(layers))
		}
		back, _ := at.Invert()
		far, up, down := math.Inf(-1), math.Inf(-1), math.Inf(1)
		for _, c := range layers[0].path.Transform(back) {
			for p := range c.Sides() {
				far = math.Max(far, p.X)
				if p.X > 6-0.02 {
					up, down = math.Max(up, p.Y), math.Min(down, p.Y)
				}
			}
		}
		if math.Abs(far-6) > 0.02 || math.Abs(up-down-1) > 0.05 {
			t.Errorf("turned by %g: up to %.3f mm, %.3f mm broad there", turn, far, up-down)
		}
	}
}

// The end of a shade that is nearly as light as the blank, between that and the dark line around it, is left to the blank: nobody
// sees where it ends, and the line would have a thorn.
func TestAll_APaleShadeEndsOnTheBlank(t *testing.T) {
	j := sketch.Art(t, "#191919 rect 0 0 34 50 knock", "white rect 2 2 30 46 bare knock", "#e3e3e3 rect 0 0 1 1 knock")
	var curve []geometry.Point
	for k := range 41 {
		x := float64(k-20) / 20
		curve = append(curve, geometry.Pt(17+15*x, 40-16*x*x*x*x))
	}
	j = shaped(j, 2, append(curve, geometry.Pt(32, 48), geometry.Pt(2, 48))...)
	laid, spots := allMended(t, j)
	line := laid.Separations[slices.Index(laid.Materials, own.OwnSheet(rgbOf(t, "#191919")))]
	if len(spots) > 0 || math.Abs(line.AreaMM2-(34*50-30*46)) > 0.02 {
		t.Errorf("left: %v; the line has %.2f mm² more", spots, line.AreaMM2-(34*50-30*46))
	}
}

// What shows of a shadow behind a disc is a crescent: its ends are left to the blank, for the disc would have two warts.
func TestAll_AShadowEndsBesideWhatCastsIt(t *testing.T) {
	j := sketch.Art(t, "blue circle 24 24 10 knock", "orange circle 20 20 10 knock")
	drawn, err := layOut(context.Background(), j, &memory{surrounds: new(own.Surrounds)})
	if err != nil {
		t.Fatal(err)
	}
	laid, spots := allMended(t, j)
	orange := func(l *laidOut) float64 { return l.Separations[slices.Index(l.Materials, sheet("orange"))].AreaMM2 }
	if was, is := orange(drawn), orange(laid); len(spots) > 0 || len(laid.made) != 2 || math.Abs(is-was) > 0.01 {
		t.Errorf("%d left, %d mended; the disc has %.3f mm², and had %.3f", len(spots), len(laid.made), is, was)
	}
}

// The end of a sea between a coast and the rim of its globe is no shadow, though the globe lies beneath the land: the rim runs on.
func TestPeeks_NotWhereTheEdgeRunsOn(t *testing.T) {
	var coast []geometry.Point
	for k := range 61 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 180)
		coast = append(coast, geometry.Pt(24+10*cos, 24+10*sin))
	}
	sea := shaped(sketch.Art(t, "blue circle 24 24 10 knock", "orange rect 0 0 1 1 knock"), 1, append(coast, geometry.Pt(24, 24), geometry.Pt(31, 20))...)
	for name, c := range map[string]struct {
		job  job.Job
		ends int
		want bool
	}{"a shadow": {sketch.Art(t, "blue circle 24 24 10 knock", "orange circle 20 20 10 knock"), 2, true}, "a sea": {sea, 1, false}} {
		m, err := start(context.Background(), c.job)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(context.Background(), c.job.Settings, nil)
		if err != nil || len(spots) != c.ends {
			t.Errorf("%s: %v, %d ends", name, err, len(spots))
		}
		for i := range spots {
			if got := m.peeks(&spots[i], 1); got != c.want {
				t.Errorf("%s: %t at %v", name, got, spots[i].At)
			}
		}
	}
}
