package window

import (
	"math"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
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

// Where nothing is there to measure no size is shown: nothing is 0 mm wide.
func TestSize_IsEmptyWhereThereIsNone(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	if got := s.field("ui-details-width", 0).Text; got == "" {
		t.Fatal("a picture has no width")
	}
	if err := s.session.UseEmpty(job.Blank{Name: "Mug", WidthMM: 200, HeightMM: 90}, nil); err != nil {
		t.Fatal(err)
	}
	s.settle()
	for _, id := range []string{"ui-details-width", "ui-details-height"} {
		if f := s.field(id, 0); f.Text != "" || f.Drafting() {
			t.Errorf("%s: %q, being typed: %v", say(id), f.Text, f.Drafting())
		}
	}
	s.demo("pair")
	if got := s.field("ui-details-width", 0).Text; got == "" {
		t.Error("the next picture has no width")
	}
}
