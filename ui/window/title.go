package window

import (
	"abut/internal/session"
)

// setTitle names the document, and says when it has changes that its file does
// not hold.
func (w *Window) setTitle() {
	s := w.session
	switch {
	case !s.Opened():
		w.win.SetTitle(say("ui-title"))
	case s.Changed():
		w.win.SetTitle(say("ui-title-changed", "file", s.Name()))
	default:
		w.win.SetTitle(say("ui-title-open", "file", s.Name()))
	}
}

// recover opens work that a killed process left behind.
func (w *Window) recover(l session.Lost) {
	w.session.Recover(l)
	w.session.FindLost(w.start.SetLost)
}

// forget throws such work away.
func (w *Window) forget(l session.Lost) {
	w.session.Forget(l)
	w.session.FindLost(w.start.SetLost)
}
