package ask

import (
	"os"
	"testing"

	"fyne.io/fyne/v2"

	"abut/ui/theme"
)

// What is being written can be given up, by Cancel and by Escape wherever the
// keyboard is. The dialog stays and says what is true: that nothing was written or,
// where that came too late, that all was.
func TestExport_CanBeStoppedWhileItWrites(t *testing.T) {
	for _, escape := range []bool{false, true} {
		r := newRig(t, usual, theme.AlwaysLight)
		r.demo("rich")
		r.Session.KnockOutAll()
		r.settle()
		r.Export()
		cancel, write := r.press(say("ui-cancel")), r.press(say("ui-export-write"))
		write.Tapped(nil)
		if escape {
			r.key(fyne.KeyEscape)
		} else {
			cancel.Tapped(nil)
		}
		r.settle()
		list, err := os.ReadDir(r.Home)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case len(list) == 0 && r.said(say("stopped")):
			r.tap(say("ui-export-write"))
			r.settle()
			if list, err := os.ReadDir(r.Home); err != nil || len(list) != 1 || !r.said(say("ui-export-next")) {
				t.Errorf("escape %v: after that written %v, %v", escape, list, err)
			}
		case len(list) == 1 && r.said(say("ui-export-next")):
		default:
			t.Errorf("escape %v: written %v, and the dialog says something else", escape, list)
		}
	}
}
