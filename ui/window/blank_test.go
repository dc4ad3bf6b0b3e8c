package window

import (
	"math"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/ui/theme"
)

func TestBlank_ChosenKeptAndFittedInto(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.knockOut()
	s.settle()
	s.ask.Blank()
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
