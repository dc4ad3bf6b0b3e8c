package window

import (
	"bytes"

	"fyne.io/fyne/v2"

	"abut/assets"
	"abut/internal/session"
	"abut/ui/files"
)

// Open opens a file.
func (w *Window) Open(path string) { w.leaving(func() { w.session.Open(path) }) }

// OpenDemo opens one of the program's own pictures.
func (w *Window) openDemo(d assets.Demo) {
	w.leaving(func() { w.openDemoNow(d) })
}

func (w *Window) openDemoNow(d assets.Demo) {
	w.session.OpenSVG(say("demo-"+d.ID), bytes.NewReader(d.SVG))
}

// keepTyped has what is typed in dialogs be kept with the work in case of a crash, and come back
// where the dialog is opened again after one.
func (w *Window) keepTyped() {
	w.session.KeepTyped(func() (all []session.Typed) {
		for _, t := range w.desk.Typed() {
			all = append(all, session.Typed{In: t.In, Texts: t.Texts})
		}
		return all
	})
	w.desk.OnTyped, w.desk.Again = w.session.Typed, w.session.TakeTyped
}

// leaving does what makes the open document go away, after asking when that
// would lose work. What was typed and asked for is part of that.
func (w *Window) leaving(f func()) {
	w.session.Finish(func() {
		if !w.session.Changed() {
			f()
			return
		}
		why := "ui-leave-why"
		if w.session.State().Exported {
			why = "ui-leave-exported"
		}
		w.ask.Leave(say("ui-leave-title", "file", w.session.Name()), say(why), f)
	})
}

// arrived takes a file that has been read. Where the design that is open was
// edited meanwhile, or a dialog is being filled in, it asks.
func (w *Window) arrived(name string, edited bool, use func()) {
	if !edited && !(w.session.Opened() && w.desk.Open()) {
		use()
		return
	}
	w.ask.Leave(say("open-ready-title", "name", w.session.Name(), "file", name), say("open-ready-why", "file", name), func() {
		w.desk.Clear()
		use()
	})
}

// quit closes all windows, each after asking when that would lose work.
func (w *Window) quit() {
	if w.options.Quit != nil {
		w.options.Quit()
		return
	}
	w.Close(nil)
}

// Close closes the window, after asking when that would lose work; then, unless
// one stays, it calls after, which may be nil.
func (w *Window) Close(after func()) {
	w.desk.Leave(func() { w.leaving(func() { w.close(after) }) })
}

func (w *Window) close(after func()) {
	size := w.win.Canvas().Size()
	w.prefs.SetFloat(prefWidth, float64(size.Width))
	w.prefs.SetFloat(prefHeight, float64(size.Height))
	w.hints.Drop()
	w.endClass()
	w.endGuide()
	w.win.SetCloseIntercept(nil)
	w.win.Hide()
	w.session.OnChange = nil // nobody looks any more
	w.session.Close()        // and with it what was kept in case of a crash
	w.session.Park(func() {
		w.win.Close()
		if w.options.OnClosed != nil {
			w.options.OnClosed()
		}
		if after != nil {
			after()
		}
	})
}

// Trouble says what went wrong, if anything did, and what can be done about it.
func (w *Window) Trouble(err error) { w.trouble(err) }

// Park puts everything down, as session.Park does, and leaves the window as it
// is.
func (w *Window) Park(parked func()) { w.session.Park(parked) }

func (w *Window) askOpen() { w.files.Open(files.Pictures, w.Open) }

func (w *Window) askEmpty() { w.leaving(w.ask.Empty) }

// Show brings the window to the front.
func (w *Window) Show() { w.win.Show(); w.win.RequestFocus() }

// Size returns the size that the window had when it was last closed.
func Size(p fyne.Preferences) fyne.Size {
	w, h := p.FloatWithFallback(prefWidth, 1280), p.FloatWithFallback(prefHeight, 800)
	return fyne.NewSize(float32(min(max(w, 640), 8000)), float32(min(max(h, 480), 5000)))
}

// typedKey gets the keys while nothing has the focus.
func (w *Window) typedKey(k *fyne.KeyEvent) {
	switch {
	case w.desk.TypedKey(k):
	case k.Name == fyne.KeyF1:
		w.commands.Run("guide")
	case w.session.Opened() && w.win.Canvas().Overlays().Top() == nil:
		w.board.TypedKey(k)
	}
}

// focusBoard gives the board the keys, without the ring that shows whoever goes
// about by keyboard where they are.
func (w *Window) focusBoard() {
	w.board.ExpectFocus()
	w.win.Canvas().Focus(w.board)
}
