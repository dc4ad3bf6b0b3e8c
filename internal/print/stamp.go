package print

import (
	"codeberg.org/go-pdf/fpdf"

	"abut/geometry"
)

// Stamp is a painted outline that is in the document once, however often it is shown.
type Stamp struct {
	form fpdf.Template
	// corner is the upper left one of what it may show.
	corner geometry.Point
}

// form is a template that is named once: the library asks for the name at every use,
// and makes it from all that is drawn.
type form struct {
	fpdf.Template
	id string
}

func (f form) ID() string { return f.id }

// NewStamp paints a path as Draw does, to be shown by Show on any page. What lies
// outside bounds is cut off; lines become broader with what they are drawn along.
func (d *Document) NewStamp(bounds geometry.Rect, path geometry.Path, m geometry.Affine, ink Ink) Stamp {
	t := d.pdf.CreateTemplateCustom(fpdf.PointType{}, fpdf.SizeType{Wd: bounds.Width(), Ht: bounds.Height()}, func(t *fpdf.Tpl) {
		sub := Document{paper: Paper{Width: bounds.Width(), Height: bounds.Height()}, pdf: &t.Fpdf}
		sub.Draw(path, geometry.Translate(-bounds.Min.X, -bounds.Min.Y).Mul(m), ink)
	})
	return Stamp{form{t, t.ID()}, bounds.Min}
}

// Show paints a stamp as m puts it on the page.
func (d *Document) Show(s Stamp, m geometry.Affine) {
	m = m.Mul(geometry.Translate(s.corner.X, s.corner.Y))
	// The same map between points from the page's lower left corner: the library puts the
	// stamp's upper left corner on the page's.
	k, high := d.pdf.GetConversionRatio(), d.paper.Height
	d.pdf.TransformBegin()
	d.pdf.Transform(fpdf.TransformMatrix{A: m.A, B: -m.B, C: -m.C, D: m.D, E: k * (m.C*high + m.E), F: k * (high*(1-m.D) - m.F)})
	d.pdf.UseTemplate(s.form)
	d.pdf.TransformEnd()
}
