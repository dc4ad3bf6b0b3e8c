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
	d := dropping{
		costs: m, in: make([]bool, count), lists: make([][]int32, len(m)),
		near: make([]int, len(m)), next: make([]int, len(m)), missed: make([]float64, count), takers: make([][]int, count),
	}
	for k := range d.in {
		d.in[k] = true
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
		d.lists[i] = l
		d.place(i)
	}
	for left := count; left > n; left-- {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		d.dropLeast()
	}
	return d.in, nil
}

// dropping is how far drop is.
type dropping struct {
	costs
	in     []bool    // which candidates are left
	lists  [][]int32 // of each shade all candidates, likest first
	near   []int     // where in its list the nearest one left is
	next   []int     // and the one after it
	missed []float64 // what dropping a candidate would cost
	takers [][]int   // shades whose nearest or next it is
}

// loss is what a shade loses with its nearest candidate.
func (d *dropping) loss(i int) float64 {
	if l := d.lists[i]; d.next[i] < len(l) {
		return d.costs[i][l[d.next[i]]] - d.costs[i][l[d.near[i]]]
	}
	return 0 // it is the last
}

// place finds a shade's nearest candidate and the next, from where they were.
func (d *dropping) place(i int) {
	l := d.lists[i]
	left := func(from int) int {
		for from < len(l) && !d.in[l[from]] {
			from++
		}
		return from
	}
	d.near[i] = left(d.near[i])
	d.next[i] = left(max(d.next[i], d.near[i]+1))
	near := l[d.near[i]]
	d.takers[near] = append(d.takers[near], i)
	if d.next[i] < len(l) {
		next := l[d.next[i]]
		d.takers[next] = append(d.takers[next], i)
	}
	d.missed[near] += d.loss(i)
}

func (d *dropping) dropLeast() {
	least := -1
	for k, in := range d.in {
		if in && (least < 0 || d.missed[k] < d.missed[least]) {
			least = k
		}
	}
	d.in[least] = false
	again := d.takers[least]
	d.takers[least] = nil
	for _, i := range again {
		l := d.lists[i]
		if near := l[d.near[i]]; int(near) == least || d.next[i] < len(l) && int(l[d.next[i]]) == least {
			d.missed[near] -= d.loss(i)
			d.place(i)
		}
	}
}

// nearest are the candidates among those that are in that a shade likes best: -1 where
// there is none.
type nearest struct{ near, next int }

func nearestTwo(cost []float64, in []bool) nearest {
	p := nearest{-1, -1}
	for k, ok := range in {
		switch {
		case !ok:
		case p.near < 0 || cost[k] < cost[p.near]:
			p = nearest{k, p.near}
		case p.next < 0 || cost[k] < cost[p.next]:
			p.next = k
		}
	}
	return p
}

// exchange makes the exchange of a chosen candidate for another that helps most,
// and reports whether there was one.
func (m costs) exchange(ctx context.Context, in []bool) (bool, error) {
	count := len(in)
	chosen := make([]nearest, len(m))
	alone := make([]float64, count) // what dropping a chosen one costs
	for i, cost := range m {
		p := nearestTwo(cost, in)
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
		copy(change, alone)
		gain := m.inPlaceOf(chosen, k, change)
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

// inPlaceOf returns what all shades gain with candidate k, and takes from change, which
// is what dropping each chosen one costs, what they save with k in its place (Whitaker's
// fast interchange, INFOR 21, 1983): shades that like k best gain whoever goes; others
// only lose where their nearest goes, and then the lesser of two costs.
func (m costs) inPlaceOf(chosen []nearest, k int, change []float64) (gain float64) {
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
	return gain
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
