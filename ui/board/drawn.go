package board

import (
	"image"
	"math"

	"abut/internal/cutfile"
	"abut/ui/paint"
	"abut/ui/theme"
)

// paintDrawn paints what a pen draws on the sheets, where their pieces lie in
// the view at hand: never less than a pixel broad.
func (p *painter) paintDrawn(img *image.RGBA, r *request) {
	l := layoutOf(r.mode, r.plan)
	pen := paint.Pen{Width: math.Max(float64(r.density), cutfile.PenMM*r.view.scale)}
	for i := range r.plan.Drawings {
		d := &r.plan.Drawings[i]
		_, sheet := r.plan.Find(d.Of)
		lines := d.Lines.Transform(l.at(sheet))
		p.masker.Stroke(lines, pen, r.view.scale, r.view.window()).Tint(img, image.Point{}, d.Colour, 255)
	}
}

// paintMarks outlines the marks that line film up: on every sheet in their view,
// once where all lies together.
func (p *painter) paintMarks(img *image.RGBA, r *request) {
	if r.plan == nil || len(r.plan.Marks) == 0 {
		return
	}
	l, pen := layoutOf(r.mode, r.plan), paint.Pen{Width: float64(r.density) * 1.5}
	for i := range r.plan.Separations {
		line := r.plan.Marks.Transform(l.at(i))
		p.masker.Stroke(line, pen, r.view.scale, r.view.window()).Tint(img, image.Point{}, colourOf(theme.Light.Quiet), 255)
		if r.mode != Sheets {
			return
		}
	}
}
