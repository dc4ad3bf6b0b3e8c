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
	if l, r := w.panels.Open(); !l {
		w.fold(true, r)
	}
	w.list.FocusFilter()
}
