package window

import (
	"path/filepath"
	"slices"

	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// note is what the strip above the bar says, made anew with the window; nil takes it away.
func (w *Window) note(say func()) {
	if say == nil && w.noted == nil {
		return
	}
	w.noted = say
	if say == nil {
		w.notice.Object.Hide()
	} else {
		say()
	}
	w.win.Content().Refresh() // the board is higher or lower now
}

// answer is something to press in the strip: it takes the strip away.
func (w *Window) answer(icon, id, hint string, do func()) *controls.Press {
	if hint != "" {
		hint = say(hint)
	}
	return controls.NewFramed(icon, say(id), hint, func() {
		w.note(nil)
		w.focusBoard()
		do()
	})
}

// offerLost offers work that was left behind by a program that was killed: that on the file
// that was just opened or, in a window that a file was given to, all of it, since the page
// before any art, which offers it too, is not seen there.
func (w *Window) offerLost() {
	at, all := w.session.At(), w.given
	w.given = false
	w.session.FindLost(func(list []session.Lost) {
		if !w.session.Opened() || !at.SameDocument(w.session.At()) {
			return
		}
		i := slices.IndexFunc(list, func(l session.Lost) bool { return samePath(l.Of, w.session.Origin()) })
		if i < 0 && all && len(list) > 0 {
			i = 0
		}
		if i >= 0 {
			w.noteLost(list[i])
		}
	})
}

func (w *Window) noteLost(l session.Lost) {
	w.note(func() {
		w.notice.Show("save", words.Say("ui-lost", "file", l.Name, "time", words.Time(l.Time)),
			w.answer("", "ui-lost-forget", "ui-lost-forget-hint", func() { w.session.Forget(l) }),
			w.answer("", "ui-lost-later", "ui-lost-later-hint", func() {}),
			w.answer("undo", "ui-lost-open", "", func() { w.leaving(func() { w.session.Recover(l) }) }))
	})
}

// samePath reports whether two paths name one file, as far as can be told without asking the disk.
func samePath(a, b string) bool {
	if a == "" || b == "" {
		return false
	}
	x, errA := filepath.Abs(a)
	y, errB := filepath.Abs(b)
	return errA == nil && errB == nil && x == y
}
