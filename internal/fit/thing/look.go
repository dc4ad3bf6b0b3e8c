package thing

import "math"

// stripWidth returns the width of a strip of this area whose outline is as long:
// straight with two ends or, with a hole in it, closed.
func stripWidth(area, around float64, holed bool) float64 {
	if around == 0 {
		return 0
	}
	if root := around*around/16 - area; !holed && root > -1e-9*area { // 0 for a square
		return around/4 - math.Sqrt(math.Max(0, root))
	}
	return 2 * area / around
}

const (
	// narrowTimes is how many times as long as broad a line is at least. A letter I
	// is some six times as high as broad, a drop or a leaf up to three times.
	narrowTimes = 4
	// roundTimes is how many times as wide as high a dot is at most, or the other way
	// round: an oval eye is, a dash is not.
	roundTimes = 2.2
	// evenShare is how much of a rectangle around it a short line covers at least: with round
	// ends, of twice as long as broad, nine tenths; an oval and a drop cover less than 0.8.
	evenShare = 0.87
)

// look says what a thing is by its shape.
func (t *Thing) look() Kind {
	if t.AreaMM2 >= narrowTimes*t.WidthMM*t.WidthMM {
		return Line
	}
	switch length, breadth := upright(t.Outline); {
	case t.Holed:
	case length <= roundTimes*breadth:
		return Dot
	case t.AreaMM2 >= evenShare*length*breadth:
		return Line
	}
	return Figure
}
