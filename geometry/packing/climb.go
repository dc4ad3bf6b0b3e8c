package packing

import (
	"context"
	"math/rand/v2"
)

// gene is an item and how it is to be turned, anyTurn for the turn that suits its
// place best.
type gene struct{ item, turn int32 }

const anyTurn = -1

// layouter makes a layout of an order.
type layouter interface {
	// lay returns what the layout of this order costs. Genes before from are as
	// they were when lay was last told to keep. It may give up, with a cost
	// above limit, once that is sure.
	lay(ctx context.Context, order []gene, from int, limit float64) float64
	// keep says that the last order is the one to go on from.
	keep()
	// same reports whether two items can stand for each other.
	same(a, b int32) bool
	// turns is how many turns an item has.
	turns(item int32) int
	// better is told of the layout that was kept, of this order, when it costs less
	// than any before. It returns what the order costs from now on.
	better(ctx context.Context, order []gene, step int) float64
}

// history is how many steps back a cost may lie that a new one is compared with.
// Of 5 to 150 what did best on the published nesting problems; it matters little.
const history = 20

// restless is how many steps without a better layout, for each item, lead back to
// the best one.
const restless = 200

// climb looks for an order that costs less, from the given one on. It ends with the
// steps, the context, or a cost of 0. tried, which may be nil, is told each.
func climb(ctx context.Context, l layouter, order []gene, rng *rand.Rand, most int, tried func(float64)) {
	n := len(order)
	l.lay(ctx, order, 0, 1e300)
	if ctx.Err() != nil {
		return
	}
	l.keep()
	cost := l.better(ctx, order, 1)
	best, bestOrder := cost, append([]gene(nil), order...)
	var late [history]float64
	anew := func() { // costs count anew
		for i := range late {
			late[i] = cost
		}
	}
	anew()
	next := make([]gene, n)
	stale := 0
	step := 1
	for (most == 0 || step < most) && best > 0 && ctx.Err() == nil {
		if tried != nil {
			tried(float64(step))
		}
		step++
		copy(next, order)
		from := change(l, next, rng)
		if from < 0 {
			return // there is nothing to choose
		}
		limit := max(cost, late[step%history])
		c := l.lay(ctx, next, from, limit)
		if ctx.Err() != nil {
			break
		}
		if c <= limit {
			order, next = next, order
			cost = c
			l.keep()
		}
		if c < best {
			cost = l.better(ctx, order, step)
			if cost != c {
				anew()
			}
			best, stale = cost, 0
			copy(bestOrder, order)
		} else if stale++; stale > restless*n {
			stale = 0
			copy(order, bestOrder)
			for range 1 + rng.IntN(4) { // another way from there
				change(l, order, rng)
			}
			cost = l.lay(ctx, order, 0, 1e300)
			if ctx.Err() != nil {
				break
			}
			l.keep()
			anew()
		}
		late[step%history] = min(late[step%history], cost)
	}
}

// change changes an order a little and returns the first place that is different,
// −1 where all orders are the same.
func change(l layouter, order []gene, rng *rand.Rand) int {
	n := len(order)
	for range 50 { // most tries find something
		i := rng.IntN(n)
		what := rng.IntN(10)
		if t := l.turns(order[i].item); t > 1 && what < 3 {
			turn := int32(rng.IntN(t+1)) - 1
			if turn != order[i].turn {
				order[i].turn = turn
				return i
			}
			continue
		}
		j := rng.IntN(n)
		if i == j || l.same(order[i].item, order[j].item) && order[i].turn == order[j].turn {
			continue
		}
		if what < 7 {
			order[i], order[j] = order[j], order[i]
			return min(i, j)
		}
		g := order[i]
		if i < j {
			copy(order[i:j], order[i+1:j+1])
		} else {
			copy(order[j+1:i+1], order[j:i])
		}
		order[j] = g
		return min(i, j)
	}
	return -1
}
