package window

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/internal/fit"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/theme"
)

// apart is a red square and a blue one outside its reach: 90 × 40 mm.
const apart = `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="40mm" viewBox="0 0 90 40">
<rect width="50" height="40" fill="#d03020"/><rect x="60" y="5" width="30" height="30" fill="#2040c0"/></svg>`

// tick ticks what is labelled so in the dialog on screen.
func (s *stage) tick(label string) {
	s.t.Helper()
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		if c, ok := o.(*controls.Check); ok && c.Text == label {
			c.SetChecked(true)
			return
		}
	}
	s.t.Fatalf("nothing to tick is labelled %q", label)
}

func TestOutfit_SheetAndCutterAreStepsAndKept(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(apart)
	if s.field("ui-outfit-cutter", 0).Text != "292.1" || s.field("ui-outfit-sheet-wide", 0).Text != "304.8" || s.field("ui-outfit-sheet-high", 0).Text != "304.8" {
		t.Errorf("%q %q %q", s.field("ui-outfit-cutter", 0).Text, s.field("ui-outfit-sheet-wide", 0).Text, s.field("ui-outfit-sheet-high", 0).Text)
	}
	s.enter(s.field("ui-outfit-cutter", 0), "30")
	if got := s.verdict.Text(); !strings.Contains(got, "With its frame Red is 50 mm wide, 20 mm more than the cutter can cut (30 mm)") || s.verdict.State() != fit.Trouble {
		t.Errorf("%q", got)
	}
	s.run("undo")
	s.settle()
	if !strings.HasPrefix(s.verdict.Text(), "Ready") || s.field("ui-outfit-cutter", 0).Text != "292.1" {
		t.Errorf("%q, %q", s.verdict.Text(), s.field("ui-outfit-cutter", 0).Text)
	}
	s.enter(s.field("ui-outfit-sheet-wide", 0), "60")
	s.enter(s.field("ui-outfit-sheet-high", 0), "80")
	if got := s.verdict.Text(); !strings.Contains(got, "more than its sheet (60 × 80 mm)") {
		t.Errorf("%q", got)
	}
	s.svg(hairline) // another job
	if w, h := s.session.Job().Settings.SheetSize(); w != 60 || h != 80 {
		t.Errorf("a new job begins with %g × %g", w, h)
	}
}

func TestOutfit_FrameTakesMarginAndRounding(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(apart)
	s.enter(s.field("ui-frame-margin", 0), "8")
	s.enter(s.field("ui-frame-corner", 0), "3")
	if f := s.planNow().Frame; f == nil || f.MarginMM != 8 || f.CornerMM != 3 {
		t.Fatalf("%+v", f)
	}
	s.enter(s.field("ui-frame-margin", 0), "0") // as the plan likes
	s.enter(s.field("ui-outfit-cutter", 0), "46")
	if f := s.planNow().Frame; f == nil || math.Abs(f.MarginMM-3) > 1e-9 || s.field("ui-frame-margin", 0).Text != "3" || !s.said("the cutter leaves no more room") {
		t.Errorf("%+v, %q, %q", f, s.field("ui-frame-margin", 0).Text, s.planNow().FrameReason)
	}
}

func TestMarks_AreAStepInMenuAndDetails(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(apart)
	s.tickIn(say("ui-marks"), true)
	s.settle()
	if len(s.planNow().Marks) != 3 || !s.commands.Get("marks").IsOn() {
		t.Errorf("%v", s.planNow().Marks)
	}
	s.run("marks")
	s.settle()
	if s.planNow().Marks != nil || s.ticked(say("ui-marks")) {
		t.Error("they stay")
	}
	s.run("undo")
	s.settle()
	if !s.ticked(say("ui-marks")) {
		t.Error("undo does not bring them back")
	}
}

func TestBase_IsChosenAndExplained(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(apart)
	before := s.planNow().Separations[0].Name
	other := s.planNow().Separations[1].Name
	s.ask.Base()
	s.press(words.Capital(other)).Tapped(nil)
	s.settle()
	if got := s.planNow().Separations[0].Name; got != other || !s.said("because you chose it") {
		t.Errorf("%s; %q", got, s.planNow().BaseReason)
	}
	s.ask.Base()
	s.press(say("ui-base-auto")).Tapped(nil)
	s.settle()
	if got := s.planNow().Separations[0].Name; got != before {
		t.Error(got)
	}
}

func TestExport_RefusesWhatHasNoRoomUnlessTicked(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(apart)
	s.enter(s.field("ui-outfit-cutter", 0), "30")
	s.ask.Export()
	if !s.press(say("ui-export-write")).Disabled() {
		t.Error("too large, and written without a word")
	}
	s.tick(say("ui-export-oversize"))
	s.press(say("ui-export-write")).Tapped(nil)
	s.settle()
	text, err := os.ReadFile(filepath.Join(s.options.Home, "art cut files", "job.json"))
	if err != nil || !strings.Contains(string(text), `"what": "cutter"`) {
		t.Errorf("%v %s", err, text)
	}
}

func TestOutfitPictures(t *testing.T) {
	looks(t, "outfit", func(s *stage, keep func(string)) {
		s.svg(apart)
		s.enter(s.field("ui-frame-corner", 0), "6")
		s.tickIn(say("ui-marks"), true)
		s.showView(board.Sheets)
		s.board.ShowAll()
		keep("1-details")
		s.ask.Base()
		keep("2-base")
		s.press(say("ui-cancel")).Tapped(nil)
		s.enter(s.field("ui-outfit-cutter", 0), "30")
		s.ask.Export()
		keep("3-export")
	})
}
