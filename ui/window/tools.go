package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/controls"
	"abut/ui/verdict"
)

// tools are the bar above all: the way from a picture to its files, and beside it
// what is wanted at any time.
type tools struct {
	way *verdict.Way
	// beside is what there is only while a design is open.
	beside []fyne.CanvasObject
	row    *fyne.Container
	open   bool
}

// besides are the commands beside the way; an empty one is a rule.
var besides = []string{"", "add", "undo", "redo", "save", "frame", "class"}

func (w *Window) newTools() fyne.CanvasObject {
	t := &tools{way: verdict.NewWay(w.commands)}
	w.tools = t
	var yield []*controls.Press
	for _, id := range besides {
		if id == "" {
			t.beside = append(t.beside, container.NewCenter(container.NewGridWrap(fyne.NewSize(1, 28), controls.NewFill(controls.Rule))))
			continue
		}
		p := w.commands.Press(id)
		t.beside = append(t.beside, p)
		yield = append(yield, p)
	}
	var row []fyne.CanvasObject
	for _, p := range t.way.Presses {
		row = append(row, p)
	}
	// Where room is short the labels go from what is known best by its icon.
	for _, i := range []int{2, 0, 1, 5, 4, 3, 6} {
		yield = append(yield, t.way.Presses[i])
	}
	t.row = container.New(&controls.ToolRow{Gap: 4, Yield: yield}, append(row, t.beside...)...)
	return controls.NewDock(nil, controls.NewRule(), nil, nil, container.New(&controls.Inset{X: 8, Y: 6}, t.row))
}

// updateTools sets what can be done, what is done, and what comes next.
func (w *Window) updateTools(st session.State) {
	t := w.tools
	w.commands.Refresh()
	moved := t.way.Show(st) || t.open != st.Opened
	t.open = st.Opened
	for _, o := range t.beside {
		if st.Opened {
			o.Show()
		} else {
			o.Hide()
		}
	}
	for _, p := range t.way.Presses[1:] {
		p.Hidden = !st.Opened
	}
	if moved {
		t.row.Refresh()
	}
}

// offers tells whether Details highlights what to do next, so that nothing else
// does.
func (w *Window) offers(on bool) {
	w.verdict.SetOffered(on)
	w.tools.way.SetOffered(on)
	w.updateTools(w.state)
}

// framed reports whether the art has a frame.
func (w *Window) framed() bool { return w.state.Plan != nil && w.state.Plan.Frame != nil }

// knockOut lets every layer cut itself out of what lies beneath it, or, when
// all do already, lays them over each other again.
func (w *Window) knockOut() {
	if w.session.KnocksAll() {
		w.session.LayOverAll()
		return
	}
	if !w.ask.Calm() {
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

// see shows the picture as it is, all of it.
func (w *Window) see() {
	w.showView(0)
	w.board.ShowAll()
}

// mend does what there is to do about what is too fine: look for it, mend it, or
// look at what no mend was found for.
func (w *Window) mend() {
	switch k := w.session.Weak(); {
	case k.State == session.WeakStopped:
		w.session.LookAgain()
	case k.Open() > 0 || k.State == session.WeakTooMany:
		w.mendAll()
	default:
		w.nextSpot()
	}
}

// nextSpot looks at the next weak spot, in Details, with what can be done.
func (w *Window) nextSpot() {
	w.showDetails()
	w.details.Next()
}

// sheetsStep leads to fewer sheets where there are too many, else to the sheet of
// each colour.
func (w *Window) sheetsStep() {
	if w.state.EnoughSheets() {
		w.sheets.Colours()
		return
	}
	w.sheets.Fewer()
}
