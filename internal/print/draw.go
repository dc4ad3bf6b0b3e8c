package print

import (
	"abut/geometry"
	"abut/internal/colour"
)

// Ink is how outlines are painted: filled, drawn along, or both. The zero value
// paints nothing.
type Ink struct {
	// Fill and Line are colours, nil for none.
	Fill, Line *colour.RGB
	// Width is the line's, in millimetres.
	Width float64
	// Dash are lengths of dashes and gaps by turns, in millimetres; nil is solid.
	Dash []float64
	// Round: open lines have round ends, and so have dashes.
	Round bool
	// EvenOdd: what is filled follows the even-odd rule, not the nonzero one.
	EvenOdd bool
}

// Draw paints the path as m puts it on the page. Curves stay curves. Contours
// that are not closed are closed for filling only.
func (d *Document) Draw(path geometry.Path, m geometry.Affine, ink Ink) {
	how := d.use(ink)
	if how == "" || len(path) == 0 {
		return
	}
	for _, c := range path {
		at := m.Apply(c.Start)
		d.pdf.MoveTo(at.X, at.Y)
		for _, s := range c.Segments {
			end := m.Apply(s.End)
			if s.Cubic {
				c1, c2 := m.Apply(s.C1), m.Apply(s.C2)
				d.pdf.CurveBezierCubicTo(c1.X, c1.Y, c2.X, c2.Y, end.X, end.Y)
			} else {
				d.pdf.LineTo(end.X, end.Y)
			}
		}
		if c.Closed {
			d.pdf.ClosePath()
		}
	}
	d.pdf.DrawPath(how)
}

// Rect paints a rectangle.
func (d *Document) Rect(r geometry.Rect, ink Ink) { d.Draw(r.Path(), geometry.Identity(), ink) }

// Line draws a straight line.
func (d *Document) Line(a, b geometry.Point, ink Ink) {
	d.Draw(geometry.Path{{Start: a, Segments: []geometry.Segment{geometry.LineTo(b)}}}, geometry.Identity(), ink)
}

// Within runs draw, of which only what lies in r is painted.
func (d *Document) Within(r geometry.Rect, draw func()) {
	d.pdf.ClipRect(r.Min.X, r.Min.Y, r.Width(), r.Height(), false)
	draw()
	d.pdf.ClipEnd()
}

// use sets colours and line and returns the library's word for the painting, ""
// for none.
func (d *Document) use(ink Ink) string {
	how := ""
	if c := ink.Fill; c != nil {
		d.pdf.SetFillColor(int(c.R), int(c.G), int(c.B))
		how = "F"
	}
	if c := ink.Line; c != nil {
		d.pdf.SetDrawColor(int(c.R), int(c.G), int(c.B))
		d.pdf.SetLineWidth(ink.Width)
		d.pdf.SetDashPattern(ink.Dash, 0)
		d.pdf.SetLineJoinStyle("round")
		if ends := map[bool]string{false: "butt", true: "round"}[ink.Round]; ends != d.ends {
			d.pdf.SetLineCapStyle(ends)
			d.ends = ends
		}
		how += "D"
	}
	if ink.EvenOdd && ink.Fill != nil {
		how += "*"
	}
	return how
}
