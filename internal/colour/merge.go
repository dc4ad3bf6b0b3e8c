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
// Where there are more than mostShades for few sheets, those that are hardly told apart count as one: what is left of a
// photo that was drawn as squares.
//
// It costs O(s·c·log c) for s shades and c candidates, s·c for each of at most
// maxExchanges exchanges, and s² for each of at most maxPasses passes.
func Merge(ctx context.Context, q Merging) ([]int, error) {
	if len(q.Shades) == 0 || len(q.Candidates) == 0 {
		return nil, nil
	}
	if a := alikeOf(&q); a != nil {
		groups, candidates := a.asked(&q)
		to, err := Merge(ctx, groups)
		if err != nil {
			return nil, err
		}
		for g, k := range to {
			to[g] = candidates[k]
		}
		return a.each(&q, to), nil
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

// told is how far (CIEDE2000) two shades that lie side by side must be apart for
// one to be a thing on the other. Below it they can hardly be told apart as drawn.
const told = 3.0

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
