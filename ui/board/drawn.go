package board

import (
	"image"
	"math"

	"abut/ui/paint"
)

// penMM is how broad drawn lines are shown: a fine pen's, and never less than a
// pixel.
const penMM = 0.5

// paintDrawn paints what a pen draws on the sheets, where their pieces lie in
// the view at hand.
func (p *painter) paintDrawn(img *image.RGBA, r *request) {
	l := layoutOf(r.mode, r.plan)
	pen := paint.Pen{Width: math.Max(float64(r.density), penMM*r.view.scale)}
	for i := range r.plan.Drawings {
		d := &r.plan.Drawings[i]
		lines := d.Lines.Transform(l.at(d.Separation))
		p.masker.Stroke(lines, pen, r.view.scale, r.view.window()).Tint(img, image.Point{}, d.Colour, 255)
	}
}
