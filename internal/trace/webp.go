package trace

import (
	"image"
	"io"

	"golang.org/x/image/webp"
)

// decodeWebP is webp.Decode with the colours that a lossy file means: its brightness goes from
// 16 to 235 (RFC 6386, 9.2; ITU-R BT.601), and the library hands it on as if it were JPEG's,
// from 0 to 255. White was a light grey that was cut, and black no black.
func decodeWebP(r io.Reader) (image.Image, error) {
	img, err := webp.Decode(r)
	if err != nil {
		return nil, err
	}
	switch of := img.(type) {
	case *image.YCbCr:
		return fullRange(of, nil), nil
	case *image.NYCbCrA:
		return fullRange(&of.YCbCr, of), nil
	}
	return img, nil
}

// fullRange returns a picture of 4:2:0 whose channels are of video range; alpha, where it is
// not nil, has its opacity.
func fullRange(of *image.YCbCr, alpha *image.NYCbCrA) *image.NRGBA {
	b := of.Rect
	out := image.NewNRGBA(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		row := out.Pix[out.PixOffset(b.Min.X, y):]
		for x := b.Min.X; x < b.Max.X; x++ {
			cb, cr := chroma(of, x, y)
			p := row[4*(x-b.Min.X):]
			// In 1/65536: 255/219 of brightness, and what BT.601 has of each tint in 255/224.
			l := 76309*(int32(of.Y[of.YOffset(x, y)])-16) + 1<<15
			p[0], p[1], p[2], p[3] = byteOf(l+104597*cr), byteOf(l-25675*cb-53279*cr), byteOf(l+132201*cb), 255
			if alpha != nil {
				p[3] = alpha.A[alpha.AOffset(x, y)]
			}
		}
	}
	return out
}

// chroma returns how much blue and red there is at a pixel beyond grey: there is one value for
// four pixels, in their middle, so that its neighbours have a share in it, as browsers do it.
func chroma(of *image.YCbCr, x, y int) (cb, cr int32) {
	// beside is the pixel beyond which the next value lies.
	beside := func(at, low, high int) int { return min(max(at+at&1*2-1, low), high-1) }
	u, v := beside(x, of.Rect.Min.X, of.Rect.Max.X), beside(y, of.Rect.Min.Y, of.Rect.Max.Y)
	a, b, c, d := of.COffset(x, y), of.COffset(u, y), of.COffset(x, v), of.COffset(u, v)
	mean := func(of []uint8) int32 {
		return (9*int32(of[a])+3*int32(of[b])+3*int32(of[c])+int32(of[d])+8)>>4 - 128
	}
	return mean(of.Cb), mean(of.Cr)
}

// byteOf is a value in 1/65536 as a channel.
func byteOf(v int32) uint8 { return uint8(min(max(v>>16, 0), 255)) }
