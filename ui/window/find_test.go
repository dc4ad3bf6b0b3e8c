package window

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/ui/theme"
)

// An action is found by some of its words, and Enter does it.
func TestFindAction_DoesWhatIsTyped(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.session.Select(s.session.Job().LayerIDs()[:1])
	s.run("find-action")
	if !s.desk.Open() {
		t.Fatal("no box")
	}
	test.Type(s.win.Canvas().Focused(), "right turn")
	s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s.settle()
	if s.desk.Open() || s.session.UndoLabel() != "ui-step-turn" {
		t.Errorf("still open: %v, last step %q", s.desk.Open(), s.session.UndoLabel())
	}
}
