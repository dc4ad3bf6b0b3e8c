package oracle

import (
	"math"
	"testing"

	"abut/geometry"
)

func TestMain(m *testing.M) { Main(m) }

func square(x, y, side float64) geometry.Contour {
	return geometry.Polygon(geometry.Pt(x, y), geometry.Pt(x+side, y), geometry.Pt(x+side, y+side), geometry.Pt(x, y+side))
}

func TestGeos_KnowsAreas(t *testing.T) {
	g := StartGeos(t)
	ring := geometry.Path{square(2, 2, 6), square(0, 0, 10)} // a hole of 36 in 100
	inside := geometry.Path{square(2, 2, 6)}
	across := geometry.Path{square(9, 9, 2)}
	pairs, err := g.Overlaps([]geometry.Path{ring, inside, across})
	if err != nil {
		t.Fatal(err)
	}
	if len(pairs) != 1 || pairs[0].I != 0 || pairs[0].J != 2 || math.Abs(pairs[0].AreaMM2-1) > 1e-9 {
		t.Errorf("overlaps %v, want 1 mm² of 0 and 2", pairs)
	}
	union, err := g.UnionArea([]geometry.Path{ring, inside, across})
	if err != nil || math.Abs(union-103) > 1e-9 {
		t.Errorf("union %v, %v", union, err)
	}
	// The inner square of 6 moved by 1 covers 6 of the ring.
	stacked, err := g.StackedArea([]geometry.Path{ring, inside}, 1, 1, 0)
	if err != nil || math.Abs(stacked-6) > 1e-9 {
		t.Errorf("stacked %v, %v", stacked, err)
	}
}
