package window

import (
	"math"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/ui/dialogs"
	"abut/ui/entry"
	"abut/ui/theme"
)

func TestBlank_ChosenKeptAndFittedInto(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.knockOut()
	s.settle()
	s.askBlank()
	s.press(say("ui-blank-pocket")).Tapped(nil)
	s.press(say("ui-blank-use")).Tapped(nil)
	s.settle()
	b := s.session.Job().Settings.BlankShape
	if b == nil || b.Name != "Pocket" {
		t.Fatalf("%+v", b)
	}
	if got := s.verdict.Text(); !strings.Contains(got, "Pocket") || s.verdict.State() != fit.Trouble {
		t.Errorf("84 mm on 90 with 5 mm to spare: %q", got)
	}
	s.run("fit-blank")
	s.settle()
	plan, _ := s.session.Plan()
	if math.Abs(plan.Extent.Width()-80) > 1e-3 || !strings.HasPrefix(s.verdict.Text(), "Nothing stacks") {
		t.Errorf("%v; %q", plan.Extent, s.verdict.Text())
	}
	s.run("undo")
	s.run("undo")
	if s.session.Job().Settings.BlankShape != nil {
		t.Error("undo leaves the blank")
	}
}

// What is typed about a usual blank is there the next time, and one can have
// blanks of one's own.
func TestBlank_LibraryIsEditedAndKept(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	entries := func() []*entry.Length { return overlay[*entry.Length](s) }
	s.askBlank()
	s.press(say("ui-blank-tile")).Tapped(nil)
	entries()[0].SetText("108")
	s.press(say("ui-blank-use")).Tapped(nil)
	s.settle()
	if b := s.session.Job().Settings.BlankShape; b == nil || b.WidthMM != 108 || b.Name != "Tile" {
		t.Fatalf("%+v", b)
	}
	s.askBlank()
	s.press(say("ui-blank-mug")).Tapped(nil)
	s.press(say("ui-blank-tile")).Tapped(nil)
	if got := entries()[0].Text; got != "108" {
		t.Errorf("the tile is %s mm wide the next time", got)
	}
	// An own one: not under the name of a usual one.
	name := overlay[*dialogs.Entry](s)[0]
	s.press(say("ui-blank-keep")).Tapped(nil)
	if len(s.ownBlanks()) != 0 {
		t.Error("a second tile")
	}
	name.SetText(" Lamp shade ")
	entries()[0].SetText("420")
	entries()[1].SetText("0")
	s.press(say("ui-blank-keep")).Tapped(nil)
	if len(s.ownBlanks()) != 0 {
		t.Error("a blank without a height is kept")
	}
	entries()[1].SetText("180")
	s.press(say("ui-blank-keep")).Tapped(nil)
	s.press(say("ui-cancel")).Tapped(nil)
	if own := s.ownBlanks(); len(own) != 1 || own[0].Name != "Lamp shade" || own[0].WidthMM != 420 || own[0].HeightMM != 180 {
		t.Fatalf("%+v", own)
	}
	s.askBlank()
	s.press("Lamp shade").Tapped(nil)
	if s.press(say("ui-blank-forget")).Disabled() {
		t.Error("an own one cannot be forgotten")
	}
	s.press(say("ui-blank-use")).Tapped(nil)
	s.settle()
	if b := s.session.Job().Settings.BlankShape; b == nil || b.Name != "Lamp shade" || b.WidthMM != 420 {
		t.Errorf("%+v", b)
	}
	// It can be filled when art comes without a size.
	s.askSize()
	s.press("Lamp shade")
	s.desk.Clear()
	s.askBlank()
	s.press(say("ui-blank-forget")).Tapped(nil)
	if len(s.ownBlanks()) != 0 || find(s.win.Canvas().Overlays().Top(), "Lamp shade") != nil {
		t.Error("it is not forgotten")
	}
}
