package planar

import (
	"context"
	"slices"

	"abut/geometry/parallel"
)

// line is a straight way between two points, from the one that sorts first.
type line struct{ a, b Point }

// ordered returns the line from the end that sorts first.
func (l line) ordered() line {
	if l.b.less(l.a) {
		return line{l.b, l.a}
	}
	return l
}

// index finds lines that may cross: through cells, and where many end at one
// vertex, through their directions.
type index struct {
	lines []line
	runs  *runs // the lines in cells
	cells *cells
	fans  []fan
	rest  []int32 // the lines of none of these, where there are some
	// near tells, by name, which lines may pass a vertex, or where something crosses; it is
	// nil when all may. findCrossings makes it.
	near []bool
}

// newIndex files all lines, listed so that those follow each other that do in a ring, with their
// names; no more than crowd end at one vertex, and lo and hi are the corners of their bounds. Either
// list comes to be in another order.
func newIndex(ctx context.Context, lines []line, ids []int32, crowd int, lo, hi Point, budget int, sc *scratch) (*index, error) {
	x := &index{lines: lines, runs: &sc.runs}
	if crowd >= fanRays {
		x.fans, x.rest = findFans(lines)
	}
	p := &pace{ctx: ctx, limit: effortFor(len(lines), budget)}
	if err := p.spend(len(lines)); err != nil {
		return nil, err
	}
	if len(x.fans) > 0 {
		lines, ids = pick(lines, x.rest), pick(ids, x.rest)
	}
	err := x.runs.makeRuns(ctx, lines, ids, lo, hi)
	if err != nil {
		return nil, err
	}
	all := room(sc.all, len(x.runs.all))
	for i := range x.runs.all {
		all = append(all, int32(i))
	}
	sc.all = all
	sc.cells[0].reset(len(all))
	for part := 1; part < parallel.Workers; part++ {
		sc.cells[part].reset(len(all) / 8) // for what it divides of crowded cells
	}
	x.cells, err = newCells(p, x.runs, all, lo, hi, snapMargin, &sc.cells)
	return x, err
}

// pick returns the items at some places.
func pick[T any](list []T, at []int32) []T {
	out := make([]T, len(at))
	for i, k := range at {
		out[i] = list[k]
	}
	return out
}

// findCrossings returns the rounded proper crossings, each once for the pair
// that makes it.
func (x *index) findCrossings(ctx context.Context, budget int, sc *scratch) ([]Point, error) {
	s := &search{ctx: ctx, budget: budget, limit: effortFor(len(x.lines), budget), found: sc.found[parallel.Workers][:0], sc: sc}
	defer func() { sc.found[parallel.Workers] = s.found }()
	chords := len(x.runs.chords)
	worth, parts := worthSplitting/usualRun, 1
	if len(x.cells.member) >= worth {
		parts = parallel.Workers
	}
	near := sc.near[:parts]
	for part := range near {
		near[part] = room(near[part], chords)[:chords]
		clear(near[part])
	}
	err := s.run(len(x.cells.member), worth, func(part, lo, hi int, p *pace, found []Point) ([]Point, error) {
		first, end := x.cells.ofMembers(lo, hi)
		err := x.cells.leaves(first, end, func(leaf leafCell) (err error) {
			if found, err = x.crossings(leaf, p, near[part], found); err != nil {
				return err
			}
			return s.within(found)
		})
		return found, err
	})
	if len(x.fans) == 0 { // each line is some chord
		x.near = room(sc.isNear, chords)[:chords]
		sc.isNear = x.near
		if err == nil {
			err = parallel.Ranges(ctx, chords, worthSplitting, func(_, lo, hi int) error {
				for i := lo; i < hi; i++ {
					is := near[0][i]
					for _, other := range near[1:] {
						is = is || other[i]
					}
					x.near[x.runs.ids[i]] = is
				}
				return nil
			})
		}
	}
	for i := 0; i < len(x.fans) && err == nil; i++ {
		others := x.besides(i)
		err = s.run(len(others), worthSplitting/testsALine, func(_, lo, hi int, p *pace, found []Point) (_ []Point, err error) {
			for k := lo; k < hi && err == nil; k++ {
				if found, err = x.fans[i].crossings(p, x.lines, others[k], found); err == nil {
					err = s.within(found)
				}
			}
			return found, err
		})
	}
	return s.found, err
}

// search gathers crossings within its budgets.
type search struct {
	ctx    context.Context
	budget int
	limit  effort
	found  []Point
	sc     *scratch
}

// testsALine is how much work a line is beside a fan: it has some rays to test.
const testsALine = 64

// run has the workers go through items 0 … n−1, and append what they find.
func (s *search) run(n, worth int, find func(part, lo, hi int, p *pace, found []Point) ([]Point, error)) error {
	type share struct {
		pace  pace
		found []Point
	}
	shares, err := parallel.Collect(s.ctx, n, worth, func(part, lo, hi int) (share, error) {
		p := &pace{ctx: s.ctx, limit: s.limit}
		found, err := find(part, lo, hi, p, s.sc.found[part][:0])
		s.sc.found[part] = found
		return share{*p, found}, err
	})
	if err != nil {
		return err
	}
	sum, paces := pace{ctx: s.ctx, limit: s.limit}, [parallel.Workers]pace{}
	for part, of := range shares {
		s.found = append(s.found, of.found...)
		paces[part] = of.pace
	}
	if err := s.within(s.found); err != nil {
		return err
	}
	return sum.together(&paces)
}

// within returns an error where so many crossings are beyond the budget.
func (s *search) within(found []Point) error {
	if k := len(found); k > s.budget {
		return &ComplexityError{At: found[k/2].MM(), Budget: s.budget}
	}
	return nil
}

// besides returns the lines that fan i may cross and that no fan before it has.
func (x *index) besides(i int) []int32 {
	others := x.rest
	for _, f := range x.fans[i+1:] {
		others = slices.Clip(others)
		for _, r := range f.rays {
			others = append(others, r.id)
		}
	}
	return others
}
