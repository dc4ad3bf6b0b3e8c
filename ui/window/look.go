package window

import (
	"slices"

	"abut/internal/job"
	"abut/ui/board"
)

// showStacked brings the largest place where a layer stacks into view.
func (w *Window) showStacked(id job.LayerID) {
	plan, _ := w.session.Plan()
	if plan == nil {
		return
	}
	for _, p := range plan.Stacked.Places {
		if slices.Contains(p.Layers, id) {
			w.showView(board.Art)
			w.board.ZoomTo(p.Bounds)
			return
		}
	}
}

// findLayer opens the list, if it is folded, and lets one type a name.
func (w *Window) findLayer() {
	if l, _ := w.panels.Open(); !l {
		w.openLayers(true)
	}
	w.list.FocusFilter()
}

// editText takes whoever types to the words of the selected text, all of them
// marked.
func (w *Window) editText() {
	w.showDetails()
	w.details.EditText()
}

// pressedTwice edits the text among the layers that were pressed.
func (w *Window) pressedTwice(ids []job.LayerID) {
	for _, id := range ids {
		l, _, ok := w.session.Job().Layer(id)
		if _, is := l.Content.(job.Text); ok && is {
			w.session.Select([]job.LayerID{id})
			w.editText()
			return
		}
	}
}
