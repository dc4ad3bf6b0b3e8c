package geometry

import (
	"math"
	"testing"
)

// The points' mean is the centre of gravity, and their number tells the area:
// an L of three unit squares in its box of four, and a ring.
func TestSamples_SpreadOverWhatIsCovered(t *testing.T) {
	l := Path{Polygon(Pt(0, 0), Pt(2, 0), Pt(2, 1), Pt(1, 1), Pt(1, 2), Pt(0, 2))}
	ring := Path{Ellipse(Pt(5, 5), 4, 4), Ellipse(Pt(5, 5), 2, 2)}
	for _, c := range []struct {
		path  Path
		rule  FillRule
		share float64 // of the bounding box
		at    Point
	}{
		{l, NonZero, 3.0 / 4, Pt(5.0/6, 5.0/6)},
		{ring, EvenOdd, math.Pi * 12 / 64, Pt(5, 5)},
		{ring, NonZero, math.Pi * 16 / 64, Pt(5, 5)},
	} {
		const lines = 100
		points := c.path.Samples(c.rule, lines)
		if got := float64(len(points)) / (lines * lines); math.Abs(got-c.share) > 0.01 {
			t.Errorf("%v: %d points are %.3f of the box, want %.3f", c.path, len(points), got, c.share)
		}
		var sum Point
		for _, p := range points {
			sum = sum.Add(p)
		}
		if mid := sum.Mul(1 / float64(len(points))); mid.Sub(c.at).Len() > 0.02 {
			t.Errorf("%v: their middle is %v, want %v", c.path, mid, c.at)
		}
	}
	if p := (Path{Polygon(Pt(0, 0), Pt(3, 0))}).Samples(NonZero, 10); p != nil {
		t.Errorf("a line has points: %v", p)
	}
}
