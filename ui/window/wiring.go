package window

import (
	"abut/geometry"
	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/board"
)

func (w *Window) wireBoard() {
	b, s := w.board, w.session
	b.OnSelect = s.Select
	b.OnDrag = func(dx, dy float64) { s.Preview(w.moving(dx, dy)) }
	b.OnMove = func(dx, dy float64) { w.do("ui-step-move", w.moving(dx, dy)) }
	b.OnCancel = s.CancelPreview
	b.OnNudge = func(dx, dy float64) {
		if err := s.Nudge("nudge", "ui-step-nudge", w.moving(dx, dy)); err != nil {
			w.trouble(err)
		}
	}
	b.OnTrouble = func(v any) { w.trouble(session.Fault(v)) }
	b.OnPainted = w.boardPainted
	b.OnShortcut = w.shortcut
	b.OnDelete = w.commands.Bound("delete")
	b.PieceText = w.pieceText
	b.StackedText = w.stackedText
	b.SpotText = w.spotText
	b.OnSpot = func(i int) { w.weak.choose(i) }
	b.ZoneText = func(z board.Zone) string {
		id := [...]string{"", "ui-zone-peeled", "ui-zone-field", "ui-zone-rim", "ui-zone-whole"}[z]
		if id == "" {
			return ""
		}
		return say(id)
	}
	b.OnShape = func(m geometry.Affine) { s.Preview(w.shaping(m)) }
	b.OnShaped = func(m geometry.Affine) { w.do("ui-step-shape", w.shaping(m)) }
	b.OnContext = w.showContext
	b.OnDouble = w.pressedTwice
}

// moving is the edit that moves the selection.
func (w *Window) moving(dx, dy float64) session.Edit {
	ids := w.session.Selection()
	return func(j job.Job) (job.Job, error) { return job.MoveLayers(j, ids, dx, dy) }
}

// shaping is the edit that scales or turns the selection.
func (w *Window) shaping(m geometry.Affine) session.Edit {
	ids := w.session.Selection()
	return func(j job.Job) (job.Job, error) { return job.TransformLayers(j, ids, m) }
}

func (w *Window) wireList() {
	l, s := w.list, w.session
	l.OnSelect = s.Select
	l.OnShortcut = w.shortcut
	l.OnDelete = w.commands.Bound("delete")
	l.OnContext = w.showContext
	l.OnLocked = w.lock
	l.OnShown = w.showLayers
	l.OnKnocks = w.setKnocks
	l.OnStacks = w.showStacked
	l.OnMove = func(ids []job.LayerID, under job.LayerID) {
		w.order(ids, func(j job.Job) (job.Job, error) { return job.MoveUnder(j, ids, under) })
	}
}
