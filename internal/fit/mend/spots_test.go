package mend

import (
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// The oracle looks at all spots.
func TestSpotIndex_FindsWhatMeetsBounds(t *testing.T) {
	const seed = 12
	rng := rand.New(rand.NewPCG(seed, 0))
	box := func() geometry.Rect {
		most := 2.0
		if rng.IntN(10) == 0 { // some go around half the picture
			most = 40
		}
		at := geometry.Pt(float64(rng.IntN(60)-20), float64(rng.IntN(60)-20))
		return geometry.RectXYWH(at.X, at.Y, most*rng.Float64(), most*rng.Float64())
	}
	materials := []own.Material{own.Bare, sheet("red"), sheet("blue")}
	yes, asked := 0, 0
	for range 20 {
		var spots []Spot
		for range rng.IntN(80) {
			spots = append(spots, Spot{Spot: weak.Spot{Bounds: box()}, Of: materials[rng.IntN(3)]})
		}
		index := indexSpots(spots)
		for range 200 {
			r, of, want := box(), materials[rng.IntN(3)], false
			for i := range spots {
				want = want || spots[i].Of == of && !spots[i].Bounds.Intersect(r).Empty()
			}
			if got := index.meets(of, r); got != want {
				t.Fatalf("seed %d: of %v in %v: %v, want %v", seed, of, r, got, want)
			}
			if asked++; want {
				yes++
			}
		}
	}
	if yes < asked/10 || yes > asked*9/10 {
		t.Errorf("%d of %d meet some: too few to tell", yes, asked)
	}
}

// Where branches of a shape meet, spots overlap: a mend finds its own again, though another one holds its place too, and though
// its own outline does not.
func TestFinder_TellsSpotsThatOverlapApart(t *testing.T) {
	spot := func(at geometry.Point, box geometry.Rect) Spot {
		return Spot{Spot: weak.Spot{Kind: weak.Point, At: at, Bounds: box, Outline: box.Path()}}
	}
	large, within := spot(geometry.Pt(5, 5), geometry.RectXYWH(0, 0, 10, 10)), spot(geometry.Pt(3, 3), geometry.RectXYWH(2, 2, 2, 2))
	beside := spot(geometry.Pt(8, 8), geometry.RectXYWH(7, 8.01, 2, 2))
	for _, order := range [][]int{{0, 1, 2}, {2, 1, 0}} {
		spots := make([]Spot, 3)
		for i, s := range []Spot{large, within, beside} {
			spots[order[i]] = s
		}
		near := NewFinder(spots)
		for i, s := range []Spot{large, within, beside} {
			at := s.At.Add(geometry.Pt(0, 1e-14)) // through the layer's transform and back
			if got := near.Nearest(at, job.Tip, 1); got != order[i] {
				t.Errorf("in order %v: spot %d, want %d", order, got, order[i])
			}
		}
	}
}

// A spot found again as another kind is still mended as the kind that it was: an end may be a point or a sliver by a rounding, and
// a point would be shared with the blank.
func TestSpot_IsMendedAsTheKindThatItWas(t *testing.T) {
	spots := []Spot{{Spot: weak.Spot{Kind: weak.Point, Bounds: geometry.RectXYWH(0, 0, 1, 1), Outline: geometry.RectXYWH(0, 0, 1, 1).Path()}}}
	mends := []Made{{Mend: job.Mend{Do: job.Give, Spot: job.Sliver}}}
	err := match(mends, []int{0}, spots, 1, func(_ int, s *Spot) error {
		if s.Kind != weak.Sliver {
			t.Errorf("it is a %v", job.SpotKind(s.Kind))
		}
		return nil
	})
	if err != nil || mends[0].State != Done || spots[0].Kind != weak.Point {
		t.Errorf("%v %+v %v", err, mends[0], spots[0].Kind)
	}
}
