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
	// Opening by a disc rounds a square's corners, (4 − π)r² is lost; a neck as
	// wide as the radius goes, but for the segment of 60° that the disc reaches into
	// its mouth, 0.0905861 r². The engine's arcs are chords, 64 a quarter.
	neck := geometry.Path{geometry.RectXYWH(20, 4, 10, 1).Path()[0], square(10, 0, 10), square(30, 0, 10)}
	opened, err := g.Opened(neck, 1)
	if want := 2 * (100 - (4 - math.Pi) + 0.0905861); err != nil || math.Abs(opened-want) > 2e-3 {
		t.Errorf("opened %v, want %v, %v", opened, want, err)
	}
	d, err := g.Distances([]geometry.Path{ring, inside}, []geometry.Point{geometry.Pt(5, 5), geometry.Pt(14, 13), geometry.Pt(1, 1)})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range [][]float64{{3, 5, 0}, {0, math.Hypot(6, 5), math.Sqrt2}} {
		for k := range want {
			if math.Abs(d[i][k]-want[k]) > 1e-9 {
				t.Errorf("place %d lies %v from area %d, want %v", k, d[i][k], i, want[k])
			}
		}
	}
}
