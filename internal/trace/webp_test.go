package trace

import (
	"bytes"
	"encoding/base64"
	"image"
	"testing"
)

// lossyWebP and seeThroughWebP are 16 × 16 pixels made by libwebp: #c81e28 above white, and
// #c81e28 half see-through.
const (
	lossyWebP      = "UklGRjgAAABXRUJQVlA4ICwAAABwAQCdASoQABAAAMASJaACdAFAAAD+9dc///8vLt/52D/7Pf/3Hl//3FAAAA=="
	seeThroughWebP = "UklGRmAAAABXRUJQVlA4WAoAAAAQAAAADwAADwAAQUxQSAoAAAABB9C/iAhERP8DVlA4IDAAAADQAQCdASoQABAAAMASJaACdLoB+AADsAD++TbP/zsGxLteOf/7jy/ceX7jy/9xQAA="
)

// What libwebp's own reader says of these files, to a step of rounding.
func TestWebP_HasTheColoursOfALossyFile(t *testing.T) {
	for _, c := range []struct {
		file string
		x, y int
		want rgba
	}{
		{lossyWebP, 8, 3, rgba{200, 30, 39, 255}}, {lossyWebP, 8, 12, rgba{255, 255, 255, 255}},
		{lossyWebP, 8, 7, rgba{171, 42, 49, 255}}, {lossyWebP, 8, 8, rgba{255, 242, 245, 255}}, // shares of both tints
		{seeThroughWebP, 8, 3, rgba{100, 15, 19, 127}},
	} {
		file, err := base64.StdEncoding.DecodeString(c.file)
		if err != nil {
			t.Fatal(err)
		}
		img, err := decodeWebP(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		p := pictureOf(img)
		if have := p.pix[c.y*p.w+c.x]; apart(have, c.want) > 1 {
			t.Errorf("%d, %d: %v, not %v", c.x, c.y, have, c.want)
		}
	}
}

func TestFullRange_GoesFromBlackToWhiteAndTakesOddSizes(t *testing.T) {
	for level, want := range map[uint8]uint8{0: 0, 16: 0, 126: 128, 235: 255, 255: 255} {
		img := image.NewYCbCr(image.Rect(0, 0, 3, 1), image.YCbCrSubsampleRatio420)
		for i := range img.Y {
			img.Y[i] = level
		}
		for i := range img.Cb {
			img.Cb[i], img.Cr[i] = 128, 128
		}
		for x := range 3 {
			if c := fullRange(img, nil).NRGBAAt(x, 0); c.R != want || c.G != want || c.B != want || c.A != 255 {
				t.Errorf("%d at %d: %v, not %d", level, x, c, want)
			}
		}
	}
}
