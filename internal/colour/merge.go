package colour

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Shade is a colour with how much of it there is.
type Shade struct {
	Colour  RGB
	AreaMM2 float64
}

// Thing is a part of the picture in one shade. It is seen as long as one of the
// shades beside it goes to another candidate.
type Thing struct {
	Of      int
	Beside  []int // each once
	AreaMM2 float64
}

// Merging is what Merge is asked.
type Merging struct {
	Shades     []Shade
	Candidates []RGB
	// Most is how many candidates may be chosen, any number for 0 and less.
	Most int
	// Things are those that shall not vanish.
	Things []Thing
	// Locked shades go to the candidate nearest to each, even if it takes more than
	// Most for them.
	Locked []int
	// Together are pairs of shades that go to the same candidate, unless both are
	// locked; Apart those that go to different ones as long as there are enough.
	Together, Apart [][2]int
}

// Merge chooses at most Most of the candidate colours, and returns the index of
// the candidate for each shade. Its only error is the context's.
//
// What is looked for is the least sum of what it costs that each shade goes where
// it goes, area^½ · difference², with lostFactor times as much for each thing that
// vanishes because all beside it is cut from the same sheet, by its area and how
// much it differs from what is beside it, and turnedFactor times as much for shades
// that lie side by side or are of one hue and of which the darker becomes the
// lighter one. Fewest pairs of Apart on one sheet go before that. Of shades that go
// together the candidate is the one that changes the picture least.
//
// Up to maxExact shades the least there is is found, and without things and Apart
// also where there are no more than maxSubsets choices of candidates; but for
// lightness, which is looked after when all else is known. Beyond, candidates that
// are missed least are dropped one by one, and then exchanged as long as that
// helps; of up to maxSubsets choices the maxStarts cheapest ones are gone on from.
// Then shades change candidates one by one as long as that helps, which may end
// before the least there is.
//
// It costs O(s·c·log c) for s shades and c candidates, s·c for each of at most
// maxExchanges exchanges, and s² for each of at most maxPasses passes.
func Merge(ctx context.Context, q Merging) ([]int, error) {
	if len(q.Shades) == 0 || len(q.Candidates) == 0 {
		return nil, nil
	}
	m, err := newMerger(ctx, q)
	if err != nil {
		return nil, err
	}
	to, err := m.merge(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]int, len(q.Shades))
	for i := range out {
		out[i] = to[m.group[i]]
	}
	return out, nil
}

// lightnessFactor is CIEDE2000's parametric factor of lightness, 2 as is usual for
// textiles (CIE 142-2001): tints of one hue are merged before two hues of one
// lightness.
const lightnessFactor = 2

// weight is how much it matters that something of an area changes by a difference.
// A person sees that a small red thing turned grey, but hardly that a large grey one
// is a little darker, so it grows slower than area and faster than the difference.
// By the plain product of both, six colours of the demo picture of a lighthouse had
// no yellow and five no red, while both kept two blues and cream.
func weight(areaMM2, difference float64) float64 {
	return math.Sqrt(math.Max(areaMM2, 0)) * difference * difference
}

// strangeness is how far one colour is from being taken for the other: the
// CIEDE2000 difference, of which lightness counts half, and up to twice that where
// one has less than half of the other's chroma. What was blue and turns grey is
// another thing, and so is grey that turns blue, while a tint is still the blue.
func (p Lab) strangeness(q Lab) float64 {
	d := p.deltaE(q, lightnessFactor)
	less, more := math.Hypot(p.A, p.B), math.Hypot(q.A, q.B)
	if less > more {
		less, more = more, less
	}
	if more < neutral {
		return d
	}
	return d * (1 + math.Max(0, 1-2*less/more))
}

// told is how far (CIEDE2000) two shades that lie side by side must be apart for
// one to be a thing on the other. Below it they can hardly be told apart as drawn.
const told = 3.0

// merger is a Merging whose shades that go together are one.
type merger struct {
	costs
	// change is how much the picture changes, area × ΔE, laid out as the costs.
	change costs
	most   int
	// group is the one of each shade; lab and area are of the largest shade of each.
	group []int
	lab   []Lab
	hue   []float64
	area  []float64
	// goes is where each group has to go, −1 for anywhere; own the group of each
	// candidate's very colour, or −1.
	goes, own []int
	light     []float64 // of each candidate
	things    []thing
	// Of each group: its things and those that it is beside; its pairs of apart;
	// whom it touches.
	thingsOf, apartOf [][]int
	touches           []map[int]bool
}

// thing is what all things of a group with the same neighbours come to.
type thing struct {
	of     int
	beside []int
	weight float64
}

func newMerger(ctx context.Context, q Merging) (*merger, error) {
	m := &merger{most: q.Most, group: make([]int, len(q.Shades))}
	labs := make([]Lab, len(q.Candidates))
	for k, c := range q.Candidates {
		labs[k] = c.Lab()
		m.light = append(m.light, labs[k].L)
	}
	single, change := make(costs, len(q.Shades)), make(costs, len(q.Shades))
	nearest := make([]int, len(q.Shades))
	for i, s := range q.Shades {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lab, closest := s.Colour.Lab(), 0.0
		single[i], change[i] = make([]float64, len(q.Candidates)), make([]float64, len(q.Candidates))
		for k := range q.Candidates {
			if q.Candidates[k] != s.Colour {
				single[i][k] = weight(s.AreaMM2, lab.strangeness(labs[k]))
			}
			d := lab.DeltaE(labs[k])
			change[i][k] = math.Max(s.AreaMM2, 0) * d
			if k == 0 || d < closest {
				nearest[i], closest = k, d
			}
		}
	}
	m.unite(q, nearest)
	m.costs, m.change = m.summed(single), m.summed(change)
	m.own = slices.Repeat([]int{-1}, len(q.Candidates))
	for i, s := range q.Shades {
		for k, c := range q.Candidates {
			if c == s.Colour {
				m.own[k] = m.group[i]
			}
		}
	}
	m.force()
	m.note(q)
	return m, nil
}

// unite makes groups of the shades that go together.
func (m *merger) unite(q Merging, nearest []int) {
	goes := slices.Repeat([]int{-1}, len(q.Shades))
	for _, i := range q.Locked {
		goes[i] = nearest[i]
	}
	head := make([]int, len(q.Shades))
	for i := range head {
		head[i] = i
	}
	for _, p := range q.Together {
		a, b := head[p[0]], head[p[1]]
		if a == b || goes[a] >= 0 && goes[b] >= 0 && goes[a] != goes[b] {
			continue
		}
		goes[a] = max(goes[a], goes[b])
		for i, h := range head {
			if h == b {
				head[i] = a
			}
		}
	}
	number := map[int]int{}
	for i, s := range q.Shades {
		g, known := number[head[i]]
		if !known {
			g = len(m.lab)
			number[head[i]] = g
			m.lab, m.area, m.goes = append(m.lab, s.Colour.Lab()), append(m.area, s.AreaMM2), append(m.goes, goes[head[i]])
		} else if s.AreaMM2 > m.area[g] {
			m.lab[g], m.area[g] = s.Colour.Lab(), s.AreaMM2
		}
		m.group[i] = g
	}
}

// summed adds up by groups what there is of each shade.
func (m *merger) summed(single costs) costs {
	out := make(costs, len(m.lab))
	for i, of := range single {
		sum := &out[m.group[i]]
		if *sum == nil {
			*sum = make([]float64, len(of))
		}
		for k, v := range of {
			(*sum)[k] += v
		}
	}
	return out
}

// forced is far above what all else can cost together, and small enough that a
// float64 still holds thousandths beside it.
const forced = 1e12

// force makes sure that what groups have to go to is chosen.
func (m *merger) force() {
	chosen := map[int]bool{}
	for g, to := range m.goes {
		if to < 0 {
			continue
		}
		chosen[to] = true
		for k := range m.costs[g] {
			if k != to {
				m.costs[g][k] = forced
			}
		}
	}
	if m.most > 0 {
		m.most = max(m.most, len(chosen))
	}
	if m.most <= 0 || m.most > len(m.own) {
		m.most = len(m.own)
	}
}

// note notes which groups are apart, touch and show as things.
func (m *merger) note(q Merging) {
	count := len(m.lab)
	m.thingsOf, m.apartOf, m.touches = make([][]int, count), make([][]int, count), make([]map[int]bool, count)
	for _, p := range q.Apart {
		if a, b := m.group[p[0]], m.group[p[1]]; a != b {
			m.apartOf[a], m.apartOf[b] = append(m.apartOf[a], b), append(m.apartOf[b], a)
		}
	}
	for _, p := range m.lab {
		m.hue = append(m.hue, hueOf(p))
	}
	known := map[string]int{}
	for _, t := range q.Things {
		of, contrast := m.group[t.Of], math.Inf(1)
		var beside []int
		for _, b := range t.Beside {
			contrast = math.Min(contrast, q.Shades[t.Of].Colour.DeltaE(q.Shades[b].Colour))
			if g := m.group[b]; g != of && !slices.Contains(beside, g) {
				beside = append(beside, g)
			}
		}
		if len(beside) == 0 {
			continue // it vanishes whatever is chosen, or nothing is beside it
		}
		slices.Sort(beside)
		for _, b := range beside {
			for _, p := range [][2]int{{of, b}, {b, of}} {
				if m.touches[p[0]] == nil {
					m.touches[p[0]] = map[int]bool{}
				}
				m.touches[p[0]][p[1]] = true
			}
		}
		if contrast < told {
			continue
		}
		key := fmt.Sprint(of, beside)
		at, there := known[key]
		if !there {
			at = len(m.things)
			known[key] = at
			m.things = append(m.things, thing{of: of, beside: beside})
			for _, g := range append([]int{of}, beside...) {
				m.thingsOf[g] = append(m.thingsOf[g], at)
			}
		}
		m.things[at].weight += weight(t.AreaMM2, contrast)
	}
}

// merge returns the candidate of each group.
func (m *merger) merge(ctx context.Context) ([]int, error) {
	starts, err := m.starts(ctx)
	if err != nil {
		return nil, err
	}
	var best []int
	var least worth
	for _, to := range starts {
		if err := m.settle(ctx, to); err != nil {
			return nil, err
		}
		if w := m.all(to); best == nil || w.less(least) {
			best, least = to, w
		}
	}
	return best, m.seat(ctx, best)
}

// seat chooses the candidate of each heap anew: the one that changes the picture
// least, by area and CIEDE2000, as what is together has lost its small shades
// anyway.
func (m *merger) seat(ctx context.Context, to []int) error {
	used := slices.Compact(slices.Sorted(slices.Values(to)))
	for at, was := range used {
		if err := ctx.Err(); err != nil {
			return err
		}
		var heap []int
		fixed := false
		for g, k := range to {
			if k == was {
				heap = append(heap, g)
				fixed = fixed || m.goes[g] >= 0
			}
		}
		if fixed {
			continue
		}
		best, least := was, math.Inf(1)
		for k, own := range m.own {
			if own >= 0 && to[own] != was || k != was && slices.Contains(used, k) {
				continue
			}
			sum := 0.0
			for _, g := range heap {
				sum += m.change[g][k]
			}
			if sum < least {
				best, least = k, sum
			}
		}
		for _, g := range heap {
			to[g] = best
		}
		used[at] = best
	}
	return nil
}

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
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		last := made[n-1]
		best, first := slices.Clone(last), make([]int, full+1)
		for set := 1; set <= full; set++ {
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
			if set&1023 == 0 && ctx.Err() != nil {
				return nil, ctx.Err()
			}
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

// heap returns what it comes to that the groups of a set, as bits, are cut from
// one sheet, and from which.
func (m *merger) heap(set int) (w worth, to int) {
	in := func(g int) bool { return set>>g&1 == 1 }
	to = -1
	for g := range m.lab {
		if !in(g) {
			continue
		}
		if k := m.goes[g]; k >= 0 {
			if to >= 0 && to != k {
				w.parted += forced
			}
			to = k
		}
		for _, b := range m.apartOf[g] {
			if in(b) && g < b {
				w.parted++
			}
		}
	}
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

// worth is what a way to merge comes to: how many pairs are together that were to
// be apart, and after that what it costs.
type worth struct{ parted, cost float64 }

func (w worth) plus(o worth) worth { return worth{w.parted + o.parted, w.cost + o.cost} }

// less reports whether w is better than o by more than rounding.
func (w worth) less(o worth) bool {
	if d := w.parted - o.parted; math.Abs(d) > 0.25 {
		return d < 0
	}
	return w.cost < o.cost-1e-9*(1+w.cost)
}

// lostFactor and turnedFactor say what it costs that a thing vanishes, and that two
// shades change places in lightness: as many times what their difference comes to.
// With 4 a thing is kept by a shade that goes twice as far as what the thing itself
// would have gone; much more made rocks teal and the sea yellow so that a wave on it
// stayed, and 1 let go of stripes for which there was another sheet. With 2 a tenth
// as many shades change places as without; 4 made a red hull grey for it.
const (
	lostFactor   = 4
	turnedFactor = 2
)

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

// all is what a way to merge comes to.
func (m *merger) all(to []int) worth {
	var w worth
	for g := range to {
		w.cost += m.costs[g][to[g]]
		for _, b := range m.apartOf[g] {
			if to[b] == to[g] {
				w.parted += 0.5
			}
		}
		for b := range g {
			if m.related(g, b) {
				w.cost += turnedFactor * m.turned(g, b, m.lab[g].L-m.lab[b].L, m.light[to[g]]-m.light[to[b]])
			}
		}
	}
	for i := range m.things {
		w.cost += lostFactor * m.lost(&m.things[i], to)
	}
	return w
}

func (m *merger) lost(t *thing, to []int) float64 {
	for _, b := range t.beside {
		if to[b] != to[t.of] {
			return 0
		}
	}
	return t.weight
}

// darker is how much darker (in L*) one of two shades must be for anybody to
// remember which it was: about as much as BareDeltaE of package job.
const darker = 2.0

// turned is how much it shows that of two groups that belong together the darker
// one becomes the lighter, by their differences in lightness.
func (m *merger) turned(a, b int, before, after float64) float64 {
	if before*after >= 0 || math.Min(math.Abs(before), math.Abs(after)) < darker {
		return 0
	}
	return weight(math.Min(m.area[a], m.area[b]), math.Abs(before)+math.Abs(after))
}

// neutral is the chroma below which a colour has no hue to speak of, and oneHue
// how far apart, as an angle, shades of one hue lie: a twelfth of the circle, as
// there are twelve names on a painter's colour wheel.
const (
	neutral = 10.0
	oneHue  = math.Pi / 6
)

// related reports whether two groups touch or are of one hue; neutral ones are all
// of one.
func (m *merger) related(a, b int) bool {
	p, q := m.hue[a], m.hue[b]
	if p == noHue || q == noHue {
		return p == q || m.touches[a][b]
	}
	d := math.Abs(p - q)
	return math.Min(d, 2*math.Pi-d) <= oneHue || m.touches[a][b]
}

// noHue stands for the hue of a neutral colour, beyond all angles.
const noHue = 10

func hueOf(p Lab) float64 {
	if math.Hypot(p.A, p.B) < neutral {
		return noHue
	}
	return math.Atan2(p.B, p.A)
}
