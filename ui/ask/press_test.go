package ask

import (
	"strings"
	"testing"

	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/theme"
)

// What worked is a step of the job, and there again for the next job on such a blank.
func TestPress_ValuesAreKeptWithJobAndBlank(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Blank()
	r.tap(say("ui-blank-mug"))
	r.tap(say("ui-blank-use"))
	r.settle()
	r.Press()
	e := overlay[*controls.Entry](r)
	e[0].SetText("200")
	e[1].SetText("240")
	e[2].SetText("medium")
	r.tap(say("press-keep"))
	r.settle()
	want := job.Pressing{Kind: "mug", HeatC: 200, Seconds: 240, Pressure: "medium"}
	if got := r.Session.Job().Settings.BlankShape.Press; got != want || r.Session.UndoLabel() != "ui-step-press" || r.Desk.Open() {
		t.Fatalf("%+v, %q", got, r.Session.UndoLabel())
	}
	// Another job on a mug.
	r.Session.Close()
	r.demo("bracket")
	r.Blank()
	r.tap(say("ui-blank-mug"))
	r.tap(say("ui-blank-use"))
	r.settle()
	if got := r.Session.Job().Settings.BlankShape.Press; got != want {
		t.Errorf("the next mug: %+v", got)
	}
	// And the blank's dialog loses nothing of it.
	r.Blank()
	r.tap(say("ui-blank-use"))
	r.settle()
	if got := r.Session.Job().Settings.BlankShape.Press; got != want {
		t.Errorf("after the blank's dialog: %+v", got)
	}
}

func TestPress_FlagsWhatLiesOutsideAndReadsFahrenheit(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Blank()
	r.tap(say("ui-blank-mug"))
	r.tap(say("ui-blank-use"))
	r.settle()
	says := func(text string) bool {
		for _, p := range overlay[*controls.Para](r) {
			if strings.Contains(p.Text(), text) {
				return true
			}
		}
		return false
	}
	r.Press()
	heat := overlay[*controls.Entry](r)[0]
	heat.SetText("250")
	if !says("too hot") || !says("177–204 °C (351–399 °F)") {
		t.Error("250 °C is not flagged, or there are no starting points")
	}
	r.tap("°F")
	if heat.Text != "482" || !says("250 °C (482 °F)") {
		t.Errorf("250 °C is %q °F", heat.Text)
	}
	heat.SetText("392")
	if says("too hot") || says("outside") {
		t.Error("392 °F, which is 200 °C, is flagged")
	}
	heat.SetText("hot")
	if !says(say("press-unreadable")) || !r.press(say("press-keep")).Disabled() {
		t.Error("what is no number can be kept")
	}
}

func TestPress_WithoutBlankShowsTheTableAndTheWay(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Press()
	r.tap(say("ui-menu-blank"))
	if r.press(say("ui-blank-use")) == nil {
		t.Error("the way does not lead to the blank")
	}
}
