package sheets

import (
	"testing"

	"abut/internal/words"
	"abut/ui/controls"
)

// layOut opens the dialog and returns its entry for copies.
func (r *rig) layOut() *controls.Entry {
	r.t.Helper()
	r.LayOut()
	r.settle()
	return shown[*controls.Entry](r)[0]
}

// Only what can be laid out can be used; why not is said, and gone once it is put right. What is used is what was typed last.
func TestLayOut_RefusesWhatCannotBeRead(t *testing.T) {
	r := newRig(t)
	r.LayOut()
	if r.Desk.Open() {
		t.Fatal("asked without a job")
	}
	r.svg(shades)
	copies := r.layOut()
	for _, bad := range []string{"0", "-2", "many", "1.5", ""} {
		copies.SetText(bad)
		r.settle()
		if !r.press("ui-layout-use").Disabled() || !r.tells("edit-bad-layout.remedy") {
			t.Errorf("%q copies can be used: it says\n%s", bad, r.said())
		}
	}
	copies.SetText("3")
	r.settle()
	if r.tells("edit-bad-layout.remedy") {
		t.Error("3 copies are said to be wrong")
	}
	copies.SetText("5")
	r.settle()
	before := r.steps()
	r.tap("ui-layout-use")
	if l := r.Session.Job().Settings.Layout; l.Copies != 5 || r.steps() != before+1 {
		t.Errorf("laid out: %+v, %d steps more", l, r.steps()-before)
	}
}

// Cancel leaves the job as it was, and 'As one picture' is offered once it is laid out.
func TestLayOut_IsGivenUpAndTakenBack(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.layOut().SetText("4")
	r.settle()
	r.tap("ui-cancel")
	if r.Desk.Open() || r.Session.Job().Settings.Layout.On() {
		t.Error("Cancel lays out")
	}
	r.layOut()
	for _, p := range shown[*controls.Press](r) {
		if p.Label == words.Say("ui-layout-off") {
			t.Error("one picture is offered where it is one")
		}
	}
	shown[*controls.Entry](r)[0].SetText("4")
	r.settle()
	r.tap("ui-layout-use")
	if got := r.layOut().Text; got != "4" {
		t.Errorf("it asks for %s copies again", got)
	}
	r.tap("ui-layout-off")
	if r.Session.Job().Settings.Layout.On() {
		t.Error("it is laid out still")
	}
}

// The width of a roll is asked for only where there is one, and pieces are said to lie loose where they do.
func TestLayOut_AsksForARollWhereThereIsOne(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.layOut()
	if r.tells("ui-layout-width") || !r.tells("ui-layout-how-together") {
		t.Errorf("it asks\n%s", r.said())
	}
	choices := shown[*controls.Choice](r)
	choices[0].OnChosen(loose)
	choices[1].OnChosen(fromRoll)
	r.settle()
	if !r.tells("ui-layout-width") || !r.tells("ui-layout-how-loose") {
		t.Errorf("it asks\n%s", r.said())
	}
	r.tap("ui-layout-use")
	if l := r.Session.Job().Settings.Layout; !l.Loose || l.RollMM <= 0 {
		t.Errorf("laid out: %+v", l)
	}
}
