package controls

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Entry is an entry that hands Escape and Enter to the dialog that it is in, and
// counts what is typed into it. With several lines Enter begins the next one; Tab
// goes on to what follows all the same.
type Entry struct {
	widget.Entry
	// Passing: what is typed is only to find something, and may be lost.
	Passing bool
	// OnMove, where it is set, is told of keys that go up and down in a list beside
	// the entry, by so many rows.
	OnMove func(rows int)
	onKey  func(*fyne.KeyEvent)
	// onTyped, where it is set, is told of each key that changes the text.
	onTyped func()
	// set is the text that was there before anything was typed, strokes how many
	// keys have changed it since, before how many had changed what was there then.
	set             string
	strokes, before int
}

// NewEntry returns an entry with a text.
func NewEntry(text string) *Entry {
	e := &Entry{}
	e.ExtendBaseWidget(e)
	e.SetText(text)
	return e
}

// SetText puts a text in, as if nobody had typed it.
func (e *Entry) SetText(text string) {
	e.before = e.Strokes()
	e.set, e.strokes = text, 0
	e.Entry.SetText(text)
}

// Strokes returns how many keys it took to type what would be lost with the
// entry.
func (e *Entry) Strokes() int {
	if e.Passing {
		return 0
	}
	if e.Text == e.set {
		return e.before
	}
	return e.before + e.strokes
}

// Kept says that what was typed is safe.
func (e *Entry) Kept() { e.set, e.strokes, e.before = e.Text, 0, 0 }

// count counts a key if it changes the text.
func (e *Entry) count(key func()) {
	text := e.Text
	key()
	if e.Text != text {
		e.strokes++
		if e.onTyped != nil {
			e.onTyped()
		}
	}
}

// Retype puts a text in that somebody typed before: it would be lost with the entry as if it had
// just been typed.
func (e *Entry) Retype(text string) {
	e.strokes += max(len([]rune(text)), 2)
	e.Entry.SetText(text)
}

// Typing has the entries beneath an object tell of each key that changes the text of one.
func Typing(o fyne.CanvasObject, told func()) {
	for _, e := range Entries(o) {
		e.onTyped = told
	}
}

// SetOnKey implements Answering.
func (e *Entry) SetOnKey(f func(*fyne.KeyEvent)) { e.onKey = f }

// AcceptsTab implements fyne.Tabbable.
func (e *Entry) AcceptsTab() bool { return false }

// TypedRune implements fyne.Focusable.
func (e *Entry) TypedRune(r rune) { e.count(func() { e.Entry.TypedRune(r) }) }

// TypedShortcut implements fyne.Shortcutable.
func (e *Entry) TypedShortcut(s fyne.Shortcut) { e.count(func() { e.Entry.TypedShortcut(s) }) }

// moves are the keys that go up and down in a list.
var moves = map[fyne.KeyName]int{fyne.KeyUp: -1, fyne.KeyDown: 1, fyne.KeyPageUp: -8, fyne.KeyPageDown: 8}

// TypedKey implements fyne.Focusable.
func (e *Entry) TypedKey(k *fyne.KeyEvent) {
	if rows, is := moves[k.Name]; is && e.OnMove != nil {
		e.OnMove(rows)
		return
	}
	own := func(k *fyne.KeyEvent) { e.count(func() { e.Entry.TypedKey(k) }) }
	if (e.OnSubmitted != nil || e.MultiLine) && k.Name != fyne.KeyEscape && k.Name != fyne.KeyF1 {
		own(k)
		return
	}
	handOn(k, e.onKey, own)
}

// Entries returns the entries beneath an object, those that are hidden too.
func Entries(o fyne.CanvasObject) (out []*Entry) {
	switch o := o.(type) {
	case interface{ typed() *Entry }:
		return []*Entry{o.typed()}
	default:
		for _, x := range within(o) {
			out = append(out, Entries(x)...)
		}
	}
	return out
}

func (e *Entry) typed() *Entry { return e }
