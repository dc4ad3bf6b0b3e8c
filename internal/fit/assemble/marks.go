package assemble

import "abut/geometry"

const (
	// markMM is how large a mark is, and markGapMM how far it lies outside frame or
	// art: large enough to be weeded whole, small enough to cost little sheet.
	markMM    = 6
	markGapMM = 2
	// marksReachMM is how far they reach beyond frame or art.
	marksReachMM = markGapMM + markMM
)

// kites returns three small kites at corners outside r, each pointing at the
// middle of r: seen from either side, or turned, they fit no other place. The
// fourth corner has none.
func kites(r geometry.Rect) geometry.Path {
	c := r.Centre()
	var out geometry.Path
	for _, at := range []geometry.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, {X: r.Min.X, Y: r.Max.Y}} {
		// Towards the outside, in whole millimetres from the corner.
		sx, sy := 1.0, 1.0
		if at.X < c.X {
			sx = -1
		}
		if at.Y < c.Y {
			sy = -1
		}
		put := func(x, y float64) geometry.Point { return geometry.Pt(at.X+sx*x, at.Y+sy*y) }
		const a, b = markGapMM, marksReachMM
		out = append(out, geometry.Polygon(put(a, a), put(b-2, a+1), put(b, b), put(a+1, b-2)))
	}
	return out
}
