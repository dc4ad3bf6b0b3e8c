// Package pdf writes cut files as PDF at true size: a page for each sheet, or all
// sheets on one page as layers that can be shown and hidden. What is on a page is
// what the SVG of the sheet shows: one filled path, curves as they are; frame and
// marks are lines of their own. There is no text: a cutter would cut it.
package pdf

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"abut/internal/colour"
	"abut/internal/cutfile"
)

// WritePages writes the page's separations, a page each and in order, each followed
// by what is drawn on it. Bookmarks name them. The error is the writer's or the
// library's.
func WritePages(w io.Writer, page *cutfile.Page) error {
	f := begin(page)
	add := func(name string, draw func(*canvas)) {
		f.AddPage()
		f.Bookmark(name, 0, 0)
		show(f, page, draw)
	}
	for i := range page.Separations {
		s := &page.Separations[i]
		add(s.Stem(), func(c *canvas) { c.sheet(s) })
		for _, d := range drawnOn(page, i) {
			add(page.DrawingStem(*d), func(c *canvas) { c.drawing(d) })
		}
	}
	return f.Output(w)
}

// WriteLayers writes one page with a layer for each separation and for what is drawn
// on it.
func WriteLayers(w io.Writer, page *cutfile.Page) error {
	f := begin(page)
	f.OpenLayerPane()
	f.AddPage()
	add := func(name string, draw func(*canvas)) {
		f.BeginLayer(f.AddLayer(name, true))
		show(f, page, draw)
		f.EndLayer()
	}
	for i := range page.Separations {
		s := &page.Separations[i]
		add(s.Stem(), func(c *canvas) { c.sheet(s) })
		for _, d := range drawnOn(page, i) {
			add(page.DrawingStem(*d), func(c *canvas) { c.drawing(d) })
		}
	}
	return f.Output(w)
}

func drawnOn(page *cutfile.Page, sheet int) (out []*cutfile.Drawing) {
	for i := range page.Drawings {
		if page.Drawings[i].Sheet == sheet {
			out = append(out, &page.Drawings[i])
		}
	}
	return out
}

// written stands for the time of writing, which would make the same job other bytes
// each time.
var written = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// begin returns a document whose pages are of the page's size.
func begin(page *cutfile.Page) *fpdf.Fpdf {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: page.Width.MM(), Ht: page.Height.MM()}})
	f.SetCatalogSort(true)
	f.SetCreationDate(written)
	f.SetModificationDate(written)
	f.SetProducer("Abut", false)
	f.SetTitle("mirrored", false)
	return f
}

// The library rounds to hundredths of a point, so paths are written as they are, on
// a page scaled to hundredths of a millimetre: there their two decimals are the steps
// of the page.
const (
	unitsPerMM    = 100
	pointsPerUnit = 72 / 25.4 / unitsPerMM
)

// show draws on the current page of a document, with y down.
func show(f *fpdf.Fpdf, page *cutfile.Page, draw func(*canvas)) {
	c := new(canvas)
	c.put("q %.9f 0 0 %.9f 0 %.6f cm", pointsPerUnit, -pointsPerUnit, page.Height.MM()*72/25.4)
	draw(c)
	c.put("Q")
	f.RawWriteStr(string(c.b))
}

// canvas holds the operators of a page (ISO 32000, 8.5).
type canvas struct{ b []byte }

func (c *canvas) put(format string, values ...any) {
	c.b = append(fmt.Appendf(c.b, format, values...), '\n')
}

// colours sets those of fills and of lines.
func (c *canvas) colours(x colour.RGB) {
	r, g, b := float64(x.R)/255, float64(x.G)/255, float64(x.B)/255
	c.put("%.3f %.3f %.3f rg %.3[1]f %.3[2]f %.3[3]f RG", r, g, b)
}

func (c *canvas) sheet(s *cutfile.Separation) {
	c.colours(s.Colour)
	c.put("10 w") // lines are 0.1 mm broad
	for _, x := range s.Weeding {
		c.line(x.Start, x.Segments)
		c.put("S")
	}
	for _, x := range s.Contours {
		c.contour(x)
	}
	c.put("f*")
	for _, x := range s.Marks {
		c.contour(x)
		c.put("S")
	}
	for _, x := range []*cutfile.Contour{s.Box, s.Frame} {
		if x != nil {
			c.contour(*x)
			c.put("S")
		}
	}
}

func (c *canvas) drawing(d *cutfile.Drawing) {
	c.colours(d.Colour)
	c.put("%d w 1 J 1 j", int(cutfile.PenMM*100))
	for _, l := range d.Lines {
		c.line(l.Start, l.Segments)
		if l.Closed {
			c.put("h")
		}
	}
	c.put("S")
}

func (c *canvas) contour(x cutfile.Contour) {
	segments, closes := x.Cut()
	c.line(x.Start, segments)
	if closes {
		c.put("h")
	}
}

func (c *canvas) line(start cutfile.Point, segments []cutfile.Segment) {
	c.points("m", start)
	for _, s := range segments {
		if s.Cubic {
			c.points("c", s.C1, s.C2, s.End)
		} else {
			c.points("l", s.End)
		}
	}
}

func (c *canvas) points(operator string, points ...cutfile.Point) {
	for _, p := range points {
		for _, v := range []cutfile.Steps{p.X, p.Y} {
			c.b = (v * unitsPerMM).Append(c.b)
			c.b = append(c.b, ' ')
		}
	}
	c.b = append(append(c.b, operator...), '\n')
}
