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

// What was typed before a crash is there again where the same dialog is opened, as if it had just
// been typed; one that has other entries by now says what it was.
func TestDialog_HasWhatWasTypedBeforeACrash(t *testing.T) {
	k, _, _ := newDesk(t)
	told := 0
	k.OnTyped = func() { told++ }
	k.Again = func(title string) []string {
		return map[string][]string{"Blank": {"Lighthouse mug", "12"}, "Press": {"180"}}[title]
	}
	open := func(title string) (d *Dialog, name, wide *controls.Entry) {
		d = k.New(420, title)
		name, wide = controls.NewEntry("Puffin"), controls.NewEntry("12")
		d.Body.Add(container.NewVBox(name, wide))
		d.SetButtons(Button("Cancel", d.Cancel), Button("Set", d.Close))
		d.Show(name)
		return d, name, wide
	}
	said := func(d *Dialog) string {
		p, _ := d.Body.Objects[0].(*controls.Para)
		if p == nil {
			return ""
		}
		return p.Text()
	}
	d, name, wide := open("Blank")
	if name.Text != "Lighthouse mug" || wide.Text != "12" || name.Strokes() <= mayLose || wide.Strokes() != 0 || said(d) != words.Say("dialog-typed-again") {
		t.Errorf("%q and %q, %d keys, it says %q", name.Text, wide.Text, name.Strokes(), said(d))
	}
	if got := k.Typed(); len(got) != 1 || got[0].In != "Blank" || len(got[0].Texts) != 2 || got[0].Texts[0] != "Lighthouse mug" {
		t.Errorf("typed is %+v", got)
	}
	told = 0
	test.Type(wide, "5")
	if told == 0 {
		t.Error("a key is typed, and nobody is told")
	}
	told = 0
	d.Close()
	if told == 0 || len(k.Typed()) != 0 {
		t.Errorf("closed: told %d times, typed is %+v", told, k.Typed())
	}
	if d, name, _ = open("Press"); name.Text != "Puffin" || said(d) != words.Say("dialog-typed-was", "texts", "180") {
		t.Errorf("%q, it says %q", name.Text, said(d))
	}
	d.Close()
	if d, name, _ = open("Other"); name.Text != "Puffin" || said(d) != "" || len(k.Typed()) != 0 {
		t.Errorf("%q, it says %q, typed is %+v", name.Text, said(d), k.Typed())
	}
}
