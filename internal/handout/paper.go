package handout

import (
	"math"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/print"
	"abut/internal/show"
)

// Lengths on paper, in millimetres. All lines are dark, so that copies in grey tell the
// same.
const (
	pageMargin = 15
	hairline   = 0.15
	hatchGap   = 1.1
)

// ink is the colour of type and lines on paper.
var ink = show.LightRoom.Ink

// draw draws a scene into a box of the page; what reaches over its stage is cut off.
// Every shape has an outline, and what stacks is hatched, so that no colour is needed to
// read it.
func draw(d *print.Document, s show.Scene, wide float64, box geometry.Rect) {
	k := math.Min(box.Width()/wide, box.Height()/show.PictureHeight)
	stage := geometry.RectXYWH(box.Centre().X-k*wide/2, box.Min.Y, k*wide, k*show.PictureHeight)
	at := geometry.Translate(stage.Min.X, stage.Min.Y).Mul(geometry.Scale(k, k))
	d.Within(stage, func() {
		for i := range s.Marks {
			m := &s.Marks[i]
			place := at.Mul(m.Place)
			if m.Stacked {
				hatched(d, m.Shape.Path.Transform(place))
				continue
			}
			pen := print.Ink{Line: &ink, Width: hairline}
			if m.Alpha >= 0.5 { // what is seen through is only its outline here
				c := m.Fill.Over(colour.White, m.Alpha)
				pen.Fill = &c
			}
			if m.Width > 0 {
				pen.Width = math.Max(k*m.Width, hairline)
				if m.Dash > 0 {
					pen.Dash = []float64{k * m.Dash, k * m.Dash}
				}
			}
			d.Draw(m.Shape.Path, place, pen)
		}
	})
	d.Rect(stage, print.Ink{Line: &ink, Width: hairline})
}

// hatched draws a path of the page as stacked: diagonals within a strong outline.
func hatched(d *print.Document, path geometry.Path) {
	turn := geometry.Rotate(math.Pi / 4)
	back, _ := turn.Invert()
	flat := path.Flatten(0.02).Transform(turn)
	red := colour.RGB{R: 0xD5, G: 0x18, B: 0x2B}
	d.Draw(path, geometry.Identity(), print.Ink{Fill: &colour.White})
	r := flat.Bounds()
	for y := r.Min.Y + hatchGap/2; y < r.Max.Y; y += hatchGap {
		winding, from := 0, 0.0
		for _, h := range flat.ScanLine(y) {
			if winding == 0 {
				from = h.X
			}
			if winding += h.Winding; winding == 0 && h.X > from {
				d.Line(back.Apply(geometry.Pt(from, y)), back.Apply(geometry.Pt(h.X, y)), print.Ink{Line: &red, Width: 0.45})
			}
		}
	}
	d.Draw(path, geometry.Identity(), print.Ink{Line: &ink, Width: 0.4})
}
