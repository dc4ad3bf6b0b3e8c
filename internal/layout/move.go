package layout

import (
	"math"

	"abut/geometry"
	"abut/internal/cutfile"
)

// move takes what is on a design's page to its place on a sheet: turned about the
// page's corner, shifted, and with the sheet turned by a quarter where that lies
// upright.
type move struct {
	turn  float64
	shift cutfile.Point
	// upright is set where the packing's x runs down the sheet; width is that of the
	// sheet.
	upright bool
	width   cutfile.Steps
}

// point moves a place. Quarter turns are exact; others are rounded before the
// shift, so that copies with one turn are the same to the last digit.
func (m move) point(p cutfile.Point) cutfile.Point {
	switch quarters := m.turn / (math.Pi / 2); {
	case math.Abs(quarters-math.Round(quarters)) > 1e-9:
		q := geometry.Rotate(m.turn).Apply(geometry.Pt(float64(p.X), float64(p.Y)))
		p = cutfile.Point{X: cutfile.Steps(math.Round(q.X)), Y: cutfile.Steps(math.Round(q.Y))}
	default:
		for range (int(math.Round(quarters))%4 + 4) % 4 {
			p = cutfile.Point{X: -p.Y, Y: p.X}
		}
	}
	p = cutfile.Point{X: p.X + m.shift.X, Y: p.Y + m.shift.Y}
	if m.upright {
		p = cutfile.Point{X: m.width - p.Y, Y: p.X}
	}
	return p
}

// angle is how far it is turned altogether.
func (m move) angle() float64 {
	if m.upright {
		return math.Mod(m.turn+math.Pi/2, 2*math.Pi)
	}
	return m.turn
}

func (m move) contour(c cutfile.Contour) cutfile.Contour {
	out := cutfile.Contour{Start: m.point(c.Start), Segments: make([]cutfile.Segment, len(c.Segments))}
	for i, s := range c.Segments {
		out.Segments[i] = cutfile.Segment{C1: m.point(s.C1), C2: m.point(s.C2), End: m.point(s.End), Cubic: s.Cubic}
	}
	return out
}

func (m move) contours(list []cutfile.Contour) []cutfile.Contour {
	out := make([]cutfile.Contour, len(list))
	for i, c := range list {
		out[i] = m.contour(c)
	}
	return out
}

// path is what contours enclose by the even-odd rule, in millimetres.
func path(contours []cutfile.Contour) geometry.Path {
	out := make(geometry.Path, len(contours))
	for i, c := range contours {
		out[i] = c.MM()
	}
	return out
}
