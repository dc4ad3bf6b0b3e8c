package colour

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// costs are what it costs that a shade goes to a candidate, by shade, then
// candidate. Choosing few candidates so that the least costs of all shades come to
// as little as can be is the k-median problem.
type costs [][]float64

// maxSubsets is how many choices of candidates are tried one by one; beyond it a
// good choice is searched for step by step. C(18, 9) is 48,620.
const maxSubsets = 60_000

func (m costs) every() []int {
	out := make([]int, len(m[0]))
	for k := range out {
		out[k] = k
	}
	return out
}

func (m costs) nearest(i int, chosen []int) int {
	return slices.MinFunc(chosen, func(a, b int) int {
		return cmp.Or(cmp.Compare(m[i][a], m[i][b]), cmp.Compare(a, b))
	})
}

func (m costs) total(chosen []int) float64 {
	sum := 0.0
	for i := range m {
		least := math.Inf(1)
		for _, k := range chosen {
			least = math.Min(least, m[i][k])
		}
		sum += least
	}
	return sum
}

// best tries every choice of n and returns those that cost least, the best first,
// at most so many of them.
func (m costs) best(ctx context.Context, n, most int) ([][]int, error) {
	type choice struct {
		pick  []int
		total float64
	}
	var list []choice
	pick := make([]int, n)
	for i := range pick {
		pick[i] = i
	}
	for total := len(m[0]); ; {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		v := m.total(pick)
		at, _ := slices.BinarySearchFunc(list, v, func(c choice, v float64) int {
			if c.total <= v {
				return -1
			}
			return 1
		})
		if at < most {
			list = slices.Insert(list[:min(len(list), most-1)], at, choice{slices.Clone(pick), v})
		}
		i := n - 1
		for i >= 0 && pick[i] == total-n+i {
			i--
		}
		if i < 0 {
			break
		}
		pick[i]++
		for k := i + 1; k < n; k++ {
			pick[k] = pick[k-1] + 1
		}
	}
	out := make([][]int, len(list))
	for i := range list {
		out[i] = list[i].pick
	}
	return out, nil
}

// maxExchanges bounds the exchanges of a search. Some dozen are the most seen,
// for a thousand colours too; the bound is for inputs made to need more.
const maxExchanges = 200

// search drops candidates and exchanges them.
func (m costs) search(ctx context.Context, n int) ([]int, error) {
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
func (m costs) drop(ctx context.Context, n int) (in []bool, err error) {
	count := len(m[0])
	in = make([]bool, count)
	for k := range in {
		in[k] = true
	}
	lists := make([][]int32, len(m)) // all, likest first
	near := make([]int, len(m))      // where in its list the nearest one left is
	next := make([]int, len(m))      // and the one after it
	missed := make([]float64, count) // what dropping a candidate would cost
	takers := make([][]int, count)   // shades whose nearest or next it is
	loss := func(i int) float64 {
		if l := lists[i]; next[i] < count {
			return m[i][l[next[i]]] - m[i][l[near[i]]]
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
	for i, cost := range m {
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
func (m costs) exchange(ctx context.Context, in []bool) (bool, error) {
	count := len(in)
	type pair struct{ near, next int }
	chosen := make([]pair, len(m))  // each shade's nearest two
	alone := make([]float64, count) // what dropping a chosen one costs
	for i, cost := range m {
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
		for i, cost := range m {
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
