package job

import (
	"math"
	"strings"
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

func TestBlank_OutlineIsItsEdgeMovedInwards(t *testing.T) {
	b := Blank{WidthMM: 40, HeightMM: 20, At: geometry.Pt(3, 4)}
	if got, want := b.Outline(2).SignedArea(), 36.0*16; math.Abs(got-want) > 1e-9 {
		t.Errorf("%g mm², want %g", got, want)
	}
	for _, inset := range []float64{10, 11} {
		if got := b.Outline(inset); got != nil {
			t.Errorf("%g inwards nothing is left, not %v", inset, got)
		}
	}
	b.Round = true
	// Half the axes; a cubic of 11.25° strays by 1e-9 of the radius.
	if got, want := b.Outline(2).SignedArea(), math.Pi*18*8; math.Abs(got-want) > 1e-6*want || b.Outline(2).Bounds().Centre().Sub(b.At).Len() > 1e-9 {
		t.Errorf("round: %g mm² in %v, want %g", got, b.Outline(2).Bounds(), want)
	}
}

// By how much the blank would have to be wider at each side: then it holds it.
func TestBlank_BeyondIsWhatItLacks(t *testing.T) {
	for _, round := range []bool{false, true} {
		b := Blank{WidthMM: 40, HeightMM: 20, At: geometry.Pt(3, 4), Round: round}
		for _, r := range []geometry.Rect{geometry.RectXYWH(-40, -5, 20, 10), geometry.RectXYWH(0, 0, 40, 6), geometry.RectXYWH(2, -30, 1, 60)} {
			over := b.Beyond(r.Path())
			wider, less := b, b
			wider.WidthMM, wider.HeightMM = b.WidthMM+2*over+1e-6, b.HeightMM+2*over+1e-6
			less.WidthMM, less.HeightMM = b.WidthMM+2*over-0.1, b.HeightMM+2*over-0.1
			if !(over > 0) || !wider.Holds(r.Path(), 0) || less.Holds(r.Path(), 0) {
				t.Errorf("round %v: %v lies %g beyond", round, r, over)
			}
		}
		if got := b.Beyond(geometry.RectXYWH(-5, 0, 16, 8).Path()); got != 0 {
			t.Errorf("round %v: what lies within lies %g beyond", round, got)
		}
	}
}

func TestSetBlankShape_RefusesWhatHasNoRoom(t *testing.T) {
	for _, b := range []Blank{{}, {WidthMM: 10, HeightMM: -1}, {WidthMM: 10, HeightMM: 10, SafeMM: 5}, {WidthMM: 10, HeightMM: 10, Material: 9}} {
		if _, err := SetBlankShape(sample(), &b); err == nil {
			t.Errorf("%+v passes", b)
		}
	}
	for _, b := range []Blank{{WidthMM: 0.5, HeightMM: 0.5}, {WidthMM: 5000, HeightMM: 10, SafeMM: 4.9, Material: Cotton, Name: " Tile "}} {
		if j, err := SetBlankShape(sample(), &b); err != nil || j.Settings.BlankShape.Name != strings.TrimSpace(b.Name) {
			t.Errorf("%+v: %v", b, err)
		}
	}
}

// What worked belongs to the blank: without one there is nothing to keep it with.
func TestSetPressing_KeepsWhatAPersonMayHaveTyped(t *testing.T) {
	if _, err := SetPressing(sample(), Pressing{HeatC: 200}); err == nil {
		t.Error("kept without a blank")
	}
	blank := Blank{Name: "Mug", WidthMM: 200, HeightMM: 90}
	j, err := SetBlankShape(sample(), &blank)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []Pressing{{HeatC: -1}, {HeatC: 401}, {HeatC: math.NaN()}, {Seconds: 3601}, {Note: strings.Repeat("é", 401)}, {Pressure: strings.Repeat("é", 81)}} {
		if _, err := SetPressing(j, p); err == nil {
			t.Errorf("%+v is kept", p)
		}
	}
	want := Pressing{Kind: "mug", HeatC: 400, Seconds: 3600, Pressure: strings.Repeat("é", 80), Note: strings.Repeat("é", 400)}
	after, err := SetPressing(j, want)
	if err != nil || after.Settings.BlankShape.Press != want || j.Settings.BlankShape.Press != (Pressing{}) {
		t.Errorf("%v: %+v, and before %+v", err, after.Settings.BlankShape, j.Settings.BlankShape)
	}
}

func TestRoom_IsHeldAndHasTheProportions(t *testing.T) {
	for _, round := range []bool{false, true} {
		b := Blank{WidthMM: 120, HeightMM: 80, SafeMM: 5, Round: round, At: geometry.Pt(7, 9)}
		for _, p := range []float64{0.2, 1, 1.5, 4} {
			r := b.Room(p)
			if d := r.Width()/r.Height() - p; d > 1e-9 || d < -1e-9 {
				t.Errorf("round %v: %g instead of %g", round, r.Width()/r.Height(), p)
			}
			if !b.Holds(r.Path(), b.SafeMM) || b.Holds(r.Grow(0.1).Path(), b.SafeMM) {
				t.Errorf("round %v, %g: %v is not the largest that fits", round, p, r)
			}
		}
	}
}
