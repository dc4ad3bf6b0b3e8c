package controls

import (
	"image"
	"image/color"
	"image/draw"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/ui/theme"
)

// Tone picks a colour of the palette in use.
type Tone func(*theme.Palette) color.NRGBA

// The usual tones.
var (
	Text     Tone = func(p *theme.Palette) color.NRGBA { return p.Text }
	Quiet    Tone = func(p *theme.Palette) color.NRGBA { return p.Quiet }
	Accent   Tone = func(p *theme.Palette) color.NRGBA { return p.Accent }
	OnAccent Tone = func(p *theme.Palette) color.NRGBA { return p.OnAccent }
	Ready    Tone = func(p *theme.Palette) color.NRGBA { return p.Ready }
	Care     Tone = func(p *theme.Palette) color.NRGBA { return p.Care }
)

// NewIcon returns one of our icons as an object of the given side, drawn sharp
// at any scale. name and tone are asked at every drawing.
func NewIcon(side float32, name func() string, tone func() color.NRGBA) *canvas.Raster {
	r := canvas.NewRaster(func(w, h int) image.Image {
		img := image.NewRGBA(image.Rect(0, 0, w, h))
		s := min(w, h)
		if n := name(); n != "" && s > 0 {
			icon := theme.Icon(n, tone(), s)
			at := image.Pt((w-s)/2, (h-s)/2)
			draw.Draw(img, icon.Rect.Add(at), icon, image.Point{}, draw.Src)
		}
		return img
	})
	r.ScaleMode = canvas.ImageScalePixels
	r.SetMinSize(fyne.NewSquareSize(side))
	return r
}
