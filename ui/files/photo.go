package files

import (
	"errors"
	"image"
	_ "image/gif"
	_ "image/jpeg"
	_ "image/png"
	"os"

	"golang.org/x/image/draw"

	"abut/internal/message"
	"abut/internal/workshop"
)

// maxPhotoPx is how many pixels a photo may have: those of any camera, at 4 bytes
// each no more memory than the program has at hand.
const maxPhotoPx = 120_000_000

// ReadPhoto reads a picture of pixels: PNG, JPEG or GIF. Errors are *workshop.Error.
func ReadPhoto(path string) (image.Image, error) {
	fail := func(err error) (image.Image, error) {
		return nil, &workshop.Error{Message: message.Message{ID: "photo-unreadable"}, Err: err}
	}
	f, err := os.Open(path)
	if err != nil {
		return fail(err)
	}
	defer f.Close()
	c, _, err := image.DecodeConfig(f)
	if err != nil {
		return fail(err)
	}
	if c.Width*c.Height > maxPhotoPx {
		return fail(errors.New("too many pixels"))
	}
	if _, err := f.Seek(0, 0); err != nil {
		return fail(err)
	}
	img, _, err := image.Decode(f)
	if err != nil {
		return fail(err)
	}
	return img, nil
}

// Within returns a picture scaled down to fit into a square of so many pixels.
func Within(img image.Image, side int) image.Image {
	b := img.Bounds()
	most := max(b.Dx(), b.Dy())
	if most <= side {
		return img
	}
	out := image.NewRGBA(image.Rect(0, 0, max(1, b.Dx()*side/most), max(1, b.Dy()*side/most)))
	draw.ApproxBiLinear.Scale(out, out.Rect, img, b, draw.Src, nil)
	return out
}
