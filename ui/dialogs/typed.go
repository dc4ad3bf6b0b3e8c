package dialogs

import (
	"abut/internal/words"
	"abut/ui/controls"
)

// mayLose is how many keys' work is lost without a word: one that was hit by
// mistake.
const mayLose = 1

// Cancel gives the dialog up: OnCancel is called or, without it, Close. Where more
// was typed than one key's work it asks first, and what was typed stays unless it
// is to be lost.
func (d *Dialog) Cancel() {
	leave := d.Close
	if d.OnCancel != nil {
		leave = d.OnCancel
	}
	d.desk.losing(d.strokes(), leave)
}

// Kept says that what was typed is safe.
func (d *Dialog) Kept() {
	for _, e := range controls.Entries(d.Body) {
		e.Kept()
	}
}

// strokes is how many keys' work would be lost with the dialog. What was chosen
// counts as more than one.
func (d *Dialog) strokes() int {
	n := 0
	if d.Unsaved != nil && d.Unsaved() {
		n = mayLose + 1
	}
	for _, e := range controls.Entries(d.Body) {
		n += e.Strokes()
	}
	return n
}

// Leave goes on to what takes the window and all dialogs away, unless something
// typed in them is to stay.
func (k *Desk) Leave(then func()) {
	n := 0
	for _, d := range k.stack {
		n += d.strokes()
	}
	k.losing(n, then)
}

// losing goes on, after asking where so much typing would be lost.
func (k *Desk) losing(strokes int, then func()) {
	if strokes <= mayLose {
		then()
		return
	}
	d := k.New(420, words.Say("ask-discard-title"))
	d.Body.Add(controls.NewPara(words.Say("ask-discard-why"), controls.Text))
	keep := Button(words.Say("ask-discard-keep"), d.Close)
	d.OnEscape = d.Close
	d.SetButtons(Button(words.Say("ask-discard"), func() {
		d.Close()
		then()
	}), keep)
	d.Show(nil)
}
