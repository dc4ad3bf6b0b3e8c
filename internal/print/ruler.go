package print

import (
	"strconv"

	"abut/geometry"
)

// RulerMM is the length of a ruler.
const RulerMM = 100

// Ruler draws a ruler of 100 mm, its left end at `at`, ticks hanging down, and
// says how long it is in the unit's name at its end. A printer that draws it
// longer or shorter has not printed at true size. It returns where it ends below.
func (d *Document) Ruler(at geometry.Point, unit string, t Type) float64 {
	ink := Ink{Line: &t.Colour, Width: 0.15}
	d.Line(at, at.Add(geometry.Pt(RulerMM, 0)), ink)
	const long, middling, short = 4, 3, 2
	for mm := range RulerMM + 1 {
		tick := float64(short)
		switch {
		case mm%10 == 0:
			tick = long
		case mm%5 == 0:
			tick = middling
		}
		x := at.Add(geometry.Pt(float64(mm), 0))
		d.Line(x, x.Add(geometry.Pt(0, tick)), ink)
		if mm%10 == 0 {
			label := strconv.Itoa(mm)
			if mm == RulerMM {
				label += " " + unit
			}
			t.Align = Centre
			d.Text(x.Add(geometry.Pt(0, long+0.6+t.Capitals())), label, t)
		}
	}
	return at.Y + long + 0.6 + t.Leading()
}
