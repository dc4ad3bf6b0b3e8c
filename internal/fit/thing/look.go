package thing

import (
	"math"
	"slices"

	"abut/geometry"
)

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
	// bulgeTimes is how many times as broad as on the whole something compact is at most anywhere
	// that is narrow all along: a ring or an S is about as broad everywhere, a star of five points
	// 2.2 times in its middle.
	bulgeTimes = 1.6
	// bulgeLines is on how many lines it is looked at.
	bulgeLines = 12
)

// look says what a thing is by its shape.
func (t *Thing) look() Kind {
	length, breadth := upright(t.Outline)
	if t.AreaMM2 >= narrowTimes*t.WidthMM*t.WidthMM && (t.Holed || length > roundTimes*breadth || !t.bulges()) {
		return Line
	}
	switch {
	case t.Holed:
	case length <= roundTimes*breadth:
		return Dot
	case t.AreaMM2 >= evenShare*length*breadth:
		return Line
	}
	return Figure
}

// bulges reports whether it is much broader somewhere than on the whole: its outline is long for its
// points, as a star's is, and not because it is narrow.
func (t *Thing) bulges() bool {
	return slices.ContainsFunc(t.Outline.Samples(geometry.EvenOdd, bulgeLines), func(at geometry.Point) bool {
		return !t.Outline.Nears(at, bulgeTimes/2*t.WidthMM)
	})
}
