package planar

import (
	"context"
	"slices"

	"abut/geometry/parallel"
)

// index finds the segments that may meet a segment or a vertex: through cells, and
// where many end at one vertex, through their directions.
type index struct {
	segs  []segment
	cells *cells
	fans  []fan
	rest  []int32 // the segments in cells
}

// newIndex files all segments; lo and hi are the corners of their bounds.
func newIndex(ctx context.Context, segs []segment, lo, hi Point, budget int, sc *scratch) (*index, error) {
	ids := room(sc.ids, len(segs))
	for i := range segs {
		ids = append(ids, int32(i))
	}
	sc.ids = ids
	x := &index{segs: segs}
	x.fans, x.rest = findFans(segs, ids)
	p := &pace{ctx: ctx, limit: effortFor(len(segs), budget)}
	err := p.spend(len(ids))
	if err != nil {
		return nil, err
	}
	x.cells, err = newCells(p, segs, x.rest, lo, hi, snapMargin, &sc.cells)
	return x, err
}

// findCrossings returns the rounded proper crossings, each once for the pair
// that makes it.
func (x *index) findCrossings(ctx context.Context, budget int, sc *scratch) ([]Point, error) {
	s := &search{ctx: ctx, budget: budget, limit: effortFor(len(x.segs), budget)}
	leaves := x.cells.leaves(sc.leaves[:0])
	sc.leaves = leaves
	defer clear(leaves) // they hold on to the grid
	err := s.run(len(leaves), func(i int, p *pace, found []Point) ([]Point, error) {
		return leaves[i].crossings(p, x.segs, found)
	})
	for i := 0; i < len(x.fans) && err == nil; i++ {
		others := x.besides(i)
		err = s.run(len(others), func(k int, p *pace, found []Point) ([]Point, error) {
			return x.fans[i].crossings(p, x.segs, others[k], found)
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
}

// run lets the workers go through items 0 … n−1, each of which appends what it
// finds.
func (s *search) run(n int, find func(item int, p *pace, found []Point) ([]Point, error)) error {
	var found [parallel.Workers][]Point
	var paces [parallel.Workers]pace
	err := parallel.Ranges(s.ctx, n, worthSplitting, func(part, lo, hi int) (err error) {
		p := &paces[part]
		*p = pace{ctx: s.ctx, limit: s.limit}
		for i := lo; i < hi; i++ {
			if found[part], err = find(i, p, found[part]); err != nil {
				return err
			}
			if k := len(found[part]); k > s.budget {
				return &ComplexityError{At: found[part][k/2].MM(), Budget: s.budget}
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	sum := pace{ctx: s.ctx, limit: s.limit}
	for part := range found {
		s.found = append(s.found, found[part]...)
		sum.crowded(paces[part].most, paces[part].at)
		sum.spent += paces[part].spent
	}
	if k := len(s.found); k > s.budget {
		return &ComplexityError{At: s.found[k/2].MM(), Budget: s.budget}
	}
	return sum.spend(0)
}

// besides returns the segments that fan i may cross and that no fan before it has.
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

// refine makes cells finer where many vertices are to be looked up.
func (x *index) refine(ctx context.Context, vertices []Point, budget int, sc *scratch) error {
	return x.cells.refine(&pace{ctx: ctx, limit: effortFor(len(x.segs), budget)}, x.segs, vertices, &sc.cells)
}

// hit says that a segment passes through a vertex's hot pixel.
type hit struct {
	segment int32
	vertex  VertexID
}

// hitsPerCrossing is how many hits the budget allows for each crossing. A
// crossing hits both its segments; edges that nearly coincide add to that, since
// each passes through the pixels of all the others' vertices.
const hitsPerCrossing = 4

// findHits returns every vertex whose pixel a segment passes between its ends.
func (x *index) findHits(ctx context.Context, vertices []Point, budget int) ([]hit, error) {
	found := make([][]hit, parallel.Workers)
	err := parallel.Ranges(ctx, len(vertices), worthSplitting, func(part, lo, hi int) error {
		pace := unhurried(ctx)
		var hits []hit
		for v := lo; v < hi; v++ {
			p := vertices[v]
			members := x.cells.near(p)
			for _, id := range members {
				if s := &x.segs[id]; s.encloses(p) && p != s.a && p != s.b && inHotPixel(s.a, s.b, p) {
					hits = append(hits, hit{id, VertexID(v)})
				}
			}
			tests := len(members)
			for i := range x.fans {
				for _, stretch := range x.fans[i].near(p) {
					for _, r := range stretch {
						if s := &x.segs[r.id]; s.encloses(p) && p != s.a && p != s.b && inHotPixel(s.a, s.b, p) {
							hits = append(hits, hit{r.id, VertexID(v)})
						}
					}
					tests += 1 + len(stretch)
				}
			}
			if err := pace.spend(tests); err != nil {
				return err
			}
			if len(hits) > hitsPerCrossing*budget {
				return &ComplexityError{At: p.MM(), Budget: budget}
			}
		}
		found[part] = hits
		return nil
	})
	return slices.Concat(found...), err
}

// encloses reports whether a vertex lies within the segment's bounds.
func (s *segment) encloses(p Point) bool {
	return p.X >= min(s.a.X, s.b.X) && p.X <= max(s.a.X, s.b.X) && p.Y >= min(s.a.Y, s.b.Y) && p.Y <= max(s.a.Y, s.b.Y)
}
