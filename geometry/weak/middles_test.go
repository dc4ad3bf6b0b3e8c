package weak

import (
	"math/rand/v2"
	"testing"

	"abut/geometry"
)

// Among few and among many the same is near as by a look at all of them, on both sides of nought.
func TestMiddles_NearIsWhatIsNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	place := func() geometry.Point { return geometry.Pt(rng.Float64()*40-20, rng.Float64()*40-20) }
	for _, n := range []int{0, 1, fewMiddles, fewMiddles + 1, 500} {
		m := &middles{within: 1.5}
		for range n {
			m.discs = append(m.discs, disc{c: place()})
		}
		near := 0
		for range 2000 {
			at, want := place(), false
			for _, d := range m.discs {
				want = want || d.c.Sub(at).Len() < m.within
			}
			if want {
				near++
			}
			if got := m.near(at); got != want {
				t.Fatalf("of %d: %v is near: %t", n, at, got)
			}
		}
		if n >= fewMiddles && (near < 200 || near > 1900) {
			t.Errorf("of %d: %d of 2000 are near: too few to tell", n, near)
		}
	}
}
