package job

import (
	"cmp"
	"math"
	"slices"
)

// Shade is a colour with how much of it there is.
type Shade struct {
	Colour  Colour
	AreaMM2 float64
}

// maxSubsets is how many choices of sheets are tried one by one; beyond it a
// good choice is searched for step by step. C(18, 9) is 48,620.
const maxSubsets = 60_000

// MergeShades chooses at most n of the candidate colours so that the sum of
// area × CIEDE2000 difference, each shade going to the nearest chosen one, is as
// small as can be, and returns the index of the candidate for each shade. n ≤ 0
// means any number.
//
// Up to maxSubsets choices the result is the best there is. Beyond, it is the
// k-median problem: candidates that are missed least are dropped one by one, and
// then exchanged as long as that helps, which is never worse than five times the
// best (Arya and others, Local search heuristics for k-median and facility
// location problems, 2004), and usually as good.
func MergeShades(shades []Shade, candidates []Colour, n int) []int {
	if len(shades) == 0 || len(candidates) == 0 {
		return nil
	}
	m := newMerger(shades, candidates)
	var chosen []int
	switch {
	case n <= 0 || n >= len(candidates):
		chosen = m.all()
	case choices(len(candidates), n) <= maxSubsets:
		chosen = m.best(n)
	default:
		chosen = m.search(n)
	}
	out := make([]int, len(shades))
	for i := range shades {
		out[i] = m.nearest(i, chosen)
	}
	return out
}

type merger struct{ cost [][]float64 } // by shade, then candidate

func newMerger(shades []Shade, candidates []Colour) *merger {
	labs := make([]Lab, len(candidates))
	for k, c := range candidates {
		labs[k] = c.Lab()
	}
	m := &merger{make([][]float64, len(shades))}
	for i, s := range shades {
		lab := s.Colour.Lab()
		m.cost[i] = make([]float64, len(candidates))
		for k := range candidates {
			if candidates[k] != s.Colour {
				m.cost[i][k] = math.Max(s.AreaMM2, 0) * lab.DeltaE(labs[k])
			}
		}
	}
	return m
}

func (m *merger) all() []int {
	out := make([]int, len(m.cost[0]))
	for k := range out {
		out[k] = k
	}
	return out
}

func (m *merger) nearest(i int, chosen []int) int {
	return slices.MinFunc(chosen, func(a, b int) int {
		return cmp.Or(cmp.Compare(m.cost[i][a], m.cost[i][b]), cmp.Compare(a, b))
	})
}

func (m *merger) total(chosen []int) float64 {
	sum := 0.0
	for i := range m.cost {
		least := math.Inf(1)
		for _, k := range chosen {
			least = math.Min(least, m.cost[i][k])
		}
		sum += least
	}
	return sum
}

// best tries every choice of n.
func (m *merger) best(n int) []int {
	pick := make([]int, n)
	for i := range pick {
		pick[i] = i
	}
	best, least := slices.Clone(pick), m.total(pick)
	for total := len(m.cost[0]); ; {
		i := n - 1
		for i >= 0 && pick[i] == total-n+i {
			i--
		}
		if i < 0 {
			return best
		}
		pick[i]++
		for k := i + 1; k < n; k++ {
			pick[k] = pick[k-1] + 1
		}
		if v := m.total(pick); v < least {
			best, least = slices.Clone(pick), v
		}
	}
}

// search drops and exchanges candidates.
func (m *merger) search(n int) []int {
	chosen := m.all()
	for len(chosen) > n {
		drop, least := 0, math.Inf(1)
		for i := range chosen {
			if v := m.total(slices.Delete(slices.Clone(chosen), i, i+1)); v < least {
				drop, least = i, v
			}
		}
		chosen = slices.Delete(chosen, drop, drop+1)
	}
	for least, better := m.total(chosen), true; better; {
		better = false
		for i := range chosen {
			for k := range m.cost[0] {
				if slices.Contains(chosen, k) {
					continue
				}
				old := chosen[i]
				chosen[i] = k
				if v := m.total(chosen); v < least-1e-9 {
					least, better = v, true
				} else {
					chosen[i] = old
				}
			}
		}
	}
	return chosen
}

// choices is the number of ways to choose k of n, or more than maxSubsets.
func choices(n, k int) int {
	v := 1
	for i := 1; i <= min(k, n-k); i++ {
		v = v * (n - i + 1) / i
		if v > maxSubsets {
			return v
		}
	}
	return v
}
