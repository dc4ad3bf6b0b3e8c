package window

import (
	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/session"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/dialogs"
	"abut/ui/inspect"
	"abut/ui/theme"
	"abut/ui/verdict"
)

// newAsk makes the host of the dialogs.
func (w *Window) newAsk() {
	o := &w.options
	w.ask = &ask.Host{
		Desk: w.desk, Session: w.session, Prefs: w.prefs, Pick: w.pick, Home: o.Home, State: o.State, Version: o.Version,
		Trouble: w.trouble, OpenFolder: o.OpenFolder, Recolour: w.add.Recolour, MarkCut: w.sheets.MarkCut, PickFolder: w.files.Folder,
		ShowAll:     func() { w.board.ShowAll() },
		ZoomToScale: func(scale float64) { w.board.ZoomToScale(scale) },
		SetMode: func(m theme.Mode) {
			if o.SetMode != nil {
				o.SetMode(m)
			}
			w.bar.Update()
		},
		Rebuild: func() {
			if o.Rebuild != nil {
				o.Rebuild()
			} else {
				w.Rebuild()
			}
		},
	}
}

func (w *Window) askFamily(now string, try func(string), use, drop func()) {
	w.ask.Family(now, ask.Fonts{Try: try, Use: use, Drop: drop})
}

// showWork says what goes on, in the bar and in the dialog that may lie over it;
// nil is for nothing.
func (w *Window) showWork(t *session.Task, st session.State) {
	w.verdict.Work(t, st)
	if t == nil {
		w.desk.SetWork(nil)
		return
	}
	w.desk.SetWork(&dialogs.Work{Text: verdict.Doing(t, st.Job.Settings.Units), Stop: t.Stop})
}

func (w *Window) wireBoard() {
	b, s := w.board, w.session
	b.OnSelect = s.Select
	b.OnDrag = func(dx, dy float64) { w.drag("ui-step-move").Show(session.Moving(s.Selection(), dx, dy)) }
	b.OnMove = func(dx, dy float64) { w.drop("ui-step-move", session.Moving(s.Selection(), dx, dy)) }
	b.OnShape = func(m geometry.Affine) { w.drag("ui-step-shape").Show(session.Shaping(s.Selection(), m)) }
	b.OnShaped = func(m geometry.Affine) { w.drop("ui-step-shape", session.Shaping(s.Selection(), m)) }
	b.OnCancel = func() {
		if w.dragged != nil {
			w.dragged.Drop()
		}
	}
	b.OnNudge = func(dx, dy float64) {
		w.trouble(s.Nudge("nudge", "ui-step-nudge", session.Moving(s.Selection(), dx, dy)))
	}
	b.OnTrouble = func(v any) { w.trouble(session.Fault(v)) }
	b.OnPainted, b.OnDrawn = w.boardPainted, w.boardDrawn
	b.OnShortcut = w.shortcut
	b.OnDelete, b.OnHelp = w.commands.Bound("delete"), w.commands.Bound("guide")
	b.PieceText = func(id fit.PieceID) string { return inspect.PieceText(b.Shown(), id, s.Job()) }
	b.StackedText = func(i int) string {
		plan, _ := s.Plan()
		return inspect.StackedText(plan, i, s.Job())
	}
	b.SpotText = func(i int) string { return w.details.SpotText(i) }
	b.OnSpot = func(i int) { w.details.Choose(i) }
	b.ZoneText = func(z board.Zone) string {
		id := [...]string{"", "ui-zone-peeled", "ui-zone-field", "ui-zone-rim", "ui-zone-whole"}[z]
		if id == "" {
			return ""
		}
		return say(id)
	}
	b.OnContext = w.showContext
	b.OnCompare = func(bool) {
		w.noteView()
		w.commands.Refresh()
		w.bar.Update()
	}
	b.OnDouble = w.pressedTwice
}

// drag returns the draft of what the pointer is dragging. Where something else is
// done meanwhile, what was dragged counts as far as it came, and the pointer has
// let go of it.
func (w *Window) drag(label string) *session.Draft {
	if w.dragged == nil {
		b := w.board
		w.dragged = w.session.Begin(label, func() {
			w.dragged = nil
			b.LetGo()
		})
	}
	return w.dragged
}

// drop makes what was dragged a step.
func (w *Window) drop(label string, edit session.Edit) {
	d := w.drag(label)
	d.Show(edit)
	w.trouble(d.Keep())
}

func (w *Window) wireList() {
	l, s := w.list, w.session
	l.OnSelect = s.Select
	l.OnShortcut = w.shortcut
	l.OnDelete = w.commands.Bound("delete")
	l.OnContext = w.showContext
	l.OnLocked = s.SetLocked
	l.OnShown = s.SetShown
	l.OnKnocks = s.SetKnocks
	l.OnStacks = w.showStacked
	l.OnMove = s.MoveUnder
}
