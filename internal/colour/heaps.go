package colour

import (
	"context"
	"math"
	"slices"
)

// maxStarts is how many choices that cost little are settled, to see which keeps
// most things: more have not made any of the art better that this was tried on.
const maxStarts = 100

// starts returns ways to send the groups to at most m.most candidates, the best by
// cost among them.
func (m *merger) starts(ctx context.Context) (out [][]int, err error) {
	bound := len(m.things) > 0 || slices.ContainsFunc(m.apartOf, func(l []int) bool { return len(l) > 0 })
	if count := len(m.lab); bound && count <= maxExact {
		to, err := m.exact(ctx)
		return [][]int{to}, err
	}
	n := m.most
	var chosen [][]int
	switch {
	case n == len(m.own):
		chosen = [][]int{m.every()}
	case choices(len(m.own), n) <= maxSubsets && bound:
		chosen, err = m.best(ctx, n, maxStarts)
	case choices(len(m.own), n) <= maxSubsets:
		chosen, err = m.best(ctx, n, 1)
	default:
		var one []int
		one, err = m.search(ctx, n)
		chosen = [][]int{one}
	}
	if err != nil {
		return nil, err
	}
	for _, list := range chosen {
		to := make([]int, len(m.lab))
		for g := range to {
			to[g] = m.nearest(g, list)
		}
		out = append(out, to)
	}
	return out, nil
}

// maxExact is how many groups are put into heaps in every way there is. It costs
// 3ⁿ times the number of heaps: 3¹² is 531,441.
const maxExact = 12

// exact returns the best by all measures but lightness, which heaps do not tell:
// of each set of groups the best way to make heaps of it is the best heap with one
// group in it and the best of what remains.
func (m *merger) exact(ctx context.Context) ([]int, error) {
	count := len(m.lab)
	full := 1<<count - 1
	heaps := make([]worth, full+1)
	goes := make([]int, full+1)
	for set := 1; set <= full; set++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		heaps[set], goes[set] = m.heap(set)
	}
	most := min(m.most, count)
	// made[n][set] is the best of at most n + 1 heaps, split its first heap.
	made, split := [][]worth{heaps}, [][]int{nil}
	for n := 1; n < most; n++ {
		best, first, err := oneMore(ctx, heaps, made[n-1])
		if err != nil {
			return nil, err
		}
		made, split = append(made, best), append(split, first)
	}
	to := make([]int, count)
	for n, set := most-1, full; set > 0; n-- {
		heap := set
		if n > 0 {
			if heap = split[n][set]; heap == 0 {
				continue // fewer heaps are as good
			}
		}
		for g := range count {
			if heap>>g&1 == 1 {
				to[g] = goes[heap]
			}
		}
		set ^= heap
	}
	return to, nil
}

// oneMore returns, for each set of groups, the best of one heap more than last has, and
// the heap that is parted from the set for it; 0 where fewer are as good.
func oneMore(ctx context.Context, heaps, last []worth) (best []worth, first []int, err error) {
	best, first = slices.Clone(last), make([]int, len(last))
	for set := 1; set < len(last); set++ {
		lowest := set & -set
		rest := set ^ lowest
		// Every heap with the lowest group that leaves some.
		for others := (rest - 1) & rest; rest > 0; others = (others - 1) & rest {
			heap := others | lowest
			if w := heaps[heap].plus(last[set^heap]); w.less(best[set]) {
				best[set], first[set] = w, heap
			}
			if others == 0 {
				break
			}
		}
		if set&1023 == 1 && ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
	}
	return best, first, nil
}

// heap returns what it comes to that the groups of a set, as bits, are cut from
// one sheet, and from which.
func (m *merger) heap(set int) (w worth, to int) {
	in := func(g int) bool { return set>>g&1 == 1 }
	w.parted, to = m.partedIn(in)
	lost := 0.0
	for _, t := range m.things {
		if in(t.of) && !slices.ContainsFunc(t.beside, func(b int) bool { return !in(b) }) {
			lost += t.weight
		}
	}
	sum := func(k int) (all float64) {
		for g := range m.lab {
			if in(g) {
				all += m.costs[g][k]
			}
		}
		return all
	}
	if to >= 0 {
		w.cost = lostFactor*lost + sum(to)
		return w, to
	}
	w.cost = math.Inf(1)
	for k, own := range m.own {
		// A colour's own sheet without that colour would be two heaps on one sheet.
		if own >= 0 && !in(own) {
			continue
		}
		if v := sum(k); v < w.cost {
			w.cost, to = v, k
		}
	}
	w.cost += lostFactor * lost
	return w, to
}

// partedIn counts what should be apart and is in one heap, and returns the sheet that
// the user gave one of its groups to; -1 where there is none.
func (m *merger) partedIn(in func(g int) bool) (parted float64, to int) {
	to = -1
	for g := range m.lab {
		if !in(g) {
			continue
		}
		if k := m.goes[g]; k >= 0 {
			if to >= 0 && to != k {
				parted += forced
			}
			to = k
		}
		for _, b := range m.apartOf[g] {
			if in(b) && g < b {
				parted++
			}
		}
	}
	return parted, to
}

// maxPasses bounds how often all shades are looked over. Two or three are usual.
const maxPasses = 10

// settle moves groups one by one to others of the candidates that are used, as
// long as that makes it better.
func (m *merger) settle(ctx context.Context, to []int) error {
	used := slices.Compact(slices.Sorted(slices.Values(to)))
	for range maxPasses {
		moved := false
		for g := range to {
			if err := ctx.Err(); err != nil {
				return err
			}
			if m.goes[g] >= 0 {
				continue
			}
			was := to[g]
			at := m.at(g, to, used)
			best := slices.Index(used, was)
			for i := range used {
				if at[i].less(at[best]) {
					best = i
				}
			}
			to[g] = used[best]
			moved = moved || to[g] != was
		}
		if !moved {
			break
		}
	}
	return nil
}

// at is what depends on one group, for each candidate that it may go to.
func (m *merger) at(g int, to, used []int) []worth {
	out := make([]worth, len(used))
	was := to[g]
	for i, k := range used {
		w := &out[i]
		to[g] = k
		w.cost = m.costs[g][k]
		for _, b := range m.apartOf[g] {
			if to[b] == k {
				w.parted++
			}
		}
		for _, t := range m.thingsOf[g] {
			w.cost += lostFactor * m.lost(&m.things[t], to)
		}
	}
	to[g] = was
	for b := range to {
		before := m.lab[g].L - m.lab[b].L
		if math.Abs(before) < darker || !m.related(g, b) {
			continue
		}
		for i, k := range used {
			out[i].cost += turnedFactor * m.turned(g, b, before, m.light[k]-m.light[to[b]])
		}
	}
	return out
}
