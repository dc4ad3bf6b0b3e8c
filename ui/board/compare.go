package board

import (
	"image"
	"slices"

	"fyne.io/fyne/v2"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/ui/paint"
)

// compareKey is held down for Compare, while the board has the focus.
const compareKey = fyne.KeyC

// Compare shows, while it is on, the other side of what the view is about, in
// the same place and without any mark: of what is cut the art as drawn, and of the
// art what will be pressed. Once sheets are chosen, or mends made, the art looks so
// already, and its other side is how it was drawn. All lie on the blank in its
// colour, and what is pressed has the colours of its sheets. Any gesture and any
// other view end it.
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

// ComparesDrawn reports whether the other side is the art as it was drawn.
func (b *Board) ComparesDrawn() bool {
	return b.mode != Art || recoloured(b.job) || b.exact && changed(b.plan)
}

// changed reports whether mends made a picture otherwise than it was drawn.
func changed(p *fit.Plan) bool { return p != nil && p.Proof.MendedMM2 > 0 }

// mended reports whether the art is to be shown as mends have made it. While it is
// being changed only the layers are known, and they are as they were drawn.
func (r *request) mended() bool {
	return r.mode == Art && r.exact && !r.dragging && changed(r.plan)
}

// recoloured reports whether the sheets that were chosen look other than the art.
func recoloured(j job.Job) bool {
	return slices.ContainsFunc(j.Colours(), func(c colour.RGB) bool { return paint.Pressed(j, c) != c })
}

// other is what is compared with the view: the pieces lie the right way round, as
// the art does.
func (b *Board) other() Mode {
	if b.ComparesDrawn() {
		return Art
	}
	return Fitted
}

// paintPlain paints a picture without marks.
func (p *painter) paintPlain(img *image.RGBA, r *request) {
	if r.mode == Art {
		p.builder.Scene(r.job, r.view.scale, r.view.window()).Compose(img)
	} else {
		p.paintCut(img, r)
	}
	p.tint(img, r)
}

// paintCut paints what is cut, and what a pen draws on it. Of two pieces edge to edge
// neither covers the pixels between them, and the blank would shine through as a line:
// beneath all lies a line around each in its own colour.
func (p *painter) paintCut(img *image.RGBA, r *request) {
	m := p.masksOf(r)
	for _, masks := range [][]*paint.Mask{m.lines, m.fills} {
		for i, k := range masks {
			k.Tint(img, image.Point{}, r.plan.Separations[i].Colour, 255)
		}
	}
	p.paintDrawn(img, r)
}
