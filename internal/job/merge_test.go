package job

import (
	"math"
	"math/rand/v2"
	"testing"
)

func mergeCost(shades []Shade, candidates []Colour, to []int) float64 {
	sum := 0.0
	for i, s := range shades {
		sum += s.AreaMM2 * s.Colour.DeltaE(candidates[to[i]])
	}
	return sum
}

// bestPartition tries every way to put the shades into at most n heaps, each
// going to the candidate that suits it best.
func bestPartition(shades []Shade, candidates []Colour, n int) float64 {
	heap := make([]int, len(shades))
	best := math.Inf(1)
	var put func(i, used int)
	put = func(i, used int) {
		if i == len(shades) {
			sum := 0.0
			for h := range used {
				least := math.Inf(1)
				for _, c := range candidates {
					v := 0.0
					for k, s := range shades {
						if heap[k] == h {
							v += s.AreaMM2 * s.Colour.DeltaE(c)
						}
					}
					least = math.Min(least, v)
				}
				sum += least
			}
			best = math.Min(best, sum)
			return
		}
		for h := 0; h <= used && h < n; h++ {
			heap[i] = h
			put(i+1, max(used, h+1))
		}
	}
	put(0, 0)
	return best
}

func randomShades(r *rand.Rand, n int) ([]Shade, []Colour) {
	var shades []Shade
	var colours []Colour
	for range n {
		c := Colour{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256))}
		if len(colours) > 0 && r.IntN(2) == 0 { // a shade of one that is there
			b := colours[r.IntN(len(colours))]
			c = b.Over(Colour{c.R, c.G, c.B}, 0.8)
		}
		shades, colours = append(shades, Shade{c, math.Exp(6 * r.Float64())}), append(colours, c)
	}
	return shades, colours
}

func TestMergeShades_SmallPalettesAreMergedAsWellAsCanBe(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 0))
	for range 40 {
		shades, colours := randomShades(r, 2+r.IntN(6))
		n := 1 + r.IntN(len(shades))
		got := mergeCost(shades, colours, MergeShades(shades, colours, n))
		if want := bestPartition(shades, colours, n); got > want*(1+1e-9)+1e-9 {
			t.Errorf("%v to %d: %g, the best is %g", shades, n, got, want)
		}
	}
}

// The search for large palettes, held against the best choice on ones small
// enough to try all.
func TestMergeShades_SearchIsNeverTwiceTheBest(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 0))
	worst := 1.0
	for range 60 {
		shades, colours := randomShades(r, 4+r.IntN(9))
		n := 1 + r.IntN(len(shades)-1)
		m := newMerger(shades, colours)
		got, want := m.total(m.search(n)), m.total(m.best(n))
		if want > 0 {
			worst = math.Max(worst, got/want)
		}
		if got > 2*want+1e-9 {
			t.Errorf("%v to %d: %g, the best is %g", shades, n, got, want)
		}
	}
	t.Logf("at worst %.3f times the best", worst)
}

func TestMergeShades_ManyColoursTakeLittleTime(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 0))
	shades, colours := randomShades(r, 60)
	to := MergeShades(shades, colours, 6)
	used := map[int]bool{}
	for _, k := range to {
		used[k] = true
	}
	if len(used) > 6 {
		t.Errorf("%d sheets", len(used))
	}
}
