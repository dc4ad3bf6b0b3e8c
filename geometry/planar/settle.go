package planar

import (
	"context"
	"slices"

	"abut/geometry/parallel"
)

// settle leads fragments through the vertices whose hot squares they pass, again
// and again for parts of what was bent that may pass another, until none does. Those that are
// there when it begins are sorted; only those that are near something may pass any.
func (arr *arrangement) settle(ctx context.Context, whole []fragment, near []bool, lo, hi Point, budget int, sc *scratch) error {
	p := unhurried(ctx)
	r := &router{arrangement: arr, columns: columns{vertices: arr.vertices, top: lo.Y}, bottom: hi.Y, budget: budget, sc: sc}
	arr.whole = whole
	settled, bent, err := r.route(ctx, whole, near, true, sc.fragments[1][:0])
	for err == nil && len(bent) > 0 {
		if bent, err = arr.sorted(p, bent, sc); err == nil {
			settled, bent, err = r.route(ctx, bent, nil, false, settled)
		}
	}
	if err != nil {
		return err
	}
	sc.fragments[1] = settled
	arr.bent, err = arr.sorted(p, settled, sc)
	return err
}

// hitsPerCrossing is how many hits the budget allows for each crossing. A
// crossing hits both its segments; edges that nearly coincide add to that, since
// each passes through the pixels of all the others' vertices.
const hitsPerCrossing = 4

// router leads fragments through vertices.
type router struct {
	*arrangement
	columns columns
	bottom  int32 // no vertex lies below
	budget  int   // of crossings
	sc      *scratch
}

// route cuts fragments at the vertices whose hot squares they pass, those that are
// near something or, without a list, all. The parts may be bent: those that may pass another
// vertex for that are returned, and the rest is appended to what is settled. What passes none is
// settled too, or all stays where it is, and what was cut is struck out there.
func (r *router) route(ctx context.Context, frags []fragment, near []bool, stay bool, settled []fragment) (after, bent []fragment, err error) {
	look, worth, err := r.look(ctx, frags, near)
	if err != nil {
		return nil, nil, err
	}
	cutters, err := parallel.Collect(ctx, len(frags), worth, func(part, lo, hi int) (cutter, error) {
		pace := unhurried(ctx)
		c := cutter{r.arrangement, settled, r.sc.bent[part][:0]}
		if part > 0 {
			c.settled = r.sc.settled[part][:0]
		}
		beside, hits := r.sc.vicinity[part], 0
		for i := lo; i < hi; i++ {
			if near != nil && !near[i] {
				continue
			}
			beside.hit, beside.missed = beside.hit[:0], beside.missed[:0]
			f := frags[i]
			tests := look(f, &beside)
			if len(beside.hit) > 0 {
				c.cut(f, &beside)
				frags[i].segment = struckOut
			} else if !stay {
				c.settled = append(c.settled, f)
			}
			if hits += len(beside.hit); hits > hitsPerCrossing*r.budget {
				return c, &ComplexityError{At: r.vertices[f.from].MM(), Budget: r.budget}
			}
			if err := pace.spend(tests); err != nil {
				return c, err
			}
		}
		r.sc.bent[part], r.sc.vicinity[part] = c.bent, beside
		if part > 0 {
			r.sc.settled[part] = c.settled
		}
		return c, nil
	})
	if err != nil {
		return nil, nil, err
	}
	after, bent = cutters[0].settled, cutters[0].bent
	for _, c := range cutters[1:] {
		after, bent = append(after, c.settled...), append(bent, c.bent...)
	}
	r.sc.bent[0] = bent
	return after, bent, nil
}

// between returns how many vertices lie between the ends of fragments, from left to right.
func (r *router) between(ctx context.Context, frags []fragment, near []bool) (all int, err error) {
	sums, err := parallel.Collect(ctx, len(frags), worthSplitting, func(_, lo, hi int) (sum int, _ error) {
		for i := lo; i < hi; i++ {
			if near == nil || near[i] {
				sum += int(frags[i].to - frags[i].from)
			}
		}
		return sum, nil
	})
	for _, sum := range sums {
		all += sum
	}
	return all, err
}

// look returns how to find what fragments come near, and how many of them make it pay to share that:
// there may be few that are long.
func (r *router) look(ctx context.Context, frags []fragment, near []bool) (look func(fragment, *vicinity) int, worth int, err error) {
	if r.columns.spans != nil {
		return r.columns.passed, worthSplitting, nil
	}
	// Looking at all the vertices between would then take longer than to make columns of them.
	const factor = 12
	between, err := r.between(ctx, frags, near)
	look, worth = r.columns.scanned, worthSplitting
	if err == nil && between > factor*len(r.vertices) {
		look, err = r.columns.passed, r.columns.fill(unhurried(ctx), r.bottom, r.sc)
		between >>= r.columns.shift
	}
	if between > worthSplitting {
		worth = parallel.Workers
	}
	return look, worth, err
}

// cutter cuts fragments into parts.
type cutter struct {
	*arrangement
	settled, bent []fragment // those that pass nothing, and those that may
}

// cut cuts a fragment at the vertices that it passes. Parts have its direction: a
// rising one may be bent into a step straight up, from a vertex to one before it.
func (c *cutter) cut(f fragment, beside *vicinity) {
	c.sortAlong(beside.hit, f)
	slices.Sort(beside.missed) // from left to right
	end, missed := f.to, beside.missed
	for i := 0; i <= len(beside.hit); i++ {
		if f.to = end; i < len(beside.hit) {
			f.to = beside.hit[i]
		}
		// What a part may pass lies between its ends, or straight above one or below.
		for len(missed) > 0 && c.vertices[missed[0]].X < c.vertices[f.from].X {
			missed = missed[1:]
		}
		if len(missed) > 0 && c.vertices[missed[0]].X <= c.vertices[f.to].X {
			c.bent = append(c.bent, f)
		} else {
			c.settled = append(c.settled, f)
		}
		f.from = f.to
	}
}

// sortAlong orders vertices as a fragment meets them from its left end: it is
// monotone, so by x and then by y in its own direction.
func (arr *arrangement) sortAlong(vs []VertexID, f fragment) {
	slices.Sort(vs) // vertices are numbered by x, then y
	if rising := arr.vertices[f.to].Y < arr.vertices[f.from].Y; !rising {
		return
	}
	for len(vs) > 1 {
		above := 1
		for above < len(vs) && arr.vertices[vs[above]].X == arr.vertices[vs[0]].X {
			above++
		}
		slices.Reverse(vs[:above])
		vs = vs[above:]
	}
}
