package colour

import (
	"cmp"
	"math"
	"slices"
)

const (
	// mostShades is how many shades are looked at one by one, which takes some tenths of a second: a photo as
	// squares has thousands, and what Merge weighs grows with their square.
	mostShades = 512
	// manyTimes is how many times as many as the sheets that must be at least: of fewer those that count as one
	// would be seen to.
	manyTimes = 8
	// firstCell is how large, in units of CIE Lab, the cells are at first in which shades count as one: less than the
	// least difference that is seen (about 2.3 by Mahy and others, 1994; from memory). cellGrowth is by how much they
	// grow as long as they are too many, which is then seldom to under half of mostShades.
	firstCell  = 2.0
	cellGrowth = 1.25
)

// alike is which shades count as one.
type alike struct {
	labs   []Lab
	single map[int]bool // what something was decided about by hand
	group  []int        // of each shade
	stands []int        // of each group: the shade that is nearest to its mean
}

// alikeOf finds them; nil where the shades are few enough. Those that something was decided about by hand
// stay by themselves.
func alikeOf(q *Merging) *alike {
	if len(q.Shades) <= mostShades || q.Most <= 0 || q.Most*manyTimes > mostShades {
		return nil
	}
	single := map[int]bool{}
	for _, i := range q.Locked {
		single[i] = true
	}
	for _, p := range slices.Concat(q.Together, q.Apart) {
		single[p[0]], single[p[1]] = true, true
	}
	labs := make([]Lab, len(q.Shades))
	for i, s := range q.Shades {
		labs[i] = s.Colour.Lab()
	}
	// In the end all others are in one cell, or four about the axis of greys.
	most := max(mostShades, len(single)+4)
	a := &alike{labs: labs, single: single}
	for cell := firstCell; ; cell *= cellGrowth {
		if n := a.cells(cell); n == len(q.Shades) {
			return nil
		} else if n <= most {
			a.choose(q.Shades, n)
			return a
		}
	}
}

// cells joins shades that lie in one cell of a size, and returns how many groups there are.
func (a *alike) cells(size float64) (n int) {
	a.group = make([]int, len(a.labs))
	known := map[[3]int]int{}
	for i, p := range a.labs {
		at := [3]int{int(math.Floor(p.L / size)), int(math.Floor(p.A / size)), int(math.Floor(p.B / size))}
		g, there := known[at]
		if !there || a.single[i] {
			if g, n = n, n+1; !a.single[i] {
				known[at] = g
			}
		}
		a.group[i] = g
	}
	return n
}

// choose has the shade stand for each of n groups that is nearest to its mean by area.
func (a *alike) choose(shades []Shade, n int) {
	mean, area := make([]Lab, n), make([]float64, n)
	for i, p := range a.labs {
		g, w := a.group[i], math.Max(shades[i].AreaMM2, 1e-9)
		m := &mean[g]
		m.L, m.A, m.B, area[g] = m.L+w*p.L, m.A+w*p.A, m.B+w*p.B, area[g]+w
	}
	far := func(i, g int) float64 {
		return math.Hypot(math.Hypot(a.labs[i].L-mean[g].L/area[g], a.labs[i].A-mean[g].A/area[g]), a.labs[i].B-mean[g].B/area[g])
	}
	a.stands = slices.Repeat([]int{-1}, n)
	for i, g := range a.group {
		if a.stands[g] < 0 || far(i, g) < far(a.stands[g], g) {
			a.stands[g] = i
		}
	}
}

// each returns where each shade goes where its group goes to one of these candidates: to the one that suits the shade best
// if that is why its group goes there, so that the borders of cells do not show.
func (a *alike) each(q *Merging, to []int) []int {
	used := slices.Compact(slices.Sorted(slices.Values(to)))
	labs := map[int]Lab{}
	for _, k := range used {
		labs[k] = q.Candidates[k].Lab()
	}
	best := func(p Lab) int {
		return slices.MinFunc(used, func(k, l int) int { return cmp.Compare(p.strangeness(labs[k]), p.strangeness(labs[l])) })
	}
	out := make([]int, len(q.Shades))
	for i, g := range a.group {
		if out[i] = to[g]; !a.single[i] && to[g] == best(a.labs[a.stands[g]]) {
			out[i] = best(a.labs[i])
		}
	}
	return out
}

// asked returns what Merge is asked of the groups, and which of the candidates those are that it has: where those are
// the shades themselves, the ones that stand for a group.
func (a *alike) asked(q *Merging) (out Merging, candidates []int) {
	out = Merging{Most: q.Most, Locked: a.of(q.Locked), Together: a.pairs(q.Together), Apart: a.pairs(q.Apart)}
	own := map[RGB]bool{}
	for _, i := range a.stands {
		out.Shades = append(out.Shades, Shade{Colour: q.Shades[i].Colour})
		own[q.Shades[i].Colour] = true
	}
	for i, s := range q.Shades {
		out.Shades[a.group[i]].AreaMM2 += math.Max(s.AreaMM2, 0)
	}
	for k, c := range q.Candidates {
		if own[c] {
			out.Candidates, candidates = append(out.Candidates, c), append(candidates, k)
		}
	}
	if len(candidates) < len(own) { // they are sheets of others
		out.Candidates, candidates = q.Candidates, nil
		for k := range q.Candidates {
			candidates = append(candidates, k)
		}
	}
	for _, t := range q.Things {
		// Those that stand for two groups may differ by more than what runs into each other as it was drawn.
		if slices.ContainsFunc(t.Beside, func(b int) bool { return a.labs[t.Of].DeltaE(a.labs[b]) < told }) {
			continue
		}
		of := a.group[t.Of]
		var beside []int
		for _, g := range a.of(t.Beside) {
			if g != of && !slices.Contains(beside, g) {
				beside = append(beside, g)
			}
		}
		if len(beside) > 0 {
			out.Things = append(out.Things, Thing{Of: of, Beside: beside, AreaMM2: t.AreaMM2})
		}
	}
	return out, candidates
}

func (a *alike) of(shades []int) (out []int) {
	for _, i := range shades {
		out = append(out, a.group[i])
	}
	return out
}

func (a *alike) pairs(list [][2]int) (out [][2]int) {
	for _, p := range list {
		out = append(out, [2]int{a.group[p[0]], a.group[p[1]]})
	}
	return out
}
