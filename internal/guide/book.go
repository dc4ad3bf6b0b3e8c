package guide

import (
	"strconv"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/print"
)

// Colours of print: those of the window's light look.
var (
	inkColour  = colour.RGB{R: 0x1F, G: 0x2A, B: 0x30}
	quiet      = colour.RGB{R: 0x4A, G: 0x58, B: 0x60}
	rule       = colour.RGB{R: 0xCF, G: 0xCA, B: 0xC0}
	accent     = colour.RGB{R: 0x6A, G: 0x3A, B: 0x7C}
	placedGrey = colour.RGB{R: 0xDD, G: 0xDF, B: 0xE0}
	comingGrey = colour.RGB{R: 0x9A, G: 0xA4, B: 0xA9}
)

// Sizes of type in print: captions, text, headings and titles.
var (
	caption = print.Type{Size: 8, Colour: quiet}
	body    = print.Type{Size: 9.5, Colour: inkColour}
	strong  = print.Type{Size: 9.5, Bold: true, Colour: inkColour}
	heading = print.Type{Size: 12.5, Bold: true, Colour: accent}
	title   = print.Type{Size: 20, Bold: true, Colour: inkColour}
)

const (
	// pageMargin is more than desk printers leave white at the edges (some 5 mm).
	pageMargin = 14
	// footRoom is the part of the page under its content that the page number has.
	footRoom = 6
	// gap is the usual distance between things on a page.
	gap = 4.0
	// stepGap is that between steps.
	stepGap = 1.5
)

// book is a document in the making: pages with a foot, filled from above.
type book struct {
	*Guide
	*print.Document
	// y is where the page goes on.
	y float64
}

func newBook(g *Guide, p print.Paper, name string) *book {
	return &book{Guide: g, Document: print.New(p, print.Info{Title: name, Language: g.Words.Tag()})}
}

// room is the part of a page that content goes to.
func (b *book) room() geometry.Rect {
	r := b.Paper().Within(pageMargin)
	r.Max.Y -= footRoom
	return r
}

// page begins a page with its foot: what the job is called, and its number.
func (b *book) page() {
	b.AddPage()
	r := b.Paper().Within(pageMargin)
	number := caption
	number.Align = print.Right
	b.Text(r.Max, strconv.Itoa(b.Pages()), number)
	if lines := b.Lines(b.Title, r.Width()-20, caption); len(lines) > 0 {
		b.Text(geometry.Pt(r.Min.X, r.Max.Y), lines[0], caption)
	}
	b.y = b.room().Min.Y
}

// left is how much of the page is still free.
func (b *book) left() float64 { return b.room().Max.Y - b.y }

// need begins a page unless so much is left of this one.
func (b *book) need(height float64) {
	if b.left() < height {
		b.page()
	}
}

// para writes a paragraph over the whole width, on a page that has room for it.
func (b *book) para(text string, t print.Type) {
	r := b.room()
	b.need(b.Height(text, r.Width(), t))
	b.y = b.Paragraph(geometry.Pt(r.Min.X, b.y), r.Width(), text, t)
}

// head writes a heading, with room for something under it.
func (b *book) head(text string) {
	b.need(heading.Leading() + 4*body.Leading())
	b.para(text, heading)
	b.y += 1
}

// step writes what a step is called and how it is done.
func (b *book) step(what, how string) {
	b.need(b.Height(how, b.room().Width(), body) + strong.Leading())
	b.para(what, strong)
	b.para(how, body)
	b.y += stepGap
}

// box writes a heading and text in a frame.
func (b *book) box(what, how string, line colour.RGB, width float64) {
	r := b.room()
	const pad = 3.0
	t := print.Type{Size: 12, Bold: true, Colour: inkColour}
	h := b.Height(what, r.Width()-2*pad, t) + b.Height(how, r.Width()-2*pad, body) + 2*pad
	b.need(h)
	b.Rect(geometry.RectXYWH(r.Min.X, b.y, r.Width(), h), print.Ink{Line: &line, Width: width})
	y := b.Paragraph(geometry.Pt(r.Min.X+pad, b.y+pad), r.Width()-2*pad, what, t)
	b.Paragraph(geometry.Pt(r.Min.X+pad, y), r.Width()-2*pad, how, body)
	b.y += h + gap
}

// table draws a table over the pages that it takes.
func (b *book) table(columns []print.Column, rows [][]print.Cell) {
	r := b.room()
	t := body
	t.Size = 8.5
	b.y = b.Table(geometry.Pt(r.Min.X, b.y), r.Max.Y, print.Table{Columns: columns, Rows: rows, Type: t, Rule: rule}, func() (geometry.Point, float64) {
		b.page()
		return geometry.Pt(r.Min.X, b.y), r.Max.Y
	}) + gap
}

// swatch is a cell that shows a colour.
func (b *book) swatch(c colour.RGB) print.Cell {
	return print.Cell{Draw: func(r geometry.Rect) { b.square(r.Grow(-0.4), c) }}
}

// square paints a square of a colour, with a line that shows white, too.
func (b *book) square(r geometry.Rect, c colour.RGB) {
	b.Rect(r, print.Ink{Fill: &c, Line: &comingGrey, Width: 0.15})
}

// fitted is the map that shows part of a page in the middle of a place, as large as it
// fits but no larger than most times its size.
func fitted(part, into geometry.Rect, most float64) geometry.Affine {
	scale := most
	if w := part.Width(); w > 0 {
		scale = min(scale, into.Width()/w)
	}
	if h := part.Height(); h > 0 {
		scale = min(scale, into.Height()/h)
	}
	c, to := part.Centre(), into.Centre()
	return geometry.Translate(to.X, to.Y).Mul(geometry.Scale(scale, scale)).Mul(geometry.Translate(-c.X, -c.Y))
}
