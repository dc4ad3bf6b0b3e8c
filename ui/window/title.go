package window

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
