package weak

import (
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
)

// The oracle is the distance of each place from the ray itself.
func TestBearings_HoldOnlyWaysThatPassAllWithinReach(t *testing.T) {
	const seed, off = 12, 0.5
	rng := rand.New(rand.NewPCG(seed, 0))
	held := 0
	for round := range 3000 {
		w := bearings{all: true}
		var passed []geometry.Point
		for range 1 + rng.IntN(3) {
			sin, cos := math.Sincos(2 * math.Pi * rng.Float64() / float64(1+rng.IntN(12)))
			v := geometry.Pt(cos, sin).Mul(0.2 + 3*rng.Float64())
			w.pass(v, v.Len(), off)
			passed = append(passed, v)
		}
		sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
		way := geometry.Pt(cos, sin)
		if !w.hold(way) {
			continue
		}
		held++
		for _, v := range passed {
			if v.Len() > off && (way.Dot(v) <= 0 || math.Abs(way.Cross(v)) > off+1e-9) {
				t.Errorf("seed %d, round %d: %v passes %v", seed, round, way, v)
			}
		}
	}
	if held < 100 {
		t.Errorf("only %d ways were held", held)
	}
}
