package dialogs

import (
	"strings"

	"fyne.io/fyne/v2"

	"abut/internal/words"
	"abut/ui/controls"
)

// Typed are the texts of the entries of a dialog into which something was typed; In is its title.
type Typed struct {
	In    string
	Texts []string
}

// Typed returns what is typed in the dialogs that are open, where that is more than was there.
func (k *Desk) Typed() (all []Typed) {
	for _, d := range k.stack {
		t := Typed{In: d.head.Text()}
		strokes := 0
		for _, e := range controls.Entries(d.Body) {
			strokes += e.Strokes()
			t.Texts = append(t.Texts, e.Text)
		}
		if strokes > 0 {
			all = append(all, t)
		}
	}
	return all
}

// typed tells that something was typed, or is gone.
func (k *Desk) typed() {
	if k.OnTyped != nil {
		k.OnTyped()
	}
}

// retype puts in what was typed into the dialog before the program was killed, and says so. Where
// it has other entries by now it says what that was.
func (d *Dialog) retype() {
	if d.desk.Again == nil {
		return
	}
	entries := controls.Entries(d.Body)
	if len(entries) == 0 {
		return
	}
	texts := d.desk.Again(d.head.Text())
	if len(texts) == 0 {
		return
	}
	said := words.Say("dialog-typed-again")
	if len(texts) == len(entries) {
		for i, e := range entries {
			if e.Text != texts[i] {
				e.Retype(texts[i])
			}
		}
	} else {
		said = words.Say("dialog-typed-was", "texts", strings.Join(texts, " · "))
	}
	d.Body.Objects = append([]fyne.CanvasObject{controls.NewPara(said, controls.Quiet)}, d.Body.Objects...)
}

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
