package theme

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"sync"

	"github.com/srwiley/oksvg"
	"github.com/srwiley/rasterx"

	"abut/assets"
)

// Icon returns one of our icons drawn in a colour, px pixels a side. Unknown
// names give an empty picture, which a test forbids.
func Icon(name string, c color.NRGBA, px int) *image.RGBA {
	key := iconKey{name, c, px}
	icons.Lock()
	defer icons.Unlock()
	if img := icons.drawn[key]; img != nil {
		return img
	}
	img := image.NewRGBA(image.Rect(0, 0, max(px, 1), max(px, 1)))
	// Only the program's own pictures are ever given to oksvg: it is not made
	// for files that it doesn't know.
	if svg := assets.IconIn(name, fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)); svg != nil && px > 0 {
		if icon, err := oksvg.ReadIconStream(bytes.NewReader(svg)); err == nil {
			icon.SetTarget(0, 0, float64(px), float64(px))
			icon.Draw(rasterx.NewDasher(px, px, rasterx.NewScannerGV(px, px, img, img.Rect)), float64(c.A)/255)
		}
	}
	if len(icons.drawn) > 500 {
		clear(icons.drawn) // sizes come and go while a window is resized
	}
	icons.drawn[key] = img
	return img
}

type iconKey struct {
	name string
	c    color.NRGBA
	px   int
}

var icons = struct {
	sync.Mutex
	drawn map[iconKey]*image.RGBA
}{drawn: map[iconKey]*image.RGBA{}}
