package window

import (
	"math"
	"strings"
	"testing"

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
	if got := s.verdict.sentence.Text(); !strings.Contains(got, "Pocket") || s.verdict.icon() != "warning" {
		t.Errorf("84 mm on 90 with 5 mm to spare: %q", got)
	}
	s.fitBlank()
	s.settle()
	plan, _ := s.session.Plan()
	if math.Abs(plan.Extent.Width()-80) > 1e-3 || !strings.HasPrefix(s.verdict.sentence.Text(), "Ready") {
		t.Errorf("%v; %q", plan.Extent, s.verdict.sentence.Text())
	}
	s.undo()
	s.undo()
	if s.session.Job().Settings.BlankShape != nil {
		t.Error("undo leaves the blank")
	}
}
