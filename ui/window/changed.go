package window

import (
	"fyne.io/fyne/v2/canvas"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/layers"
)

// changed brings everything on screen up to date.
func (w *Window) changed(c session.Change) {
	st := w.session.State()
	before := w.state
	w.state = st
	if c == session.PlanChanged && w.board.Dragging() {
		// With the board's next picture: what changes by itself asks the toolkit for
		// a whole new frame.
		w.late = true
		w.board.SetPlan(st.Plan, st.Exact)
		return
	}
	dragging := w.board.Dragging() || w.dragged != nil
	if c&session.OpenedChanged != 0 || c&session.WorkChanged != 0 && w.blank {
		w.opened()
	}
	w.showArt(c, dragging)
	if c&session.JobChanged != 0 && c&session.OpenedChanged == 0 {
		w.edited(before, st)
	}
	w.add.Follow(st)
	if !dragging {
		w.detail(c, before)
	}
	w.follow(c, st)
	w.showWalk()
	w.updateTools(st)
	if !dragging {
		w.bar.Update()
	}
	if c&session.OpenedChanged != 0 && w.session.Opened() {
		w.board.PaintFirst(w.win.Canvas())
	}
}

// follow brings up to date what is said around the work.
func (w *Window) follow(c session.Change, st session.State) {
	if c&session.WorkChanged != 0 {
		w.showWork(w.session.Task(), st)
	}
	if c&(session.OpenedChanged|session.SavedChanged) != 0 {
		w.setTitle()
	}
	if c&session.PlanChanged != 0 {
		w.notePlanned(st)
	}
}

// edited follows a step from one state to another.
func (w *Window) edited(before, st session.State) {
	w.keepOutfit(before.Kept.Settings, st.Kept.Settings)
	if w.passing {
		w.note(nil)
	}
}

// detail brings Details up to date, where art is or was before: before any nobody sees them.
func (w *Window) detail(c session.Change, before session.State) {
	if w.state.Opened || before.Opened {
		w.details.Show(c)
	}
}

// showArt brings board, list and verdict up to date.
func (w *Window) showArt(c session.Change, dragging bool) {
	st := w.state
	if c&session.JobChanged != 0 || c&session.ShownChanged != 0 && !dragging {
		w.board.SetJob(st.Job, st.Plan, st.Exact)
		w.useAids()
	} else if c&session.PlanChanged != 0 {
		w.board.SetPlan(st.Plan, st.Exact)
	}
	if c&(session.JobChanged|session.PlanChanged|session.OpenedChanged) != 0 {
		w.late = false
		w.list.SetRows(layers.RowsOf(st.Kept, st.Plan))
	}
	if c&(session.JobChanged|session.PlanChanged|session.OpenedChanged|session.WeakChanged|session.SavedChanged) != 0 {
		if !dragging {
			w.board.SetCut(st.Cut)
		}
		w.showVerdict()
	}
	if c&session.PlanChanged != 0 {
		w.ask.PlanFound()
	}
	if c&session.WeakChanged != 0 {
		w.ask.WeakFound()
	}
	if c&session.SelectionChanged != 0 {
		w.board.Select(st.Selection)
		w.list.Select(st.Selection)
	}
}

// opened switches between the page before any art and the table.
func (w *Window) opened() {
	w.noNotes()
	if w.session.Opened() {
		w.blank = false
		w.ask.NoteRecent(w.session.Origin())
		w.hideStart()
		w.panels.Show()
		w.board.ShowAll()
		w.list.Reset()
		w.showView(board.Art)
		w.focusBoard()
		w.afterFirst(func() {
			if w.session.Opened() && !w.session.Sized() {
				w.askTraced(w.session.Traced(), w.ask.Size)
			}
			w.session.ForgetTraced()
			w.offerLost()
			w.LookForChanges() // that of a job may have been drawn on since
		})
	} else {
		w.panels.Hide()
		// The page before any art is not drawn while the file is read that it was opened with: that
		// would be another frame before its picture is there.
		if w.blank = w.session.Opening(); w.blank {
			w.hideStart()
		} else {
			w.showStart()
		}
	}
	canvas.Refresh(w.middle)
}

// askTraced asks how the first of some pictures of pixels becomes a drawing, then
// goes on.
func (w *Window) askTraced(items []job.ItemID, then func()) {
	if len(items) == 0 {
		then()
		return
	}
	w.ask.Trace(items[0], then)
}

// lookAtPieces brings a place into view where pieces are to be seen.
func (w *Window) lookAtPieces(r geometry.Rect) {
	if m := w.board.Mode(); m != board.Art && m != board.Fitted {
		w.showView(board.Fitted)
	}
	w.board.ZoomTo(r)
}

// showView switches the board to another view.
func (w *Window) showView(m board.Mode) {
	w.board.View(m)
	w.views.Choose(int(m))
	w.saw(map[board.Mode]string{board.Sheets: "sheets", board.Assembly: "assembly"}[m])
	w.noteView()
	w.bar.Update()
}

// noteView says on the board what a view is, where that is not plain to see.
func (w *Window) noteView() {
	note, short := "", say("board-mirrored")
	switch m := w.board.Mode(); {
	case w.board.Comparing() && w.board.ComparesDrawn():
		note, short = say("board-compare-drawn"), say("board-compare-drawn")
	case w.board.Comparing():
		note, short = say("board-compare-pressed"), say("board-compare-pressed")
	case m == board.Sheets:
		note = say("ui-view-sheets-note")
	case m == board.Assembly:
		note = say("ui-view-assembly-note")
	}
	w.board.SetNote(note, short)
}

// showVerdict says where one stands.
func (w *Window) showVerdict() { w.verdict.Show(w.state) }

// boardPainted brings list and verdict up to the plan that the board's new picture shows.
func (w *Window) boardPainted() {
	if w.late {
		w.late = false
		plan, _ := w.session.Plan()
		w.list.SetRows(layers.RowsOf(w.session.Job(), plan))
		w.showVerdict()
	}
}

// boardDrawn tells that the first picture is ready, once the frame with it is drawn.
func (w *Window) boardDrawn() {
	if w.session.Opened() {
		w.sayReady()
	}
}

// sayReady tells once, when the event loop has finished the frame that it is drawing.
func (w *Window) sayReady() {
	if f := w.ready; f != nil {
		w.ready = nil
		w.options.Deliver(func() {
			f()
			w.details.Release()
			if first := w.first; first != nil {
				w.first = nil
				first()
			}
		})
	}
}

// afterFirst does something at once or, as long as the first picture is not on screen, once it is: a
// dialog over it would be made and drawn before it.
func (w *Window) afterFirst(do func()) {
	if w.ready == nil {
		w.first = nil // of what was opened before
		do()
		return
	}
	w.first = do
}

// TakePreferences brings the window up to what was chosen in another one. The
// document keeps its own units; language and size of type come by Rebuild.
func (w *Window) TakePreferences() {
	w.session.Units = ask.UnitsOf(w.prefs)
	w.aids.Take()
	w.useAids()
	w.bar.Update()
}

// useAids tells the board what is snapped to, and the grid, which follows the units.
func (w *Window) useAids() { w.aids.Use(w.board, w.session.Job().Settings.Units) }

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
