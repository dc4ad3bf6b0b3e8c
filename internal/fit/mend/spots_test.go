package mend

import (
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
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
		at := geometry.Pt(float64(rng.IntN(60)-20), float64(rng.IntN(60)-20)) // on the cells' edges
		return geometry.RectXYWH(at.X, at.Y, most*rng.Float64(), most*rng.Float64())
	}
	materials := []own.Material{own.Bare, sheet("red"), sheet("blue")}
	yes, asked := 0, 0
	for range 20 {
		var spots []Spot
		for range rng.IntN(80) {
			spots = append(spots, Spot{Spot: weak.Spot{Bounds: box()}, Of: materials[rng.IntN(3)]})
		}
		index := indexSpots(spots, 1)
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
