package trace

import (
	"image"
	"image/draw"
)

// rgba is a colour of 8 bits a channel, premultiplied: so a pixel on an edge lies
// on the straight line between the colours of both sides, bare ones included.
type rgba [4]uint8

// picture is a picture of pixels, row by row from the top.
type picture struct {
	w, h int
	pix  []rgba
	// several: the file has more pictures than this one.
	several bool
	// profiled: the file says that its colours are others than sRGB, and was not understood.
	profiled bool
}

func newPicture(w, h int) *picture { return &picture{w: w, h: h, pix: make([]rgba, w*h)} }

// blank returns a picture as large and from the same file, with nothing on it.
func (p *picture) blank() *picture {
	q := newPicture(p.w, p.h)
	q.several, q.profiled = p.several, p.profiled
	return q
}

func pictureOf(img image.Image) *picture {
	b := img.Bounds()
	p := newPicture(b.Dx(), b.Dy())
	if of, ok := img.(*image.RGBA); ok {
		for y := range p.h {
			at := of.PixOffset(b.Min.X, b.Min.Y+y)
			row := of.Pix[at : at+4*p.w]
			for x := range p.w {
				p.pix[y*p.w+x] = rgba(row[4*x : 4*x+4])
			}
		}
		return p
	}
	// A row at a time, for the library knows the quick way from each kind.
	row := image.NewRGBA(image.Rect(0, 0, b.Dx(), 1))
	for y := range p.h {
		draw.Draw(row, row.Rect, img, image.Pt(b.Min.X, b.Min.Y+y), draw.Src)
		for x := range p.w {
			p.pix[y*p.w+x] = rgba(row.Pix[4*x : 4*x+4])
		}
	}
	return p
}

// each visits the pixels no further than so many from one.
func (p *picture) each(i int32, far int, visit func(j int32)) {
	x, y := int(i)%p.w, int(i)/p.w
	for v := max(y-far, 0); v <= min(y+far, p.h-1); v++ {
		for u := max(x-far, 0); u <= min(x+far, p.w-1); u++ {
			visit(int32(v*p.w + u))
		}
	}
}
