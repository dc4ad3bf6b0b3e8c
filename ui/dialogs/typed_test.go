package dialogs

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/entry"
)

func press(t *testing.T, d *Dialog, id string) {
	t.Helper()
	for _, b := range d.buttons {
		if b.Label == words.Say(id) {
			b.Tapped(nil)
			return
		}
	}
	t.Fatalf("no button %q", words.Say(id))
}

// What took more than one key to type is not lost without a word, wherever it was
// typed: Escape and Cancel ask, once, and nothing is lost unless one says so.
func TestDialog_AsksBeforeTypedWorkIsLost(t *testing.T) {
	for what, c := range map[string]struct {
		keys func(name *controls.Entry, wide *entry.Length, search *controls.Entry)
		asks bool
	}{
		"nothing":              {func(_ *controls.Entry, _ *entry.Length, _ *controls.Entry) {}, false},
		"a key":                {func(e *controls.Entry, _ *entry.Length, _ *controls.Entry) { test.Type(e, "x") }, false},
		"two keys":             {func(e *controls.Entry, _ *entry.Length, _ *controls.Entry) { test.Type(e, "xy") }, true},
		"a key in each of two": {func(e *controls.Entry, l *entry.Length, _ *controls.Entry) { test.Type(e, "x"); test.Type(l, "7") }, true},
		"a length":             {func(_ *controls.Entry, l *entry.Length, _ *controls.Entry) { test.Type(l, "12") }, true},
		"and taken back": {func(e *controls.Entry, _ *entry.Length, _ *controls.Entry) {
			e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
			test.Type(e, "xy")
			e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyBackspace})
			e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyBackspace})
		}, false},
		"one shortcut":         {func(e *controls.Entry, _ *entry.Length, _ *controls.Entry) { paste(e, "Harbour") }, false},
		"a search":             {func(_ *controls.Entry, _ *entry.Length, e *controls.Entry) { test.Type(e, "lighthouse") }, false},
		"what was put in anew": {func(e *controls.Entry, _ *entry.Length, _ *controls.Entry) { test.Type(e, "xy"); e.SetText("Other") }, true},
		"what is safe":         {func(e *controls.Entry, _ *entry.Length, _ *controls.Entry) { test.Type(e, "xy"); e.Kept() }, false},
	} {
		for _, escape := range []bool{false, true} {
			k, w, _ := newDesk(t)
			d := k.New(420, "Blank")
			name, wide, search := controls.NewEntry("Puffin"), entry.NewLength(0), controls.NewEntry("")
			search.Passing = true
			d.Body.Add(container.NewVScroll(container.NewVBox(name, container.NewGridWithColumns(2, wide, search))))
			d.SetButtons(Button("Cancel", d.Cancel), Button("Set", d.Close))
			d.Show(name)
			c.keys(name, wide, search)
			was := name.Text
			if escape {
				w.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
			} else {
				d.buttons[0].Tapped(nil)
			}
			if asks := k.Top() != d && k.Open(); asks != c.asks {
				t.Errorf("%s, escape %v: asks %v", what, escape, asks)
				continue
			}
			if !c.asks {
				if k.Open() {
					t.Errorf("%s: it stays", what)
				}
				continue
			}
			// Escape stays; so does the filled button.
			w.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
			if k.Top() != d || name.Text != was {
				t.Fatalf("%s: Escape loses it", what)
			}
			d.Cancel()
			w.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
			if k.Top() != d || name.Text != was {
				t.Fatalf("%s: Enter loses it", what)
			}
			d.Cancel()
			press(t, k.Top(), "ask-discard")
			if k.Open() {
				t.Errorf("%s: it stays although it is to go", what)
			}
		}
	}
}

func paste(e *controls.Entry, text string) {
	c := fyne.CurrentApp().Clipboard()
	c.SetContent(text)
	e.TypedShortcut(&fyne.ShortcutPaste{Clipboard: c})
}

// What a dialog gives up on the way out is done only once it is given up.
func TestDialog_OnCancelWaitsForTheAnswer(t *testing.T) {
	k, _, _ := newDesk(t)
	d := k.New(420, "Blank")
	e := controls.NewEntry("")
	d.Body.Add(e)
	cancelled := 0
	d.OnCancel = func() { cancelled++; d.Close() }
	d.SetButtons(Button("Cancel", d.Cancel), Button("Set", d.Close))
	d.Show(e)
	test.Type(e, "90")
	d.Cancel()
	if cancelled > 0 {
		t.Fatal("given up before the answer")
	}
	press(t, k.Top(), "ask-discard")
	if cancelled != 1 || k.Open() {
		t.Errorf("given up %d times", cancelled)
	}
}

// What takes the window away asks for all that lies on the desk.
func TestDesk_LeaveAsksForWhatIsTyped(t *testing.T) {
	k, _, _ := newDesk(t)
	left := 0
	k.Leave(func() { left++ })
	if left != 1 {
		t.Fatal("an empty desk keeps")
	}
	d := k.New(420, "Blank")
	e := controls.NewEntry("")
	d.Body.Add(e)
	d.SetButtons(Button("Cancel", d.Cancel), Button("Set", d.Close))
	d.Show(e)
	test.Type(e, "90")
	k.Message("Note", "about", controls.Quiet, "A disk is full.", "", "OK")
	k.Leave(func() { left++ })
	if left != 1 {
		t.Fatal("it is left")
	}
	press(t, k.Top(), "ask-discard")
	if left != 2 {
		t.Error("it is not left")
	}
}

// Enter goes on and Escape gives up in fields of lengths, too.
func TestDialog_LengthsAnswer(t *testing.T) {
	k, _, _ := newDesk(t)
	d := k.New(420, "Size")
	l := entry.NewLength(0)
	d.Body.Add(l)
	answer := ""
	d.SetButtons(Button("Cancel", func() { answer = "cancel" }), Button("Set", func() { answer = "set" }))
	d.Show(l)
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if answer != "set" {
		t.Errorf("Enter: %q", answer)
	}
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if answer != "cancel" {
		t.Errorf("Escape: %q", answer)
	}
}
