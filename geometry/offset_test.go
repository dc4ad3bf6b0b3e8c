package geometry

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Every figure of a band is wound the same way: under the nonzero rule nothing
// cancels where they overlap.
func TestOffsetBand_AllFiguresRunClockwise(t *testing.T) {
	shape := Polygon(Pt(0, 0), Pt(40, 0), Pt(40, 20), Pt(20, 8), Pt(0, 20))
	spike := Polygon(Pt(0, 0), Pt(9, 0), Pt(9, 9), Pt(0, 9), Pt(0, 4), Pt(-5, 4), Pt(0, 4)) // out to the left and back
	for name, c := range map[string]Contour{
		"a notched rectangle":         shape,
		"a line there and back":       Polygon(Pt(0, 0), Pt(10, 0)),
		"one drawn from the right":    Polygon(Pt(10, 0), Pt(0, 0)),
		"one drawn upwards":           Polygon(Pt(0, 10), Pt(0, 0)),
		"a square with a spike":       spike,
		"a hole":                      Path{shape}.Reverse()[0],
		"closed by a repeated corner": {Start: Pt(0, 0), Segments: []Segment{LineTo(Pt(5, 0)), LineTo(Pt(5, 0)), LineTo(Pt(0, 5)), LineTo(Pt(0, 0))}},
	} {
		for _, d := range []float64{1, -1} {
			for _, join := range []Join{{}, {MitreLimit: 4}} {
				for i, figure := range OffsetBand(Path{c}, d, join) {
					if a := (Path{figure}).SignedArea(); a < 0 {
						t.Errorf("%s by %v, %+v: figure %d has area %v", name, d, join, i, a)
					}
				}
			}
		}
	}
}

// The cap of a line's end is half a disc on the far side of the end.
func TestOffsetBand_CapsALineAtBothEnds(t *testing.T) {
	for _, line := range []Contour{
		Polygon(Pt(-5, 0), Pt(5, 0)), Polygon(Pt(5, 0), Pt(-5, 0)), Polygon(Pt(0, -5), Pt(0, 5)), Polygon(Pt(-3, -4), Pt(3, 4)),
	} {
		for _, d := range []float64{2, -2} {
			b := OffsetBand(Path{line}, d, Join{}).Bounds()
			along := line.End().Sub(line.Start)
			along = along.Mul(1 / along.Len())
			for _, tip := range []Point{line.Start.Sub(along.Mul(2)), line.End().Add(along.Mul(2))} {
				if !b.Grow(1e-4).Contains(tip) {
					t.Errorf("the band of %v by %v reaches %v, not to %v", line, d, b, tip)
				}
			}
		}
	}
}

// Both quarters of a right angle's sector, each made of two cubics, stay within
// 4.3e-6 of the distance (see maxArcSpan for the formula).
func TestOffsetBand_RoundJoinsStayAtTheirDistance(t *testing.T) {
	const d = 100
	square := Polygon(Pt(0, 0), Pt(400, 0), Pt(400, 400), Pt(0, 400))
	arcs := 0
	for _, c := range OffsetBand(Path{square}, d, Join{}) {
		from := c.Start
		for _, s := range c.Segments {
			if s.Cubic {
				arcs++
				middle := s.At(from, 0.5)
				corner := Pt(400*math.Round(middle.X/400), 400*math.Round(middle.Y/400))
				for i := range 33 {
					if r := s.At(from, float64(i)/32).Sub(corner).Len(); math.Abs(r-d) > 4.3e-6*d {
						t.Errorf("%v from the corner, want %v", r, d)
					}
				}
			}
			from = s.End
		}
	}
	if arcs != 8 {
		t.Errorf("%d arcs", arcs)
	}
}

// The oracle is the distance to the outline.
func TestOffsetBand_IsWhatLiesWithinItsDistance(t *testing.T) {
	const seed = 4
	r := rand.New(rand.NewPCG(seed, 0))
	for n := range 300 {
		// Around the middle, so that no two sides cross: jagged, rough, or a wave of fine
		// chords.
		var pts []Point
		corners, least := 3+r.IntN(20), 2.0
		if n%3 == 1 {
			corners, least = 60, 9
		}
		if n%3 < 2 {
			for i := range corners {
				sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.9*r.Float64()) / float64(corners))
				pts = append(pts, Pt(cos, sin).Mul(least+(10-least)*r.Float64()))
			}
		} else {
			fine := 60 + r.IntN(200)
			for i := range fine {
				a := 2 * math.Pi * float64(i) / float64(fine)
				pts = append(pts, Pt(math.Cos(a), math.Sin(a)).Mul(6+3*math.Sin(float64(corners)*a)))
			}
		}
		p := Path{Polygon(pts...)}
		d := 0.1 + 2*r.Float64()
		outer, inner := OffsetBand(p, d, Join{}).Flatten(1e-5), OffsetBand(p, -d, Join{}).Flatten(1e-5)
		for range 200 {
			q := Pt(24*r.Float64()-12, 24*r.Float64()-12)
			far := p.Distance(q)
			if math.Abs(far-d) < 1e-3 || far < 1e-3 {
				continue
			}
			// On the far side of a thin place a band may go over where it began.
			band := outer
			if windings(p, q) != 0 {
				band = inner
			}
			if w := windings(band, q); w < 0 || (w > 0) != (far < d) {
				t.Errorf("seed %d, polygon %d by %v: %v is %v off, and covered %d times", seed, n, d, q, far, w)
			}
		}
	}
}

func windings(p Path, at Point) (w int) {
	for _, h := range p.ScanLine(at.Y) {
		if h.X <= at.X {
			w -= h.Winding // clockwise is positive
		}
	}
	return w
}

func TestOffsetBand_OfNothingIsNothing(t *testing.T) {
	point := Contour{Start: Pt(3, 3), Closed: true, Segments: []Segment{LineTo(Pt(3, 3))}}
	for name, p := range map[string]Path{"no path": nil, "no segments": {{}}, "a point": {point}} {
		if got := OffsetBand(p, 1, Join{}); got != nil {
			t.Errorf("%s: %v", name, got)
		}
	}
	if got := OffsetBand(RectXYWH(0, 0, 4, 4).Path(), 0, Join{}); got != nil {
		t.Errorf("by no distance: %v", got)
	}
}
