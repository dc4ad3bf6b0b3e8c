package thing

import (
	"math"
	"testing"

	"abut/geometry"
)

// Where a dash begins a rounding before a corner of its line, that rounding has no
// direction: what lies across it was no number, and the picture could not be cut.
func TestPart_HasNoSideThatIsButRounding(t *testing.T) {
	line := []geometry.Point{geometry.Pt(100, 50), geometry.Pt(100.3, 50), geometry.Pt(100.9, 50.1), geometry.Pt(102, 50.4)}
	corner := lengthOf(line[:2])
	for _, from := range []float64{corner, math.Nextafter(corner, 0), math.Nextafter(corner, 1)} {
		for _, to := range []float64{lengthOf(line[:3]), math.Nextafter(lengthOf(line[:3]), 3)} {
			p := part(line, from, to)
			if len(p) < 2 || math.Abs(lengthOf(p)-(to-from)) > 1e-9 {
				t.Fatalf("from %v to %v: %v", from, to, p)
			}
			for _, c := range band(p, 0.5, true) {
				for a := range c.Sides() {
					if math.IsNaN(a.X) || math.IsNaN(a.Y) {
						t.Fatalf("from %v to %v: %v", from, to, c)
					}
				}
			}
		}
	}
}
