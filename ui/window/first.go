package window

import (
	"abut/internal/session"
	"abut/ui/start"
)

// showStart shows the page before any art as things are by now. It is made when it is shown
// first: a window that is opened with a file may never show it.
func (w *Window) showStart() {
	if w.start == nil {
		w.start = start.New(start.Actions{
			Open: w.askOpen, Empty: w.askEmpty, Demo: w.openDemo, Recent: w.Open, Recover: w.session.Recover, Forget: w.forget, Drawn: w.startDrawn,
			Walk: w.commands.Bound("walk"), NoWalk: w.walked,
		})
		w.middle.Add(w.start.Object)
	}
	w.start.SetRecent(w.ask.Recent())
	w.welcome()
	w.findLost()
	w.start.Object.Show()
}

// hideStart takes that page away.
func (w *Window) hideStart() {
	if w.start != nil {
		w.start.Object.Hide()
	}
}

// welcome offers the walk to whoever has not worked here yet.
func (w *Window) welcome() {
	if w.start != nil {
		w.start.SetWelcome(!w.prefs.Bool(prefWalked) && len(w.ask.Recent()) == 0)
	}
}

// findLost offers work that was left behind, as it is by now.
func (w *Window) findLost() {
	page := w.start
	page.SetLost(nil)
	w.session.FindLost(page.SetLost)
}

// forget throws such work away.
func (w *Window) forget(l session.Lost) {
	w.session.Forget(l)
	w.findLost()
}

// startDrawn is called as the first page is drawn.
func (w *Window) startDrawn() {
	if !w.session.Busy() {
		w.sayReady()
	}
}
