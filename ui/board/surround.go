package board

import (
	"image"
	"slices"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
)

// outline brings what is drawn up to date: the job with its surrounds as the
// plan has them. One that is being dragged along stays as it was when the drag
// began, for it is shown shifted.
func (b *Board) outline() {
	old := b.drawn
	b.drawn = b.plan.Outlined(b.job)
	if b.gesture.kind != dragging {
		return
	}
	carried := job.Carried(b.job, b.selection)
	for i, it := range b.drawn.Items {
		for k, l := range it.Layers {
			if !slices.Contains(carried, l.ID) {
				continue
			}
			if was, _, ok := old.Layer(l.ID); ok && b.surrounds(l.ID) {
				if &it.Layers[0] == &b.job.Items[i].Layers[0] {
					continue // the plan has no outlines for it yet
				}
				b.drawn.Items[i].Layers[k] = was
			}
		}
	}
}

func (b *Board) surrounds(id job.LayerID) bool {
	l, _, ok := b.job.Layer(id)
	_, is := l.Content.(job.Surround)
	return ok && is
}

// Seen returns the part of the board that is in view.
func (b *Board) Seen() geometry.Rect {
	return geometry.EmptyRect().Include(b.view.mm(image.Point{})).Include(b.view.mm(b.view.size))
}

// PieceAt returns the plan's piece at a place on the board.
func (b *Board) PieceAt(p geometry.Point) fit.PieceID {
	return pieceAt(b.plan, layoutOf(Art, b.plan), p)
}

// DoubleTapped implements fyne.DoubleTappable.
func (b *Board) DoubleTapped(e *fyne.PointEvent) {
	if hits := b.hitsAt(b.pixel(e.Position)); len(hits) > 0 && b.OnDouble != nil {
		b.OnDouble(hits)
	}
}
