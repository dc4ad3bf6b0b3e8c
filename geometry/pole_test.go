package geometry

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The largest discs that fit into figures of elementary geometry: a rectangle's
// is half its shorter side, a 3-4-5 triangle's (3 + 4 − 5)/2. In the corner of an
// L of arms 1, a disc touches both outer sides and the inner corner: (1 − r)√2 = r.
// So it does in the corner of a square ring, whose arms here are 2.
func TestPole_IsTheMiddleOfTheLargestDisc(t *testing.T) {
	const precision = 1e-4
	for name, c := range map[string]struct {
		outline Path
		radius  float64
	}{
		"rectangle": {RectXYWH(3, 4, 40, 10).Path(), 5},
		"triangle":  {Path{Polygon(Pt(0, 0), Pt(4, 0), Pt(0, 3))}, 1},
		"L":         {Path{Polygon(Pt(0, 0), Pt(4, 0), Pt(4, 1), Pt(1, 1), Pt(1, 3), Pt(0, 3))}, 2 - math.Sqrt2},
		"ring":      {Path{RectXYWH(0, 0, 10, 10).Path()[0], RectXYWH(2, 2, 6, 6).Path()[0]}, 2 * (2 - math.Sqrt2)},
		"two":       {Path{RectXYWH(0, 0, 2, 2).Path()[0], RectXYWH(10, 0, 6, 6).Path()[0]}, 3},
	} {
		at, r := c.outline.Pole(precision)
		if math.Abs(r-c.radius) > precision {
			t.Errorf("%s: radius %.6f, not %.6f", name, r, c.radius)
		}
		if d := c.outline.Distance(at); math.Abs(d-r) > 1e-12 || !NewEnclosure(c.outline).Holds(at) {
			t.Errorf("%s: %v lies %.6f from the outline, not %.6f", name, at, d, r)
		}
	}
}

func TestPole_OfNothingHasNoRadius(t *testing.T) {
	for _, p := range []Path{nil, {Polygon(Pt(1, 1))}, {Polygon(Pt(0, 0), Pt(5, 0))}} {
		if at, r := p.Pole(0.01); r != 0 || !at.Finite() {
			t.Errorf("%v: %v, %v", p, at, r)
		}
	}
}

// A ring much narrower than the precision has its widest place inside, and not in its middle.
func TestPole_OfAHairLiesInside(t *testing.T) {
	ring := Path{Ellipse(Pt(0, 0), 100, 100), Ellipse(Pt(0, 0), 99.999, 99.999)}.Flatten(0.00001)
	for _, precision := range []float64{0.1, 1, 10} {
		at, r := ring.Pole(precision)
		if !NewEnclosure(ring).Holds(at) || r <= 0 || r > 0.00051 {
			t.Errorf("to within %g mm: %v, %g from the outline", precision, at, r)
		}
	}
}

// BenchmarkPole finds the widest place of a ring of which all are as wide.
func BenchmarkPole(b *testing.B) {
	ring := Path{Ellipse(Pt(0, 0), 100, 100), Ellipse(Pt(0, 0), 99.95, 99.95)}.Flatten(0.001)
	for b.Loop() {
		ring.Pole(0.05)
	}
}

// A slow oracle: no place of a fine grid is better by more than the precision.
func TestPole_NoPlaceIsBetter(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 18))
	for n := range 60 {
		var outline Path
		for range 1 + n%3 {
			var corners []Point
			for range 3 + r.IntN(12) {
				corners = append(corners, Pt(r.Float64()*20, r.Float64()*20))
			}
			outline = append(outline, Polygon(corners...))
		}
		const precision = 0.05
		_, radius := outline.Pole(precision)
		inside := NewEnclosure(outline)
		for x := 0.05; x < 20; x += 0.11 {
			for y := 0.05; y < 20; y += 0.11 {
				if p := Pt(x, y); inside.Holds(p) && outline.Distance(p) > radius+precision {
					t.Fatalf("outline %d: %v is %.4f from it, the pole %.4f", n, p, outline.Distance(p), radius)
				}
			}
		}
	}
}
