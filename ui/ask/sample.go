package ask

import (
	"image"
	"image/color"

	"abut/geometry"
	"abut/internal/job"
	"abut/ui/paint"
	"abut/ui/theme"
)

const (
	// nameHigh is the size of type that fonts are shown in, in units.
	nameHigh = 18
	// namePx is how many pixels of a name go on a unit: sharp on screens of twice the
	// density, and hardly dearer.
	namePx = 2
)

// nameIn paints a name whose outline is 1 mm large as a row of a list shows it, in
// the colour of text; nil for nothing. What is too long for the row is cut off.
func nameIn(outline []job.Shape) *image.NRGBA {
	var path geometry.Path
	for _, s := range outline {
		path = append(path, s.Path...)
	}
	if len(path) == 0 {
		return nil
	}
	box := path.Bounds()
	wide := min(int(box.Width()*nameHigh)+4, fontsWide-36)
	img := image.NewNRGBA(image.Rect(0, 0, wide*namePx, fontRowHigh*namePx))
	// The baseline two thirds down leaves room for what hangs beneath it.
	place := geometry.Translate(2.0/nameHigh-box.Min.X, fontRowHigh*0.67/nameHigh)
	m := new(paint.Masker).Path(path.Transform(place), geometry.NonZero, nameHigh*namePx, img.Rect)
	c := theme.Current().Text
	for y := m.Box.Min.Y; y < m.Box.Max.Y; y++ {
		for x := m.Box.Min.X; x < m.Box.Max.X; x++ {
			img.SetNRGBA(x, y, color.NRGBA{R: c.R, G: c.G, B: c.B, A: m.At(image.Pt(x, y))})
		}
	}
	return img
}
