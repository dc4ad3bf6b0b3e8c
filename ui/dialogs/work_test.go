package dialogs

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
	"abut/ui/controls"
)

// shownIn returns the press of a label in what lies over the window, nil where
// there is none to be seen.
func shownIn(w fyne.Window, label string) *controls.Press {
	w.Canvas().Capture() // lays out
	for _, o := range test.LaidOutObjects(w.Canvas().Overlays().Top()) {
		if p, is := o.(*controls.Press); is && p.Label == label {
			return p
		}
	}
	return nil
}

// What goes on in the background can be stopped from the dialog that lies over
// the window's own Stop, whichever came first.
func TestDesk_OffersToStopWhatGoesOn(t *testing.T) {
	k, w, _ := newDesk(t)
	stop, stopped := words.Say("ui-stop"), 0
	first := k.New(420, "Export")
	first.SetButtons(Button("Cancel", first.Cancel), Button("Write", func() {}))
	first.Show(nil)
	if p := shownIn(w, stop); p != nil {
		t.Fatal("nothing goes on, and it can be stopped")
	}
	before := first.content.Size().Height
	k.SetWork(&Work{"Writing files", func() { stopped++ }})
	p := shownIn(w, stop)
	if p == nil || first.content.Size().Height <= before {
		t.Fatal("what goes on cannot be stopped, or there is no room for it")
	}
	p.Tapped(nil)
	over := k.New(420, "Note")
	over.SetButtons(Button("OK", over.Close))
	over.Show(nil)
	shownIn(w, stop).Tapped(nil)
	if stopped != 2 {
		t.Errorf("stopped %d times", stopped)
	}
	k.SetWork(nil)
	if shownIn(w, stop) != nil {
		t.Error("what is over can be stopped")
	}
	over.Close()
	if shownIn(w, stop) != nil || first.content.Size().Height != before {
		t.Error("what is over can be stopped in the dialog beneath")
	}
}
