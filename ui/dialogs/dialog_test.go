package dialogs

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/ui/controls"
	"abut/ui/theme"
)

func newDesk(t *testing.T) (*Desk, fyne.Window, *int) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	w := test.NewTempWindow(t, container.NewStack())
	w.Resize(fyne.NewSize(900, 700))
	closed := 0
	return NewDesk(w.Canvas(), func() { closed++ }), w, &closed
}

// question is a dialog with everything in it that takes the keyboard.
func question(k *Desk, answer *string) (*Dialog, *Entry) {
	d := k.New(420, "Name")
	e := d.NewEntry("Puffin")
	d.Body.Add(e)
	d.Body.Add(container.NewVScroll(container.NewVBox(controls.NewCheck("Replace", nil), controls.NewSelect([]string{"a", "b"}, nil))))
	d.Body.Add(controls.NewChoice(nil, "mm", "in"))
	d.Body.Add(controls.NewIconPress("delete", "Delete", func() {}))
	d.SetButtons(
		Button("Cancel", func() { *answer = "cancel"; d.Close() }),
		Button("Set", func() { *answer = "set:" + e.Text; d.Close() }))
	return d, e
}

func TestDialog_EscapeAndEnterAnswerWhereverTheFocusIs(t *testing.T) {
	k, w, _ := newDesk(t)
	answer := ""
	places := map[fyne.Focusable]bool{}
	for n := 0; n < 12; n++ {
		for _, key := range []fyne.KeyName{fyne.KeyEscape, fyne.KeyReturn} {
			answer = ""
			d, e := question(k, &answer)
			d.Show(e)
			for range n {
				w.Canvas().(interface{ FocusNext() }).FocusNext()
			}
			f := w.Canvas().Focused()
			if f == nil {
				t.Fatalf("after %d steps nothing has the focus", n)
			}
			places[f] = true
			_, press := f.(*controls.Press) // Enter presses it
			f.TypedKey(&fyne.KeyEvent{Name: key})
			switch {
			case key == fyne.KeyEscape && answer != "cancel":
				t.Errorf("Escape on %T: %q", f, answer)
			case key == fyne.KeyReturn && !press && answer != "set:Puffin":
				t.Errorf("Enter on %T: %q", f, answer)
			}
			k.Clear()
		}
	}
	if len(places) < 7 {
		t.Errorf("only %d places had the focus", len(places))
	}
}

// A message that comes late lies over what is being typed, and leaves it as it
// was.
func TestDesk_ALateMessageLeavesWhatIsTyped(t *testing.T) {
	k, w, closed := newDesk(t)
	answer := ""
	d, e := question(k, &answer)
	d.Show(e)
	test.Type(e, "Old ")
	m := k.Message("Trouble", "warning", controls.Care, "The disk is full.", "", "OK")
	if k.Top() != m || !d.Shown() || *closed > 0 {
		t.Fatal("the message took the place of the question")
	}
	if !k.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape}) || k.Top() != d {
		t.Fatal("Escape did not close the message alone")
	}
	if e.Text != "Old Puffin" || w.Canvas().Focused() != e || answer != "" {
		t.Errorf("typed %q, focus %T, answer %q", e.Text, w.Canvas().Focused(), answer)
	}
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if answer != "set:Old Puffin" || k.Open() || *closed != 1 {
		t.Errorf("%q, open %v, closed %d", answer, k.Open(), *closed)
	}
	if k.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape}) {
		t.Error("a key went to a dialog that is not there")
	}
}
