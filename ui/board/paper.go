package board

import (
	"image"
	"image/color"

	"abut/geometry"
	"abut/internal/colour"
	"abut/ui/paint"
)

// paper returns an image of the world pixels with the board's ground and the
// blank on it.
func (p *painter) paper(r *request, box image.Rectangle) *image.RGBA {
	img := p.bare(r, box)
	if r.mode == Art || r.mode == Fitted {
		paintGrid(img, r)
	}
	return img
}

func (p *painter) bare(r *request, box image.Rectangle) *image.RGBA {
	img := image.NewRGBA(box)
	fill(img, box, r.ground)
	if r.paper.Empty() {
		return img
	}
	if b := r.job.Settings.BlankShape; b != nil && b.Round {
		edge := p.blankPath(r, 0)
		p.masker.Stroke(edge, paint.Pen{Width: 4 * float64(r.density)}, r.view.scale, box).Tint(img, image.Point{}, colour.RGB{}, 26)
		p.masker.Path(edge, geometry.NonZero, r.view.scale, box).Tint(img, image.Point{}, colour.White, 255)
		return img
	}
	sheet := paint.BoxPx(r.paper, r.view.scale)
	d := r.density
	// A soft edge below and around, so that white paper lies on the board.
	for k, a := range []uint8{10, 14, 20} {
		g := (3 - k) * d
		o := image.Rect(sheet.Min.X-g, sheet.Min.Y-g+d, sheet.Max.X+g, sheet.Max.Y+g+d)
		// Only the rim shows.
		shade(img, image.Rect(o.Min.X, o.Min.Y, o.Max.X, sheet.Min.Y), a)
		shade(img, image.Rect(o.Min.X, sheet.Max.Y, o.Max.X, o.Max.Y), a)
		shade(img, image.Rect(o.Min.X, sheet.Min.Y, sheet.Min.X, sheet.Max.Y), a)
		shade(img, image.Rect(sheet.Max.X, sheet.Min.Y, o.Max.X, sheet.Max.Y), a)
	}
	fill(img, sheet, color.NRGBA{255, 255, 255, 255})
	return img
}

func fill(img *image.RGBA, r image.Rectangle, c color.NRGBA) {
	r = r.Intersect(img.Rect)
	if r.Empty() {
		return
	}
	first := img.Pix[img.PixOffset(r.Min.X, r.Min.Y):][:4*r.Dx()]
	for i := 0; i < len(first); i += 4 {
		first[i], first[i+1], first[i+2], first[i+3] = c.R, c.G, c.B, 255
	}
	for y := r.Min.Y + 1; y < r.Max.Y; y++ {
		copy(img.Pix[img.PixOffset(r.Min.X, y):], first)
	}
}

// shade darkens a rectangle by a/255.
func shade(img *image.RGBA, r image.Rectangle, a uint8) {
	r = r.Intersect(img.Rect)
	if r.Empty() {
		return
	}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		row := img.Pix[img.PixOffset(r.Min.X, y):][:4*r.Dx()]
		for i := range row {
			if i&3 != 3 {
				row[i] = uint8(uint32(row[i]) * (255 - uint32(a)) / 255)
			}
		}
	}
}
