package board

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/fit"
	"abut/internal/job"
)

// MouseIn implements desktop.Hoverable.
func (b *Board) MouseIn(e *desktop.MouseEvent) { b.MouseMoved(e) }

// MouseMoved implements desktop.Hoverable.
func (b *Board) MouseMoved(e *desktop.MouseEvent) {
	if b.gesture.kind != none || b.comparing {
		return
	}
	if b.mode == Art {
		b.hoverArt(e)
		return
	}
	var piece fit.PieceID
	if p := b.pixel(e.Position); p.X >= 0 && p.Y >= 0 {
		piece = pieceAt(b.Shown(), layoutOf(b.mode, b.Shown()), b.view.mm(p))
	}
	if piece != b.hover {
		b.hover = piece
		b.repaint()
	}
	if b.chipSpot(e) {
		return
	}
	text := ""
	if piece != (fit.PieceID{}) && b.PieceText != nil {
		text = b.PieceText(piece)
	} else if p := b.pixel(e.Position); b.mode == Sheets && b.plan != nil && b.ZoneText != nil && p.X >= 0 && p.Y >= 0 {
		text = b.ZoneText(zoneAt(b.Shown(), b.view.mm(p)))
	}
	b.showChip(text, e.Position)
}

// hoverArt says which colours stack under the pointer.
func (b *Board) hoverArt(e *desktop.MouseEvent) {
	text := ""
	if p := b.pixel(e.Position); b.exact && b.plan != nil && b.StackedText != nil && p.X >= 0 && p.Y >= 0 {
		at := b.view.mm(p)
		for i := range b.plan.Stacked.Places {
			if s := &b.plan.Stacked.Places[i]; s.Bounds.Contains(at) && encloses(s.Outline, at) {
				text = b.StackedText(i)
				break
			}
		}
	}
	if text == "" && b.chipSpot(e) {
		return
	}
	b.showChip(text, e.Position)
}

// TappedSecondary implements fyne.SecondaryTappable.
func (b *Board) TappedSecondary(e *fyne.PointEvent) {
	if b.mode != Art || b.OnContext == nil {
		return
	}
	// What is under the pointer is meant, unless it is picked already.
	if hits := b.hitsAt(b.pixel(e.Position)); len(hits) > 0 &&
		!slices.ContainsFunc(hits, func(id job.LayerID) bool { return slices.Contains(b.selection, id) }) {
		b.pick(hits[:1])
	}
	b.OnContext(e.AbsolutePosition)
}

// MouseOut implements desktop.Hoverable.
func (b *Board) MouseOut() {
	if b.hover != (fit.PieceID{}) {
		b.hover = fit.PieceID{}
		b.repaint()
	}
	if !b.Dragging() {
		b.hideChip()
	}
}

// Cursor implements desktop.Cursorable.
func (b *Board) Cursor() desktop.Cursor {
	if b.gesture.kind == panning || b.gesture.space {
		return desktop.PointerCursor
	}
	if b.hoverGrip != noGrip || b.gesture.kind == shaping {
		return desktop.CrosshairCursor
	}
	return desktop.DefaultCursor
}
