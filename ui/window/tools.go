package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/ui/controls"
)

// tools are the toolbar's actions.
type tools struct {
	open, save, add, undo, redo, knock, frame, mend, export *controls.Press
	work                                                    []fyne.CanvasObject
	row                                                     *fyne.Container
	// seen is what the row was last laid out for.
	seen [3]bool
}

func (w *Window) newTools() fyne.CanvasObject {
	t := &w.tools
	t.open = controls.NewAction("open", say("ui-open"), say("ui-open-hint"), w.askOpen)
	t.save = controls.NewAction("save", say("ui-save"), say("ui-save-hint"), w.save)
	t.add = controls.NewAction("add", say("ui-add"), say("ui-add-hint"), w.showAdd)
	t.undo = controls.NewAction("undo", say("ui-undo"), "", w.undo)
	t.redo = controls.NewAction("redo", say("ui-redo"), "", w.redo)
	t.knock = controls.NewAction("knock-out", say("ui-knock"), say("ui-knock-hint"), w.knockOut)
	t.frame = controls.NewAction("frame", say("ui-frame"), say("ui-frame-hint"), w.toggleFrame)
	t.mend = controls.NewAction("mend", say("ui-mend"), say("ui-mend-hint"), w.mendAll)
	t.export = controls.NewAction("export", say("ui-export"), say("ui-export-hint"), w.export)
	rule := func() fyne.CanvasObject {
		return container.NewGridWrap(fyne.NewSize(1, 28), controls.NewFill(controls.Rule))
	}
	r1, r2 := container.NewCenter(rule()), container.NewCenter(rule())
	t.work = []fyne.CanvasObject{t.save, t.add, t.undo, t.redo, r1, t.knock, t.frame, t.mend, r2, t.export}
	t.row = container.New(&controls.ToolRow{Gap: 4, Yield: []*controls.Press{t.redo, t.undo, t.save, t.open, t.add, t.mend, t.frame}},
		append([]fyne.CanvasObject{t.open}, t.work...)...)
	return controls.NewDock(nil, controls.NewRule(), nil, nil,
		container.New(&controls.Inset{X: 8, Y: 6}, t.row))
}

// updateTools sets what can be done, what is on, and what comes next.
func (w *Window) updateTools(plan *fit.Plan) {
	t, s := &w.tools, w.session
	open := s.Opened()
	for _, o := range t.work {
		if open {
			o.Show()
		} else {
			o.Hide()
		}
	}
	t.open.SetNext(false)
	t.undo.SetEnabled(s.CanUndo())
	t.redo.SetEnabled(s.CanRedo())
	t.undo.Hint, t.redo.Hint = "", ""
	if s.CanUndo() {
		t.undo.Hint = say("ui-undo-what", "step", say(s.UndoLabel()))
	}
	if s.CanRedo() {
		t.redo.Hint = say("ui-redo-what", "step", say(s.RedoLabel()))
	}
	state := fit.Nothing
	framed := false
	if plan != nil {
		state, framed = plan.Verdict.State, plan.Frame != nil
	}
	stacks := state == fit.Trouble && plan.Stacked.AreaMM2 > 0
	t.knock.SetOn(open && allKnock(s.Job()))
	t.knock.SetNext(stacks)
	t.frame.SetOn(framed)
	t.mend.SetEnabled(s.Weak().Open() > 0)
	t.export.SetNext(state == fit.Ready)
	// What is there and what is set bold decide how much room there is for labels.
	if now := [3]bool{open, t.knock.Next, t.export.Next}; now != t.seen {
		t.seen = now
		t.row.Refresh()
	}
}

func allKnock(j job.Job) bool {
	any := false
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if !l.Knocks {
				return false
			}
			any = true
		}
	}
	return any
}

func (w *Window) undo() { w.session.Undo() }
func (w *Window) redo() { w.session.Redo() }

// knockOut lets every layer cut itself out of what lies beneath it, or, when
// all do already, lays them over each other again.
func (w *Window) knockOut() {
	if !w.session.Opened() {
		return
	}
	if allKnock(w.session.Job()) {
		w.do("ui-step-lay-over-all", func(j job.Job) (job.Job, error) { return job.SetKnocks(j, j.LayerIDs(), false) })
		return
	}
	if !w.calm() {
		w.board.FadeChange()
	}
	w.do("ui-step-knock-all", job.KnockOutAll)
}

func (w *Window) toggleFrame() {
	plan, _ := w.session.Plan()
	if plan == nil {
		return
	}
	if plan.Frame != nil {
		w.setFrame(job.FrameNone)
		return
	}
	w.setFrame(job.FrameAlways)
}

func (w *Window) setFrame(m job.FrameMode) {
	if w.session.Opened() && w.session.Job().Settings.Frame.Mode != m {
		w.do("ui-step-frame", func(j job.Job) (job.Job, error) {
			r := j.Settings.Frame
			r.Mode = m
			return job.SetFrame(j, r)
		})
	}
}
