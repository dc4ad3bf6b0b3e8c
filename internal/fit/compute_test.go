package fit

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// Two shapes over one: the lower one, then the upper two.
var pair = []string{"red rect 0 0 60 40", "blue circle 20 20 10", "yellow rect 36 14 20 12"}

// chordLoss bounds the area that a circle loses to chords of 0.01 mm sagitta:
// each cuts off at most ⅔ of sagitta × chord.
func chordLoss(radius float64) float64 { return 2.0 / 3 * 0.01 * 2 * math.Pi * radius }

func TestCompute_FreshArtStacksWhereColoursLieOverEachOther(t *testing.T) {
	p := mustPlan(t, art(t, pair...))
	if p.Verdict.State != Trouble || p.Verdict.ID != "verdict-stacks" || p.Verdict.Values["count"] != message.Count(2) || len(p.Stacked.Places) != 2 {
		t.Fatalf("%+v", p.Verdict)
	}
	first, second := p.Stacked.Places[0], p.Stacked.Places[1] // largest first
	if !slices.Equal(first.Layers, []job.LayerID{1, 2}) || !slices.Equal(second.Layers, []job.LayerID{1, 3}) {
		t.Error(first.Layers, second.Layers)
	}
	if second.AreaMM2 != 240 || !near(first.AreaMM2, 100*math.Pi, chordLoss(10)) || !near(p.Stacked.AreaMM2, first.AreaMM2+second.AreaMM2, 1e-9) {
		t.Error(first.AreaMM2, second.AreaMM2, p.Stacked.AreaMM2)
	}
	if !second.Bounds.Contains(second.Inside) || !first.Bounds.Contains(first.Inside) {
		t.Error(first.Inside, second.Inside)
	}
	// What is not knocked out is cut whole.
	if s := separation(t, p, "red"); s.AreaMM2 != 2400 || len(s.Outline) != 1 {
		t.Error(s.AreaMM2, len(s.Outline))
	}
}

// Common practice: knocking out leaves the upper shapes whole and cuts them
// out of the lower one, so that the areas add up exactly.
func TestCompute_TwoOverOneLeaveTheUpperWholeAndTheLowerWithTheirHoles(t *testing.T) {
	p := mustPlan(t, knockAll(t, art(t, pair...)))
	if p.Verdict.State != Ready || len(p.Stacked.Places) != 0 || p.Stacked.AreaMM2 != 0 || p.Stacked.Outline != nil {
		t.Fatalf("%+v", p.Verdict)
	}
	red, blue, yellow := separation(t, p, "red"), separation(t, p, "blue"), separation(t, p, "yellow")
	alone := mustPlan(t, art(t, pair[1]))
	if blue.AreaMM2 != alone.Separations[0].AreaMM2 || yellow.AreaMM2 != 240 {
		t.Error("the upper shapes are not whole:", summary(p))
	}
	// Each area is a whole number of half square steps.
	steps2 := func(a float64) int64 { return int64(math.Round(a * 2e8)) }
	if steps2(red.AreaMM2)+steps2(blue.AreaMM2)+steps2(yellow.AreaMM2) != steps2(2400) {
		t.Error("areas do not add up:", summary(p))
	}
	if len(red.Outline) != 3 || len(red.Pieces) != 1 {
		t.Error(len(red.Outline), len(red.Pieces))
	}
	// Inner contours before the outer one.
	if o := red.Outline[2:].Bounds(); o != geometry.RectXYWH(0, 0, 60, 40) {
		t.Error("last contour", o)
	}
	if want := 2*(60+40) + 2*(20+12) + blue.CutMM; !near(red.CutMM, want, 1e-9) {
		t.Error(red.CutMM, want)
	}
	if p.Separations[0].Name != "Red" || p.BaseReason.ID != "base-largest" || p.Frame != nil || p.FrameReason.ID != "frame-not-needed" {
		t.Error(p.Separations[0].Name, p.BaseReason, p.FrameReason)
	}
	if p.Extent != geometry.RectXYWH(0, 0, 60, 40) || p.Page != p.Extent {
		t.Error(p.Extent, p.Page)
	}
}

var nested = []string{"red circle 50 50 50", "orange circle 50 50 42", "yellow circle 50 50 34", "green circle 50 50 26", "blue circle 50 50 18", "purple circle 50 50 10"}

// Common practice: nested solids become rings and one solid.
func TestCompute_SixNestedSolidsBecomeFiveRingsAndOneSolid(t *testing.T) {
	p := mustPlan(t, knockAll(t, art(t, nested...)))
	if len(p.Separations) != 6 || p.NumPieces() != 6 {
		t.Fatal(summary(p))
	}
	sum := 0.0
	for i, s := range p.Separations {
		// Outer before inner, the base first.
		if want := strings.Fields(nested[i])[0]; s.Colour != palette[want] {
			t.Errorf("separation %d is %s, want %s", i, s.Name, want)
		}
		want := 2
		if i == 5 {
			want = 1
		}
		if len(s.Outline) != want {
			t.Errorf("%s has %d contours, want %d", s.Name, len(s.Outline), want)
		}
		sum += s.AreaMM2
	}
	if whole := mustPlan(t, art(t, nested[0])).Separations[0].AreaMM2; !near(sum, whole, 1e-8) {
		t.Error(sum, whole)
	}
	if p.FrameReason.ID != "frame-not-needed" {
		t.Error(p.FrameReason)
	}
}

var spread = []string{"red rect 0 0 30 30", "blue rect 60 0 20 20", "yellow circle 20 60 9", "green rect 50 50 20 25", "purple rect 90 90 10 10"}

// Common practice: colours that keep apart need a frame, 5 mm outside the art,
// on the base.
func TestCompute_SpreadColoursGetAFrame(t *testing.T) {
	p := mustPlan(t, knockAll(t, art(t, spread...)))
	want := geometry.Rect{Min: geometry.Pt(-5, -5), Max: geometry.Pt(105, 105)}
	if p.Frame == nil || p.Frame.Bounds != want || p.Page != want || p.Frame.MarginMM != 5 || p.Frame.Outline.Bounds() != want {
		t.Fatalf("%+v, page %v", p.Frame, p.Page)
	}
	if p.FrameReason.ID != "frame-needed" || p.FrameReason.Values["count"] != message.Count(4) || p.FrameReason.Values["name"] != p.Separations[0].Called() {
		t.Error(p.FrameReason)
	}
	if p.Separations[0].Colour != palette["red"] {
		t.Error(summary(p))
	}
	if p.Extent != geometry.RectXYWH(0, 0, 100, 100) {
		t.Error(p.Extent)
	}
}

// Common practice: no frame where the base's own parts span the rest.
func TestCompute_ABaseThatBracketsTheRestNeedsNoFrame(t *testing.T) {
	p := mustPlan(t, knockAll(t, art(t, "red rect 0 0 10 50 + rect 90 10 10 50", "blue rect 30 20 20 20", "yellow circle 70 30 9")))
	if p.Frame != nil || p.FrameReason.ID != "frame-not-needed" || p.FrameReason.Values["name"] != (message.ColourName{Word: "Red", Number: 1}) || p.Page != p.Extent {
		t.Errorf("%+v %+v", p.Frame, p.FrameReason)
	}
	if len(p.Separations[0].Pieces) != 2 {
		t.Error(summary(p))
	}
}

func TestComputeCurves_NeighboursShareTheArtsOwnCurves(t *testing.T) {
	j := knockAll(t, art(t, pair...))
	p, err := computeCurves(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	red, blue := separation(t, p, "red"), separation(t, p, "blue")
	if n := len(blue.Outline[0].Segments); n != 32 || !blue.Outline[0].Segments[0].Cubic { // an ellipse has 32 cubics
		t.Errorf("%d segments", n)
	}
	// 32 cubics stray from the circle by less than a grid step (FACTS: closed
	// forms), whose ends and controls are rounded to the grid.
	if a := blue.Outline.SignedArea(); !near(a, 100*math.Pi, 2*math.Pi*10*1e-4) {
		t.Error(a, 100*math.Pi)
	}
	if sum := red.Outline.SignedArea() + blue.Outline.SignedArea() + separation(t, p, "yellow").Outline.SignedArea(); !near(sum, 2400, 1e-9) {
		t.Error("areas do not add up:", sum)
	}
}

func TestCompute_FrameRules(t *testing.T) {
	for _, c := range []struct {
		name   string
		lines  []string
		rule   job.FrameRule
		frame  bool
		margin float64
		reason string
		base   string
	}{
		{"never", spread, job.FrameRule{Mode: job.FrameNone}, false, 0, "frame-off-but-needed", "red"},
		{"never, not needed", pair, job.FrameRule{Mode: job.FrameNone}, false, 0, "frame-not-needed", "red"},
		{"always", pair, job.FrameRule{Mode: job.FrameAlways}, true, 5, "frame-chosen", "red"},
		{"own margin", spread, job.FrameRule{MarginMM: 7.5}, true, 7.5, "frame-needed", "red"},
		{"own colour", pair, job.FrameRule{Mode: job.FrameOn, Colour: palette["blue"]}, true, 5, "frame-needed", "blue"},
		{"a colour that is not there", pair, job.FrameRule{Mode: job.FrameOn, Colour: palette["black"]}, true, 5, "frame-chosen", "red"},
		{"one sheet", pair[:1], job.FrameRule{}, false, 0, "frame-one-sheet", "red"},
	} {
		j := must(t)(job.SetFrame(knockAll(t, art(t, c.lines...)), c.rule))
		p := mustPlan(t, j)
		if (p.Frame != nil) != c.frame || p.FrameReason.ID != c.reason || p.Separations[0].Colour != palette[c.base] {
			t.Errorf("%s: %+v, %v, base %s", c.name, p.Frame, p.FrameReason, p.Separations[0].Name)
		}
		if c.frame && (p.Frame.Bounds != p.Extent.Grow(c.margin) || p.Frame.MarginMM != c.margin) {
			t.Errorf("%s: %+v around %v", c.name, p.Frame, p.Extent)
		}
		if warned(p, "frame-colour-missing") != (c.rule.Colour == palette["black"] && c.rule.Mode == job.FrameOn) {
			t.Errorf("%s: %v", c.name, p.Warnings)
		}
	}
}

func TestCompute_AmongNearEqualsTheOneWithMostSmallPartsIsTheBase(t *testing.T) {
	lettering := "blue rect 0 0 5 5 + rect 20 0 5 5 + rect 40 0 5 5 + rect 99 99 1 1"
	p := mustPlan(t, knockAll(t, art(t, "red rect 0 0 101 20 + rect 0 80 101 20", lettering)))
	if p.Separations[0].Colour != palette["blue"] || p.BaseReason.ID != "base-most-small-parts" {
		t.Error(summary(p), p.BaseReason)
	}
	p = mustPlan(t, knockAll(t, art(t, "red rect 0 0 110 20 + rect 0 80 110 20", lettering)))
	if p.Separations[0].Colour != palette["red"] || p.BaseReason.ID != "base-largest" {
		t.Error(summary(p), p.BaseReason)
	}
}

func TestCompute_HidingChangesNothing(t *testing.T) {
	for _, lines := range [][]string{pair, nested, spread} {
		j := art(t, lines...)
		hidden := must(t)(job.SetShown(j, []job.LayerID{1, 3}, false))
		if a, b := mustPlan(t, j), mustPlan(t, hidden); !reflect.DeepEqual(a, b) {
			t.Error("hiding changed the plan")
		}
	}
}

func TestCompute_KnockFlagsPerLayer(t *testing.T) {
	// Only the blue circle knocks out: the yellow one still stacks.
	j := must(t)(job.SetKnocks(art(t, pair...), []job.LayerID{2}, true))
	p := mustPlan(t, j)
	if len(p.Stacked.Places) != 1 || !slices.Equal(p.Stacked.Places[0].Layers, []job.LayerID{1, 3}) || p.Stacked.AreaMM2 != 240 {
		t.Errorf("%+v", p.Stacked)
	}
	if red := separation(t, p, "red"); len(red.Outline) != 2 {
		t.Error("red has", len(red.Outline), "contours")
	}
	// A layer in the middle knocks out what lies beneath it, not what is above.
	j = art(t, "red rect 0 0 30 30", "blue rect 5 5 20 20 knock", "yellow rect 10 10 10 10")
	p = mustPlan(t, j)
	if len(p.Stacked.Places) != 1 || !slices.Equal(p.Stacked.Places[0].Layers, []job.LayerID{2, 3}) {
		t.Errorf("%+v", p.Stacked)
	}
	if separation(t, p, "red").AreaMM2 != 900-400 || separation(t, p, "blue").AreaMM2 != 400 {
		t.Error(summary(p))
	}
}

func TestCompute_BareLeavesAHoleAndIsNoSeparation(t *testing.T) {
	for _, line := range []string{"blue rect 10 10 10 10 bare", "white rect 10 10 10 10"} {
		p := mustPlan(t, art(t, "red rect 0 0 40 40", line))
		if p.Verdict.State != Ready || len(p.Separations) != 1 || p.BareMM2 != 100 || p.Separations[0].AreaMM2 != 1500 {
			t.Error(line, summary(p), p.BareMM2, p.Verdict)
		}
	}
	// Bare places beyond the pieces still belong to the art.
	p := mustPlan(t, art(t, "white rect -10 -10 60 60", "red rect 0 0 40 40"))
	if p.Extent != geometry.RectXYWH(-10, -10, 60, 60) || p.BareMM2 != 2000 || !warned(p, "background-bare") {
		t.Error(p.Extent, p.BareMM2, p.Warnings)
	}
	// So does what is bare around them and not behind them, as the paper of a traced picture is. A
	// white dot beside the picture is no paper.
	p = mustPlan(t, art(t, "white rect -10 -10 60 10 + rect -10 40 60 10 + rect -10 0 10 40 + rect 40 0 10 40", "red rect 0 0 40 40"))
	if !warned(p, "background-bare-around") || p.Background == 0 || p.Extent.Width() != 60 {
		t.Error(p.Extent, p.Background, p.Warnings)
	}
	for _, line := range []string{"white rect 45 5 10 10", "white rect -0.5 -0.5 41 41"} {
		if other := mustPlan(t, art(t, line, "red rect 0 0 40 40")); warned(other, "background-bare-around") {
			t.Error(line, other.Warnings)
		}
	}
	p = mustPlan(t, art(t, "white rect -10 -10 60 60", "red rect 0 0 40 40"))
	// A colour over bare is whole, with nothing beneath.
	if p.Separations[0].AreaMM2 != 1600 || p.Verdict.State != Ready {
		t.Error(summary(p))
	}
}

func TestCompute_LeftOutIsNamed(t *testing.T) {
	p := mustPlan(t, art(t, "red rect 0 0 40 40", "blue rect 10 10 50 10 leftout"))
	if p.Verdict.ID != "verdict-ready-left-out" || !slices.Equal(p.Verdict.Values["left"].(message.Few), message.Few{"blue"}) || !slices.Equal(p.LeftOut, []string{"blue"}) {
		t.Errorf("%+v %v", p.Verdict, p.LeftOut)
	}
	if p.Extent != geometry.RectXYWH(0, 0, 40, 40) || p.Separations[0].AreaMM2 != 1600 {
		t.Error(p.Extent, summary(p))
	}
}

func TestCompute_DrawnIsInTheArtButNotCut(t *testing.T) {
	p := mustPlan(t, art(t, "red rect 0 0 40 40", "black rect 10 10 50 1 drawn knock"))
	if p.Verdict.State != Ready || len(p.Separations) != 1 || p.Separations[0].AreaMM2 != 1600 || !warned(p, "drawn-by-pen") {
		t.Error(summary(p), p.Warnings)
	}
	if p.Extent != geometry.RectXYWH(0, 0, 60, 40) {
		t.Error(p.Extent)
	}
}

// Common practice: two shades that are cut from one sheet never stack.
func TestCompute_ShadesOnOneSheetNeverStack(t *testing.T) {
	j, sheet, err := job.AddSheet(art(t, "red rect 0 0 40 40", "orange rect 10 10 10 10"), job.Sheet{Name: "Poppy", Pressed: palette["red"]})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []string{"red", "orange"} {
		j = must(t)(job.Assign(j, palette[c], job.Target{Sheet: sheet}))
	}
	p := mustPlan(t, j)
	if p.Verdict.State != Ready || len(p.Separations) != 1 || p.Separations[0].Name != "Poppy" || p.Separations[0].AreaMM2 != 1600 || p.NumPieces() != 1 {
		t.Error(summary(p), p.Verdict)
	}
	if !slices.Equal(p.Separations[0].Layers, []job.LayerID{1, 2}) {
		t.Error(p.Separations[0].Layers)
	}
}

func TestCompute_TranslucentColoursAreMixedPlaceByPlace(t *testing.T) {
	j := art(t, "blue rect 0 0 40 40", "red rect 20 10 40 10 alpha=0.5")
	over := palette["red"].Over(palette["blue"], 0.5)
	onBlank := palette["red"].Over(colour.White, 0.5)
	p := mustPlan(t, j)
	// Fresh: the mixed colour lies over blue.
	if p.Verdict.State != Trouble || p.Stacked.AreaMM2 != 200 {
		t.Error(p.Verdict, p.Stacked.AreaMM2)
	}
	p = mustPlan(t, knockAll(t, j))
	got := map[colour.RGB]float64{}
	for _, s := range p.Separations {
		got[s.Colour] = s.AreaMM2
	}
	if want := (map[colour.RGB]float64{palette["blue"]: 1400, over: 200, onBlank: 200}); !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	for _, s := range p.Separations {
		if s.Colour != palette["blue"] && !slices.Equal(s.Layers, []job.LayerID{2}) {
			t.Error(s.Name, s.Layers)
		}
	}
}

func TestCompute_OfAnOpacityGroupOnlyTheTopmostCounts(t *testing.T) {
	j := art(t, "red rect 0 0 40 40 alpha=0.5 group=1", "blue rect 10 10 10 10 alpha=0.5 group=1")
	p := mustPlan(t, j)
	if p.Verdict.State != Ready || len(p.Separations) != 2 || p.Separations[0].AreaMM2 != 1500 || p.Separations[1].AreaMM2 != 100 {
		t.Error(summary(p), p.Verdict)
	}
	if p.Separations[1].Colour != palette["blue"].Over(colour.White, 0.5) {
		t.Error(p.Separations[1].Colour)
	}
}

func TestCompute_MovingAfterKnockingOutRefits(t *testing.T) {
	j := knockAll(t, art(t, "red rect 0 0 60 40", "blue rect 10 10 10 10"))
	j = must(t)(job.MoveLayers(j, []job.LayerID{2}, 20, 5))
	p := mustPlan(t, j)
	if p.Verdict.State != Ready || separation(t, p, "red").AreaMM2 != 2300 {
		t.Error(summary(p))
	}
	hole := separation(t, p, "red").Outline[0]
	if got := (geometry.Path{hole}).Bounds(); got != geometry.RectXYWH(30, 15, 10, 10) {
		t.Error("the hole is at", got)
	}
	// Beyond the edge: the red is whole again.
	j = must(t)(job.MoveLayers(j, []job.LayerID{2}, 100, 0))
	if p := mustPlan(t, j); separation(t, p, "red").AreaMM2 != 2400 {
		t.Error(summary(p))
	}
}

func TestCompute_HairlinesHeal(t *testing.T) {
	// Drawn to abut, with a gap and an overlap of 0.01 mm.
	p := mustPlan(t, art(t, "red rect 0 0 20 20", "blue rect 20.01 0 20 20", "yellow rect 40 0 20 20"))
	if p.Verdict.State != Ready || p.Healed.Faces != 1 || !near(p.Healed.AreaMM2, 0.2, 1e-9) || !warned(p, "healed") {
		t.Errorf("%+v %+v", p.Verdict, p.Healed)
	}
	// The gap is open to the outside, so it is no place of its own. One that
	// is shut in is closed.
	p = mustPlan(t, art(t, "red rect 0 0 20 20", "blue rect 20.01 0 20 20", "yellow rect 0 20 40 20", "green rect 0 -20 40.01 20"))
	area := 0.0
	for _, s := range p.Separations {
		area += s.AreaMM2
	}
	if p.Healed.Faces == 0 || p.Healed.Faces > 2 || p.Verdict.State != Ready || !near(area, 40.01*60, 1) {
		t.Errorf("%+v %v", p.Healed, area)
	}
	if p := mustPlan(t, art(t, pair...)); p.Healed.Faces != 0 || warned(p, "healed") {
		t.Errorf("%+v", p.Healed)
	}
}

// A line that somebody drew is missing when it is too thin to be anything, and no sliver that
// nobody misses: it is told by the name of its layer, and not as one.
func TestCompute_TellsOfLinesThatVanish(t *testing.T) {
	for name, c := range map[string]struct {
		layers []string
		want   string
	}{
		"a line beside all else":           {[]string{"red rect 0 0 20 20", "blue rect 30 5 10 .01"}, "lines-vanish 2"},
		"a line on a ground":               {[]string{"red rect 0 0 20 20", "blue rect 5 5 10 .01"}, "lines-vanish 2"},
		"a line over an edge":              {[]string{"red rect 0 0 20 20", "blue rect 15 5 10 .01"}, "lines-vanish 2"},
		"a line that passes under a dot":   {[]string{"red rect 0 0 20 20", "blue rect 5 5 10 .01", "green rect 8 4 3 3"}, "lines-vanish 2"},
		"a line beside a shape of it":      {[]string{"red rect 0 0 20 20", "blue rect 5 5 10 .01 + rect 5 10 5 5"}, "lines-vanish 2"},
		"a broader line":                   {[]string{"red rect 0 0 20 20", "blue rect 5 5 10 .1"}, ""},
		"a crumb":                          {[]string{"red rect 0 0 20 20", "blue rect 5 5 .5 .01"}, "healed 1"},
		"an overlap":                       {[]string{"red rect 0 0 20.01 20", "blue rect 20 0 20 20"}, ""},
		"what shows beside what lies over": {[]string{"blue rect 0 0 20 20.01", "red rect 0 0 20 20"}, "healed 1"},
		"a hair on a shape of its own":     {[]string{"red rect 0 0 20 20", "blue rect 5 5 5 5 + rect 10 6 10 .01"}, ""},
		"a line that is not cut":           {[]string{"red rect 0 0 20 20", "blue rect 5 5 10 .01 leftout"}, ""},
	} {
		p := mustPlan(t, knockAll(t, art(t, c.layers...)))
		got := ""
		for _, w := range p.Warnings {
			switch w.ID {
			case "lines-vanish":
				got = fmt.Sprint(w.ID, " ", w.Layers[0])
			case "healed":
				got += fmt.Sprint(w.ID, " ", w.Values["count"])
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

func TestCompute_PointsOutAFullPageBackground(t *testing.T) {
	p := mustPlan(t, knockAll(t, art(t, "blue rect 0 0 100 100", "red circle 50 50 30")))
	if !warned(p, "background-full-page") || p.Warnings[0].Values["layer"] != "blue" || p.Warnings[0].Values["count"] != message.Count(1) {
		t.Error(p.Warnings)
	}
	p = mustPlan(t, knockAll(t, art(t, "blue rect 0 0 100 100", "red rect 0 45 100 10")))
	if !warned(p, "background-full-page") || p.Warnings[0].Values["count"] != message.Count(2) {
		t.Error(p.Warnings)
	}
	for _, lines := range [][]string{{"blue circle 50 50 50", "red circle 50 50 30"}, {"blue rect 0 0 100 100"}, {"blue ring 50 50 50 40", "red circle 50 50 30"}} {
		if p := mustPlan(t, knockAll(t, art(t, lines...))); warned(p, "background-full-page") {
			t.Error(lines, p.Warnings)
		}
	}
}

func TestCompute_NamesAreUnique(t *testing.T) {
	p := mustPlan(t, knockAll(t, art(t, "#ff0000 rect 0 0 9 9", "#fa0000 rect 10 0 9 9", "#f50505 rect 20 0 9 9")))
	var names []string
	for _, s := range p.Separations {
		names = append(names, s.Name)
	}
	slices.Sort(names)
	if !slices.Equal(names, []string{"Red", "Red 2", "Red 3"}) {
		t.Error(names)
	}
}

// The first red is covered by the third once all is knocked out, or left out: the
// others are called what they were.
func TestCompute_ASheetKeepsItsNameWhateverBecomesOfOthers(t *testing.T) {
	j := art(t, "#ff0000 rect 10 10 5 5", "#dd2e44 rect 30 0 20 20", "#cc0000 rect 0 0 20 20")
	for what, j := range map[string]job.Job{
		"knocked out": knockAll(t, j), "left out": must(t)(job.SetUse(j, []job.LayerID{1}, job.LeftOut)),
	} {
		var names []string
		for _, s := range mustPlan(t, j).Separations {
			names = append(names, s.Colour.String()+" "+s.Name)
		}
		slices.Sort(names)
		if !slices.Equal(names, []string{"#cc0000 Red 3", "#dd2e44 Red 2"}) {
			t.Errorf("%s: %v", what, names)
		}
	}
}

func TestCompute_NothingToCut(t *testing.T) {
	for want, j := range map[string]job.Job{
		"verdict-nothing":           {},
		"verdict-all-bare":          art(t, "white rect 0 0 10 10"),
		"verdict-all-bare-left-out": art(t, "red rect 0 0 10 10 leftout"),
		"verdict-all-drawn":         art(t, "red rect 0 0 10 10 drawn"),
	} {
		p := mustPlan(t, j)
		if p.Verdict.State != Nothing || p.Verdict.ID != want || p.Frame != nil || p.BaseReason.ID != "" || p.FrameReason.ID != "" {
			t.Errorf("%s: %+v", want, p)
		}
	}
	if p := mustPlan(t, job.Job{}); !p.Extent.Empty() || !p.Page.Empty() {
		t.Error(p.Extent, p.Page)
	}
}

func TestCompute_SeveralItemsStackInTheirOrder(t *testing.T) {
	j := art(t, "red rect 0 0 40 40")
	other := art(t, "blue rect 0 0 10 10").Items[0]
	other.ID, other.Layers[0].ID = 2, 9
	other.Placement = geometry.Translate(5, 5).Mul(geometry.Scale(2, 2))
	j.Items = append(j.Items, other)
	p := mustPlan(t, j)
	if p.Stacked.AreaMM2 != 400 || !slices.Equal(p.Stacked.Places[0].Layers, []job.LayerID{1, 9}) || p.Stacked.Places[0].Bounds != geometry.RectXYWH(5, 5, 20, 20) {
		t.Errorf("%+v", p.Stacked)
	}
}

func TestCompute_ClipsCount(t *testing.T) {
	j := art(t, "red circle 50 50 40")
	shapes := j.Items[0].Layers[0].Content.(job.Outlines).Shapes
	shapes[0].Clips = []*job.Clip{{Shapes: []job.Shape{{Path: geometry.RectXYWH(0, 0, 50, 50).Path()}}}}
	p := mustPlan(t, j)
	if want := geometry.RectXYWH(10, 10, 40, 40); p.Extent != want {
		t.Error(p.Extent, want)
	}
	if !near(p.Separations[0].AreaMM2, 400*math.Pi, chordLoss(40)) {
		t.Error(summary(p))
	}
	r, err := Extent(context.Background(), j)
	if err != nil || r != geometry.RectXYWH(10, 10, 40, 40) {
		t.Error(r, err)
	}
}

func TestExtent(t *testing.T) {
	for _, c := range []struct {
		lines []string
		want  geometry.Rect
	}{
		{[]string{"red rect 1 2 3 4"}, geometry.RectXYWH(1, 2, 3, 4)},
		{[]string{"red circle 5 5 5", "white rect 9 0 4 1"}, geometry.RectXYWH(0, 0, 13, 10)},
		{[]string{"red rect 0 0 1 1", "blue rect 5 5 90 90 leftout", "blue rect 0 0 2 1 drawn"}, geometry.RectXYWH(0, 0, 2, 1)},
		{[]string{"red rect 100000 100000 1e6 5e5"}, geometry.RectXYWH(1e5, 1e5, 1e6, 5e5)},
		{[]string{"red rect 0 0 0.001 0.002"}, geometry.RectXYWH(0, 0, 0.001, 0.002)},
		{nil, geometry.EmptyRect()},
		{[]string{"red rect 3 3 0 0"}, geometry.EmptyRect()},
	} {
		j := art(t, c.lines...)
		j.Items[0].Placement = geometry.Scale(7, 7) // does not count
		r, err := Extent(context.Background(), j)
		if err != nil || r.Empty() != c.want.Empty() {
			t.Errorf("%v: %v, %v", c.lines, r, err)
		} else if !r.Empty() && (r.Min.Sub(c.want.Min).Len() > 1e-9 || r.Max.Sub(c.want.Max).Len() > 1e-9) {
			t.Errorf("%v: %v, want %v", c.lines, r, c.want)
		}
	}
}

func TestResize_MakesThePageExactlyAsWideAsAsked(t *testing.T) {
	for _, lines := range [][]string{pair, nested, {"red circle 3.3 7.7 1.234"}} {
		j := art(t, lines...)
		r, err := Extent(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		for _, width := range []float64{100, 33.3, 60} {
			p := mustPlan(t, must(t)(job.Resize(j, r, width, 0)))
			if !near(p.Page.Width(), width, 1e-4) {
				t.Errorf("%v: %v wide, want %v", lines, p.Page.Width(), width)
			}
		}
	}
}

func TestCompute_ErrorsAreMessages(t *testing.T) {
	j := art(t, "red rect 0 0 10 10", "blue rect 0 0 1e30 10")
	_, err := Compute(context.Background(), j)
	var e *Error
	if !errors.As(err, &e) || e.ID != "art-out-of-range" || e.Layer != 2 || e.Args["layer"] != "blue" || e.Unwrap() == nil {
		t.Errorf("%#v", err)
	}
	j = art(t, "red rect 0 0 10 10")
	j.Items[0].Placement.A = math.NaN()
	if _, err := Compute(context.Background(), j); !errors.As(err, &e) || e.ID != "art-out-of-range" {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Compute(ctx, art(t, pair...)); !IsCancelled(err) {
		t.Error(err)
	}
}

// Every id that a plan can carry has its sentence, and warnings and errors
// what can be done about them.
func TestMessages_EveryIDHasASentence(t *testing.T) {
	data, err := os.ReadFile("../words/messages/fit.en.json")
	if err != nil {
		t.Fatal(err)
	}
	var sentences map[string]any
	if err := json.Unmarshal(data, &sentences); err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	need := func(ids ...string) {
		for _, id := range ids {
			used[id] = true
			if sentences[id] == nil {
				t.Errorf("no sentence for %q", id)
			}
		}
	}
	for _, v := range []string{"verdict-nothing", "verdict-all-bare", "verdict-all-drawn", "verdict-stacks", "verdict-ready"} {
		need(v, v+leftOutSuffix)
	}
	need("base-only", "base-largest", "base-most-small-parts", "base-chosen")
	need("frame-one-sheet", "frame-not-needed", "frame-needed", "frame-chosen", "frame-off-but-needed")
	for _, id := range []string{
		"healed", "lines-vanish", "background-full-page", "background-bare", "background-bare-around", "frame-colour-missing", "sheet-missing",
		"art-too-complex", "art-too-complex-in-file", "art-out-of-range",
		job.NoSuchLayer, "edit-no-such-sheet", "edit-layer-locked", "edit-bad-transform", "edit-bad-size", "edit-bad-margin", "edit-empty-name",
	} {
		need(id, id+".remedy")
	}
	for _, v := range []string{"verdict-stacks", "verdict-stacks" + leftOutSuffix} {
		need(v + ".remedy")
	}
	for id := range sentences {
		if !used[id] {
			t.Errorf("%q is never said", id)
		}
	}
}

func TestCompute_CountsThePiecesOfEachLayer(t *testing.T) {
	// A bar cuts a square in two; a second red square touches one half, so that
	// they are one piece; a layer that is covered whole is in none.
	j := knockAll(t, art(t, "red rect 0 0 30 10", "yellow rect 12 2 2 2", "red rect 30 0 10 10", "blue rect 10 -5 5 20"))
	p := mustPlan(t, j)
	l := j.Items[0].Layers
	for i, want := range []int{2, 0, 1, 1} {
		if got := p.PiecesOf[l[i].ID]; got != want {
			t.Errorf("layer %d is to be seen in %d pieces, want %d", i, got, want)
		}
	}
	if p.NumPieces() != 3 {
		t.Errorf("%d pieces", p.NumPieces())
	}
}
