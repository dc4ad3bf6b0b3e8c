package colour

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Shade is a colour with how much of it there is.
type Shade struct {
	Colour  RGB
	AreaMM2 float64
}

// maxSubsets is how many choices of sheets are tried one by one; beyond it a
// good choice is searched for step by step. C(18, 9) is 48,620.
const maxSubsets = 60_000

// Merge chooses at most n of the candidate colours so that the sum of area ×
// CIEDE2000 difference, each shade going to the nearest chosen one, is as small
// as can be, and returns the index of the candidate for each shade. n ≤ 0 means
// any number. Its only error is the context's.
//
// Up to maxSubsets choices the result is the best there is. Beyond, it is the
// k-median problem: candidates that are missed least are dropped one by one, and
// then exchanged as long as that helps, which is never worse than five times the
// best (Arya and others, Local search heuristics for k-median and facility
// location problems, 2004), and usually as good.
//
// It costs O(s·c·log c) for s shades and c candidates, and s·c for each of at
// most maxExchanges exchanges.
func Merge(ctx context.Context, shades []Shade, candidates []RGB, n int) ([]int, error) {
	if len(shades) == 0 || len(candidates) == 0 {
		return nil, nil
	}
	m, err := newMerger(ctx, shades, candidates)
	if err != nil {
		return nil, err
	}
	var chosen []int
	switch {
	case n <= 0 || n >= len(candidates):
		chosen = m.all()
	case choices(len(candidates), n) <= maxSubsets:
		chosen, err = m.best(ctx, n)
	default:
		chosen, err = m.search(ctx, n)
	}
	if err != nil {
		return nil, err
	}
	out := make([]int, len(shades))
	for i := range shades {
		out[i] = m.nearest(i, chosen)
	}
	return out, nil
}

type merger struct{ cost [][]float64 } // by shade, then candidate

func newMerger(ctx context.Context, shades []Shade, candidates []RGB) (*merger, error) {
	labs := make([]Lab, len(candidates))
	for k, c := range candidates {
		labs[k] = c.Lab()
	}
	m := &merger{make([][]float64, len(shades))}
	for i, s := range shades {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lab := s.Colour.Lab()
		m.cost[i] = make([]float64, len(candidates))
		for k := range candidates {
			if candidates[k] != s.Colour {
				m.cost[i][k] = math.Max(s.AreaMM2, 0) * lab.DeltaE(labs[k])
			}
		}
	}
	return m, nil
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
func (m *merger) best(ctx context.Context, n int) ([]int, error) {
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
			return best, nil
		}
		pick[i]++
		for k := i + 1; k < n; k++ {
			pick[k] = pick[k-1] + 1
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if v := m.total(pick); v < least {
			best, least = slices.Clone(pick), v
		}
	}
}

// maxExchanges bounds the exchanges of a search. Some dozen are the most seen,
// for a thousand colours too; the bound is for inputs made to need more.
const maxExchanges = 200

// search drops candidates and exchanges them.
func (m *merger) search(ctx context.Context, n int) ([]int, error) {
	in, err := m.drop(ctx, n)
	if err != nil {
		return nil, err
	}
	for range maxExchanges {
		better, err := m.exchange(ctx, in)
		if err != nil {
			return nil, err
		}
		if !better {
			break
		}
	}
	var chosen []int
	for k, ok := range in {
		if ok {
			chosen = append(chosen, k)
		}
	}
	return chosen, nil
}

// drop drops candidates, each time the one that is missed least, until n are
// left. Each shade has the candidates in a list, likest first, and only ever
// goes down it, so that all dropping together costs what the lists do.
func (m *merger) drop(ctx context.Context, n int) (in []bool, err error) {
	count := len(m.cost[0])
	in = make([]bool, count)
	for k := range in {
		in[k] = true
	}
	lists := make([][]int32, len(m.cost)) // all, likest first
	near := make([]int, len(m.cost))      // where in its list the nearest one left is
	next := make([]int, len(m.cost))      // and the one after it
	missed := make([]float64, count)      // what dropping a candidate would cost
	takers := make([][]int, count)        // shades whose nearest or next it is
	loss := func(i int) float64 {
		if l := lists[i]; next[i] < count {
			return m.cost[i][l[next[i]]] - m.cost[i][l[near[i]]]
		}
		return 0 // it is the last
	}
	place := func(i int) {
		l := lists[i]
		left := func(from int) int {
			for from < count && !in[l[from]] {
				from++
			}
			return from
		}
		near[i] = left(near[i])
		next[i] = left(max(next[i], near[i]+1))
		takers[l[near[i]]] = append(takers[l[near[i]]], i)
		if next[i] < count {
			takers[l[next[i]]] = append(takers[l[next[i]]], i)
		}
		missed[l[near[i]]] += loss(i)
	}
	for i, cost := range m.cost {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		l := make([]int32, count)
		for k := range l {
			l[k] = int32(k)
		}
		slices.SortFunc(l, func(a, b int32) int { return cmp.Or(cmp.Compare(cost[a], cost[b]), cmp.Compare(a, b)) })
		lists[i] = l
		place(i)
	}
	for left := count; left > n; left-- {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		least := -1
		for k := range in {
			if in[k] && (least < 0 || missed[k] < missed[least]) {
				least = k
			}
		}
		in[least] = false
		again := takers[least]
		takers[least] = nil
		for _, i := range again {
			l := lists[i]
			if a := l[near[i]]; int(a) == least || next[i] < count && int(l[next[i]]) == least {
				missed[a] -= loss(i)
				place(i)
			}
		}
	}
	return in, nil
}

// exchange makes the exchange of a chosen candidate for another that helps most,
// and reports whether there was one.
func (m *merger) exchange(ctx context.Context, in []bool) (bool, error) {
	count := len(in)
	type pair struct{ near, next int }
	chosen := make([]pair, len(m.cost)) // each shade's nearest two
	alone := make([]float64, count)     // what dropping a chosen one costs
	for i, cost := range m.cost {
		p := pair{-1, -1}
		for k, ok := range in {
			switch {
			case !ok:
			case p.near < 0 || cost[k] < cost[p.near]:
				p = pair{k, p.near}
			case p.next < 0 || cost[k] < cost[p.next]:
				p.next = k
			}
		}
		chosen[i] = p
		if p.next >= 0 {
			alone[p.near] += cost[p.next] - cost[p.near]
		} else {
			alone[p.near] = math.Inf(1) // the only one; the newcomer makes up for it below
		}
	}
	best, drop, take := -1e-9, -1, -1
	change := make([]float64, count)
	for k := range in {
		if in[k] {
			continue
		}
		if err := ctx.Err(); err != nil {
			return false, err
		}
		// What k in place of each chosen one changes (Whitaker's fast interchange,
		// INFOR 21, 1983): shades that like k best gain whoever goes; others only
		// lose where their nearest goes, and then the lesser of two costs.
		gain := 0.0
		copy(change, alone)
		for i, cost := range m.cost {
			p := chosen[i]
			d := cost[k] - cost[p.near]
			switch {
			case p.next < 0:
				change[p.near] = 0
				gain += d
			case d < 0:
				gain += d
				change[p.near] -= cost[p.next] - cost[p.near]
			case cost[k] < cost[p.next]:
				change[p.near] -= cost[p.next] - cost[k]
			}
		}
		for c, ok := range in {
			if v := change[c] + gain; ok && v < best {
				best, drop, take = v, c, k
			}
		}
	}
	if drop < 0 {
		return false, nil
	}
	in[drop], in[take] = false, true
	return true, nil
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
