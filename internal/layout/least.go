package layout

import "math"

// Least is what no layout of a separation can do with less of: all that is cut would fill
// it but for the gaps around it.
type Least struct {
	// Sheets are whole ones, all offcuts being used up, and RollMM the length of a roll.
	Sheets int
	RollMM float64
}

// least is the bound by area, with what is kept free at the edges.
func (t *task) least() (out Least) {
	area, gap := 0.0, 0.0
	for _, p := range t.of {
		s := p.get()
		if t.way == Loose {
			for i := range s.Pieces {
				area += float64(t.each) * s.Pieces[i].AreaMM2
			}
			continue
		}
		// Rectangles with half a gap around them share no place, and lie on the sheet with
		// half a gap around that.
		gap = t.seek.GapMM
		area += float64(t.each) * ((s.Max.X - s.Min.X).MM() + gap) * ((s.Max.Y - s.Min.Y).MM() + gap)
	}
	for _, b := range t.beds {
		one := (b.along + gap) * (b.across + gap)
		switch b.kind {
		case Offcut:
			area -= one
		case Whole:
			out.Sheets = int(math.Max(0, math.Ceil(area/one-1e-9)))
		case Roll:
			out.RollMM = math.Max(0, area/(b.across+gap)-gap+2*t.edge)
		}
	}
	return out
}
