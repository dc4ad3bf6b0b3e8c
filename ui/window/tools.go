package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/ui/controls"
)

// tools are the toolbar's actions, by command.
type tools struct {
	press map[string]*controls.Press
	work  []fyne.CanvasObject
	row   *fyne.Container
	// seen is what the row was last laid out for.
	seen [3]bool
}

func (w *Window) newTools() fyne.CanvasObject {
	t := &tools{press: map[string]*controls.Press{}}
	w.tools = t
	for _, id := range []string{"open", "save", "add", "undo", "redo", "knock-all", "frame", "mend-all", "export"} {
		t.press[id] = w.commands.Press(id)
	}
	rule := func() fyne.CanvasObject {
		return container.NewCenter(container.NewGridWrap(fyne.NewSize(1, 28), controls.NewFill(controls.Rule)))
	}
	for _, id := range []string{"save", "add", "undo", "redo", "", "knock-all", "frame", "mend-all", "", "export"} {
		if id == "" {
			t.work = append(t.work, rule())
		} else {
			t.work = append(t.work, t.press[id])
		}
	}
	var yield []*controls.Press
	for _, id := range []string{"redo", "undo", "save", "open", "add", "mend-all", "frame"} {
		yield = append(yield, t.press[id])
	}
	t.row = container.New(&controls.ToolRow{Gap: 4, Yield: yield}, append([]fyne.CanvasObject{t.press["open"]}, t.work...)...)
	return controls.NewDock(nil, controls.NewRule(), nil, nil,
		container.New(&controls.Inset{X: 8, Y: 6}, t.row))
}

// updateTools sets what can be done, what is on, and what comes next.
func (w *Window) updateTools(plan *fit.Plan) {
	t := w.tools
	open := w.session.Opened()
	for _, o := range t.work {
		if open {
			o.Show()
		} else {
			o.Hide()
		}
	}
	w.commands.Refresh()
	state := fit.Nothing
	if plan != nil {
		state = plan.Verdict.State
	}
	t.press["knock-all"].SetNext(state == fit.Trouble && plan.Stacked.AreaMM2 > 0)
	t.press["export"].SetNext(state == fit.Ready)
	// What is there and what is set bold decide how much room there is for labels.
	if now := [3]bool{open, t.press["knock-all"].Next, t.press["export"].Next}; now != t.seen {
		t.seen = now
		t.row.Refresh()
	}
}

// framed reports whether the art has a frame.
func (w *Window) framed() bool {
	plan, _ := w.session.Plan()
	return plan != nil && plan.Frame != nil
}

// knockOut lets every layer cut itself out of what lies beneath it, or, when
// all do already, lays them over each other again.
func (w *Window) knockOut() {
	if w.session.KnocksAll() {
		w.session.LayOverAll()
		return
	}
	if !w.calm() {
		w.board.FadeChange()
	}
	w.session.KnockOutAll()
}

// toggleFrame adds a frame, or takes the one away that is there.
func (w *Window) toggleFrame() {
	if w.framed() {
		w.session.SetFrame(job.FrameNone)
		return
	}
	w.session.SetFrame(job.FrameAlways)
}
