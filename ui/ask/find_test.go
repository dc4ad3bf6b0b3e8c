package ask

import (
	"testing"

	"fyne.io/fyne/v2"

	"abut/ui/command"
	"abut/ui/theme"
)

// An action is found by some of its words, and Enter does it.
func TestFindAction_DoesWhatIsTyped(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	ran := ""
	for _, id := range []string{"turn-left", "turn-right", "centre"} {
		r.Commands.Add(&command.Command{ID: id, Label: "ui-menu-" + id, Run: func() { ran += id }})
	}
	r.FindAction()
	r.typed("right turn")
	r.key(fyne.KeyReturn)
	if r.Desk.Open() || ran != "turn-right" {
		t.Errorf("still open: %v, done: %q", r.Desk.Open(), ran)
	}
}
