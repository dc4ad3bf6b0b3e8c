package board

import (
	"image"
	"image/color"

	"abut/geometry"
	"abut/internal/fit"
	"abut/ui/paint"
)

// Thumbnail paints a plan's pieces as large as they fit into a picture of that
// size, in pixels, on white.
func Thumbnail(p *fit.Plan, size image.Point) *image.RGBA {
	img := image.NewRGBA(image.Rectangle{Max: size})
	fill(img, img.Rect, color.NRGBA{255, 255, 255, 255})
	if p == nil || p.Extent.Empty() || p.Extent.Width() == 0 || p.Extent.Height() == 0 {
		return img
	}
	room := geometry.Pt(float64(size.X-8), float64(size.Y-8))
	scale := min(room.X/p.Extent.Width(), room.Y/p.Extent.Height())
	c := p.Extent.Centre()
	to := geometry.Translate(float64(size.X)/2/scale-c.X, float64(size.Y)/2/scale-c.Y)
	var m paint.Masker
	for i := range p.Separations {
		s := &p.Separations[i]
		m.Path(s.Outline.Transform(to), geometry.EvenOdd, scale, img.Rect).Tint(img, image.Point{}, s.Colour, 255)
	}
	return img
}
