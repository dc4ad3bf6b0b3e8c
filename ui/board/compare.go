package board

import (
	"image"

	"fyne.io/fyne/v2"

	"abut/internal/fit"
)

// CompareKey is held down for Compare, while the board has the focus.
const CompareKey = fyne.KeyC

// Compare shows, while it is on, the other side of what the view is about, in
// the same place and without any mark: of the art what will be pressed, of what is
// cut the art as drawn. Both lie on the blank in its colour, and what is pressed
// has the colours of its sheets. Any gesture and any other view end it.
func (b *Board) Compare(on bool) {
	if on = on && b.plan != nil; b.comparing == on {
		return
	}
	b.LetGo()
	b.comparing = on
	b.hover = fit.PieceID{}
	b.hideChip()
	b.placeHandles()
	b.placeLabels()
	b.repaint()
	if b.OnCompare != nil {
		b.OnCompare(on)
	}
}

// Comparing reports whether the other side is shown.
func (b *Board) Comparing() bool { return b.comparing }

// other is what is compared with a view: the pieces lie the right way round, as
// the art does.
func other(m Mode) Mode {
	if m == Art {
		return Fitted
	}
	return Art
}

// paintPlain paints a picture without marks.
func (p *painter) paintPlain(img *image.RGBA, r *request) {
	if r.mode == Art {
		p.builder.Scene(r.job, r.view.scale, r.view.window()).Compose(img)
	} else {
		for i, f := range p.masksOf(r).fills {
			f.Tint(img, image.Point{}, r.plan.Separations[i].Colour, 255)
		}
		p.paintDrawn(img, r)
	}
	p.tint(img, r)
}
