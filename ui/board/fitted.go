package board

import (
	"image"
	"image/color"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/ui/paint"
	"abut/ui/theme"
)

// pieceMasks are the masks of a plan at one zoom.
type pieceMasks struct {
	plan    *fit.Plan
	mode    Mode
	scale   float64
	window  image.Rectangle
	fills   []*paint.Mask
	lines   []*paint.Mask
	stacked *paint.Mask
	piece   fit.PieceID
	own     *paint.Mask
}

// masksOf returns the masks of the plan at the zoom of a request.
func (p *painter) masksOf(r *request) *pieceMasks {
	m, window := &p.pieces, r.view.window()
	if m.plan == r.plan && m.mode == r.mode && m.scale == r.view.scale && window.In(m.window) {
		return m
	}
	at := layoutOf(r.mode, r.plan).at
	wide := window.Inset(-max(window.Dx(), window.Dy()) / 2)
	*m = pieceMasks{plan: r.plan, mode: r.mode, scale: r.view.scale, window: wide}
	for i := range r.plan.Separations {
		o := r.plan.Separations[i].Outline
		if r.mode != Fitted {
			o = o.Transform(at(i))
		}
		m.fills = append(m.fills, p.masker.Path(o, geometry.EvenOdd, r.view.scale, wide))
		m.lines = append(m.lines, p.masker.Stroke(o, paint.Pen{Width: float64(r.density)}, r.view.scale, wide))
	}
	m.stacked = p.masker.Path(r.plan.Stacked.Outline.Transform(at(0)), geometry.EvenOdd, r.view.scale, wide)
	return m
}

// paintFitted paints what is cut: each separation's pieces edge to edge with a
// fine line around each, and what still stacks. The piece under the pointer is
// outlined and the rest dims.
func (p *painter) paintFitted(img *image.RGBA, r *request) {
	m, at := p.masksOf(r), layoutOf(r.mode, r.plan).at
	for i, f := range m.fills {
		f.Tint(img, image.Point{}, r.plan.Separations[i].Colour, 255)
	}
	for i, l := range m.lines {
		c := r.plan.Separations[i].Colour
		l.Tint(img, image.Point{}, contrasting(c), 110)
	}
	p.paintDrawn(img, r)
	if r.mode != Sheets {
		p.tint(img, r)
		p.paintSafe(img, r)
	}
	if r.mode != Sheets && p.counter.CountMask(m.stacked, img.Rect.Inset(-r.density-1)) {
		p.counter.Paint(img, r.density, r.view.origin.Mul(-1))
	}
	p.paintFrame(img, r)
	piece := r.plan.Piece(r.piece)
	if piece == nil {
		return
	}
	s, sheet := r.plan.Find(r.piece.Of)
	if m.piece != r.piece {
		o := piece.Outline.Transform(at(sheet))
		m.piece = r.piece
		m.own = p.masker.Path(o, geometry.EvenOdd, r.view.scale, m.window)
	}
	box := r.paper
	if r.mode == Sheets {
		box = layoutOf(r.mode, r.plan).sheet(sheet)
	}
	dim(img, paint.BoxPx(box, r.view.scale))
	m.own.Tint(img, image.Point{}, s.Colour, 255)
	h := paint.NewHalo(m.own, r.lineWidth())
	h.Paint(img, image.Point{}, colourOf(theme.MarkLight), colourOf(theme.MarkDark))
}

// dim pales a part of the picture towards the blank.
func dim(img *image.RGBA, r image.Rectangle) {
	r = r.Intersect(img.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		row := img.Pix[img.PixOffset(r.Min.X, y):][:4*r.Dx()]
		for i, v := range row {
			if i&3 != 3 {
				row[i] = uint8((uint32(v)*90 + 245*166) / 256)
			}
		}
	}
}

// contrasting returns the line colour that shows on c: dark on light, light on
// dark.
func contrasting(c colour.RGB) colour.RGB {
	if 299*int(c.R)+587*int(c.G)+114*int(c.B) > 110_000 {
		return colour.RGB{}
	}
	return colour.White
}

// pieceAt returns the plan's piece that holds the place, the last that is laid
// there; none where nothing is.
func pieceAt(plan *fit.Plan, l layout, on geometry.Point) fit.PieceID {
	if plan == nil {
		return fit.PieceID{}
	}
	for i := len(plan.Separations) - 1; i >= 0; i-- {
		inv, ok := l.at(i).Invert()
		if !ok {
			continue
		}
		at, s := inv.Apply(on), &plan.Separations[i]
		for n := len(s.Pieces) - 1; n >= 0; n-- {
			if p := &s.Pieces[n]; p.Bounds.Contains(at) && encloses(p.Outline, at) {
				return fit.PieceID{Of: s.Of, N: n}
			}
		}
	}
	return fit.PieceID{}
}

// encloses reports whether the path encloses the point by the even-odd rule.
// Curves count as chords a hundredth of a millimetre fine: a pointer is coarser.
func encloses(p geometry.Path, at geometry.Point) bool {
	return geometry.NewEnclosure(p.Flatten(0.01)).Holds(at)
}

// backing is the colour of a sheet's bare backing, where the dye paper is
// peeled off.
var backing = color.NRGBA{0xF6, 0xF3, 0xEC, 255}

// paintSheets paints each separation's sheet on its card: bare backing where the dye paper
// is peeled, and on the base's, outside the frame line, the rim that still
// carries it.
func (p *painter) paintSheets(img *image.RGBA, r *request) {
	l := layoutOf(Sheets, r.plan)
	for i := range r.plan.Separations {
		sheet := l.sheet(i)
		card, box := paint.BoxPx(l.card(i), r.view.scale), paint.BoxPx(sheet, r.view.scale)
		if !card.Overlaps(img.Rect) {
			continue
		}
		shade(img, card.Inset(-r.density).Add(image.Pt(0, r.density)), 20)
		fill(img, card, r.card)
		shade(img, box.Inset(-r.density), 30)
		fill(img, box, backing)
		if i > 0 || r.plan.Frame == nil {
			continue
		}
		rim := append(sheet.Path(), r.plan.Frame.Outline.Transform(l.at(0))...)
		p.masker.Path(rim, geometry.EvenOdd, r.view.scale, img.Rect).Tint(img, image.Point{}, r.plan.Separations[0].Colour, 110)
	}
}
