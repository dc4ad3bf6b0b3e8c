package board

import (
	"image"
	"image/color"
	"math"

	"abut/geometry"
	"abut/internal/colour"
	"abut/ui/paint"
	"abut/ui/theme"
)

// blankPath is the blank's edge as the view shows it, moved inwards by inset
// millimetres.
func (p *painter) blankPath(r *request, inset float64) geometry.Path {
	b := *r.job.Settings.BlankShape
	b.At = r.paper.Centre()
	return b.Outline(inset)
}

// tint multiplies what lies on the blank by the blank's colour, as dye does: it
// is transparent, and there is no white.
func (p *painter) tint(img *image.RGBA, r *request) {
	c := r.job.Settings.BlankColour()
	if c == colour.White || r.paper.Empty() {
		return
	}
	edge := r.paper.Path()
	if r.job.Settings.BlankShape != nil {
		edge = p.blankPath(r, 0)
	}
	m := p.masker.Path(edge, geometry.NonZero, r.view.scale, img.Rect)
	box := m.Box.Intersect(img.Rect)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		row := img.Pix[img.PixOffset(box.Min.X, y):][:4*box.Dx()]
		for x := range box.Dx() {
			a := uint32(m.At(image.Pt(box.Min.X+x, y)))
			for k, v := range [3]uint8{c.R, c.G, c.B} {
				by := 255 - (255-uint32(v))*a/255
				row[4*x+k] = uint8((uint32(row[4*x+k])*by + 127) / 255)
			}
		}
	}
}

// paintSafe draws the safe area's edge, where the art should end.
func (p *painter) paintSafe(img *image.RGBA, r *request) {
	b := r.job.Settings.BlankShape
	if b == nil || b.SafeMM <= 0 {
		return
	}
	d := float64(r.density)
	line := p.blankPath(r, b.SafeMM)
	p.masker.Stroke(line, paint.Pen{Width: 3 * d}, r.view.scale, r.view.window()).Tint(img, image.Point{}, colourOf(theme.MarkLight), 160)
	p.masker.Stroke(line, paint.Pen{Width: d, Dash: []float64{2 * d, 4 * d}}, r.view.scale, r.view.window()).Tint(img, image.Point{}, colourOf(theme.MarkDark), 255)
}

// endsSeen is how much of the art's colour is seen where it is repeated, of 255.
const endsSeen = 90

// paintEnds repeats the art faintly beyond both ends of a blank that is wrapped around:
// there they meet.
func (p *painter) paintEnds(img *image.RGBA, r *request) {
	b := r.job.Settings.BlankShape
	if b == nil || b.AroundMM <= 0 || r.paper.Empty() {
		return
	}
	sheet := paint.BoxPx(r.paper, r.view.scale)
	around := int(math.Round(b.AroundMM * r.view.scale))
	for i, by := range [2]int{-around, around} {
		strip := sheet.Add(image.Pt(by, 0)).Intersect(img.Rect)
		if strip.Empty() {
			continue
		}
		// As the art is where it really lies, and seen there.
		end := image.NewRGBA(strip.Sub(image.Pt(by, 0)))
		fill(end, end.Rect, color.NRGBA{255, 255, 255, 255})
		scene := p.ends[i].Scene(r.job, r.view.scale, end.Rect)
		scene.Pressed = true
		scene.Compose(end)
		for y := strip.Min.Y; y < strip.Max.Y; y++ {
			from := end.Pix[end.PixOffset(strip.Min.X-by, y):][:4*strip.Dx()]
			to := img.Pix[img.PixOffset(strip.Min.X, y):][:4*strip.Dx()]
			for k := range to {
				to[k] = uint8((uint32(to[k])*(255-endsSeen) + uint32(from[k])*endsSeen) / 255)
			}
		}
	}
}
