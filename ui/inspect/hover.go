package inspect

import (
	"strings"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
)

// PieceText says which piece of a plan the pointer is on.
func PieceText(plan *fit.Plan, id fit.PieceID, j job.Job) string {
	if plan == nil || plan.Piece(id) == nil {
		return ""
	}
	p := plan.Piece(id)
	s, _ := plan.Find(id.Of)
	return strings.Join([]string{
		say("ui-piece", "number", words.Count(plan.Ordinal(id))),
		words.Capital(words.Chosen().Put(s.Called())),
		words.SizeIn(p.Bounds.Width(), p.Bounds.Height(), j.Settings.Units),
		in(j).Area(p.AreaMM2),
	}, " · ")
}

// StackedText says which colours lie over each other at a place of a plan.
func StackedText(plan *fit.Plan, i int, j job.Job) string {
	if plan == nil || i >= len(plan.Stacked.Places) {
		return ""
	}
	p := &plan.Stacked.Places[i]
	return say("ui-stacked-here", "layers", words.Few(names(j, p.Layers)), "area", in(j).Area(p.AreaMM2))
}
