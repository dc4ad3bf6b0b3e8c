package window

import (
	"strings"

	"abut/internal/fit"
	"abut/internal/words"
	"abut/ui/inspect"
)

// pieceText says which piece the pointer is on.
func (w *Window) pieceText(id fit.PieceID) string {
	plan := w.board.Shown()
	if plan == nil || plan.Piece(id) == nil {
		return ""
	}
	p := plan.Piece(id)
	s, _ := plan.Find(id.Of)
	return strings.Join([]string{
		say("ui-piece", "number", words.Count(plan.Ordinal(id))),
		words.Capital(words.Chosen().Put(s.Called())),
		words.SizeIn(p.Bounds.Width(), p.Bounds.Height(), w.session.Job().Settings.Units),
		w.words().Area(p.AreaMM2),
	}, " · ")
}

// stackedText says which colours lie over each other at a place.
func (w *Window) stackedText(i int) string {
	plan, _ := w.session.Plan()
	if plan == nil || i >= len(plan.Stacked.Places) {
		return ""
	}
	p := &plan.Stacked.Places[i]
	return say("ui-stacked-here", "layers", words.List(inspect.Names(w.session.Job(), p.Layers)), "area", w.words().Area(p.AreaMM2))
}
