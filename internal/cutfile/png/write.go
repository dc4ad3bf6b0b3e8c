// Package png paints what a page becomes once it is put together, as a PNG for
// a shop's page: as it looks on the blank, so not mirrored, and transparent where
// the blank shows.
package png

import (
	"image"
	"image/color"
	"image/draw"
	encoder "image/png"
	"io"
	"math"

	"golang.org/x/image/vector"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
)

// longerPx is the picture's longer side: sharp where shops show their goods large.
const longerPx = 1600

// Write paints the page's pieces with what is drawn on them; frame and marks are
// peeled off before the press and are not in it. The error is the writer's.
func Write(w io.Writer, page *cutfile.Page) error { return encoder.Encode(w, Picture(page, longerPx)) }

// Picture is what Write writes, with its longer side at so many pixels.
func Picture(page *cutfile.Page, longer int) *image.NRGBA {
	paths := make([]geometry.Path, len(page.Separations))
	all := geometry.EmptyRect()
	back := geometry.MirrorX(page.Width.MM())
	for i := range page.Separations {
		for _, c := range page.Separations[i].Contours {
			paths[i] = append(paths[i], c.MM())
		}
		paths[i] = paths[i].Transform(back)
		all = all.Union(paths[i].Bounds())
	}
	scale := float64(longer) / all.Longer()
	m := geometry.Scale(scale, scale).Mul(geometry.Translate(-all.Min.X, -all.Min.Y))
	p := newPainter(pixels(all.Width()*scale), pixels(all.Height()*scale))
	// The last that is laid lies on top; where colours only touch it makes no difference.
	for i := len(paths) - 1; i >= 0; i-- {
		p.fill(paths[i].Transform(m))
		p.beneath(page.Separations[i].Colour)
	}
	out := p.picture()
	for _, d := range page.Drawings {
		p.lines(drawn(d.Lines).Transform(m.Mul(back)), cutfile.PenMM*scale)
		p.over(out, d.Colour)
	}
	return out
}

// Sheet paints what is cut from the page's separation i as it lies on the mat, so
// mirrored, in its colour and with every line of the knife. It is the whole page, its
// longer side at so many pixels.
func Sheet(page *cutfile.Page, i, longerPx int) image.Image {
	scale := float64(longerPx) / math.Max(page.Width.MM(), page.Height.MM())
	p := newPainter(pixels(page.Width.MM()*scale), pixels(page.Height.MM()*scale))
	s, m := &page.Separations[i], geometry.Scale(scale, scale)
	var pieces, knife geometry.Path
	for _, c := range s.Contours {
		pieces = append(pieces, c.MM())
	}
	p.fill(pieces.Transform(m))
	p.beneath(s.Colour)
	out := p.picture()
	knife = append(knife, pieces...)
	for _, c := range s.Marks {
		knife = append(knife, c.MM())
	}
	for _, c := range s.Weeding {
		open := c.MM()
		open.Closed = false
		knife = append(knife, open)
	}
	for _, c := range []*cutfile.Contour{s.Box, s.Frame} {
		if c != nil {
			knife = append(knife, c.MM())
		}
	}
	p.lines(knife.Transform(m), knifePx)
	p.over(out, knifeColour)
	return out
}

// knifePx is how broad lines of the knife look: a hair, in a grey that shows on any
// sheet.
const knifePx = 1.2

var knifeColour = colour.RGB{R: 96, G: 96, B: 96}

func drawn(lines []cutfile.Line) (out geometry.Path) {
	for _, l := range lines {
		c := l.MM()
		c.Closed = l.Closed
		out = append(out, c)
	}
	return out
}

func newPainter(w, h int) painter {
	return painter{sums: make([]sum, w*h), mask: image.NewAlpha(image.Rect(0, 0, w, h)), raster: vector.NewRasterizer(w, h)}
}

// over paints a colour through the mask.
func (p *painter) over(out *image.NRGBA, c colour.RGB) {
	draw.DrawMask(out, out.Rect, image.NewUniform(color.NRGBA{c.R, c.G, c.B, 255}), image.Point{}, p.mask, image.Point{}, draw.Over)
}

func pixels(v float64) int { return max(1, int(math.Ceil(v-1e-6))) }

// sum is what covers a pixel so far, each colour times how much of it, and how much
// in all, at most 255.
type sum struct{ r, g, b, a uint16 }

type painter struct {
	sums   []sum
	mask   *image.Alpha
	raster *vector.Rasterizer
}

// smoothPx is how far a chord may lie from its curve.
const smoothPx = 0.05

// fill makes the mask of an outline in pixels, whose inner contours run the other
// way round.
func (p *painter) fill(outline geometry.Path) {
	p.raster.Reset(p.mask.Rect.Dx(), p.mask.Rect.Dy())
	for _, c := range outline.Flatten(smoothPx) {
		p.raster.MoveTo(float32(c.Start.X), float32(c.Start.Y))
		for _, s := range c.Segments {
			p.raster.LineTo(float32(s.End.X), float32(s.End.Y))
		}
		p.raster.ClosePath()
	}
	p.rasterise()
}

func (p *painter) rasterise() {
	p.raster.DrawOp = draw.Src
	p.raster.Draw(p.mask, p.mask.Rect, image.Opaque, image.Point{})
}

// beneath adds a colour where there is room. Sheets share no place, so what they
// cover of a pixel on their common line adds up, and no blank shines through.
func (p *painter) beneath(c colour.RGB) {
	for i, a := range p.mask.Pix {
		s := &p.sums[i]
		if w := min(uint16(a), 255-s.a); w > 0 {
			s.r, s.g, s.b, s.a = s.r+w*uint16(c.R), s.g+w*uint16(c.G), s.b+w*uint16(c.B), s.a+w
		}
	}
}

// nearlyAll is what sheets that share a pixel cover of it at least: each mask may
// miss a step of 255 by rounding, and more than three hardly ever meet.
const nearlyAll = 252

func (p *painter) picture() *image.NRGBA {
	out := image.NewNRGBA(p.mask.Rect)
	for i, s := range p.sums {
		if s.a == 0 {
			continue
		}
		c := out.Pix[4*i : 4*i+4 : 4*i+4]
		c[0], c[1], c[2], c[3] = uint8((s.r+s.a/2)/s.a), uint8((s.g+s.a/2)/s.a), uint8((s.b+s.a/2)/s.a), uint8(s.a)
		if s.a >= nearlyAll {
			c[3] = 255
		}
	}
	return out
}

// lines makes the mask of lines of a breadth, in pixels: a round dot at every corner
// and a bar between two, all one way round, so that none cancels another.
func (p *painter) lines(lines geometry.Path, breadth float64) {
	p.raster.Reset(p.mask.Rect.Dx(), p.mask.Rect.Dy())
	r := breadth / 2
	for _, c := range lines.Flatten(smoothPx) {
		from := c.Start
		p.dot(from, r)
		for _, s := range c.Segments {
			p.bar(from, s.End, r)
			p.dot(s.End, r)
			from = s.End
		}
		if c.Closed {
			p.bar(from, c.Start, r)
		}
	}
	p.rasterise()
}

func (p *painter) dot(c geometry.Point, r float64) {
	const n = 16
	p.polygon(n, func(i int) geometry.Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		return c.Add(geometry.Pt(cos, sin).Mul(r))
	})
}

func (p *painter) bar(a, b geometry.Point, r float64) {
	d := b.Sub(a)
	if d.Len() == 0 {
		return
	}
	side := geometry.Pt(d.Y, -d.X).Mul(r / d.Len())
	corners := [4]geometry.Point{a.Add(side), b.Add(side), b.Sub(side), a.Sub(side)}
	p.polygon(len(corners), func(i int) geometry.Point { return corners[i] })
}

func (p *painter) polygon(n int, corner func(int) geometry.Point) {
	for i := range n {
		q := corner(i)
		if x, y := float32(q.X), float32(q.Y); i == 0 {
			p.raster.MoveTo(x, y)
		} else {
			p.raster.LineTo(x, y)
		}
	}
	p.raster.ClosePath()
}
