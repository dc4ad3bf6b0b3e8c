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
	l.lay(ctx, order, 0, 1e300)
	if ctx.Err() != nil {
		return
	}
	l.keep()
	c := &climber{layouter: l, rng: rng, order: order, next: make([]gene, len(order)), cost: l.better(ctx, order, 1)}
	c.best, c.bestOrder = c.cost, append([]gene(nil), order...)
	c.anew()
	for step := 1; (most == 0 || step < most) && c.best > 0 && ctx.Err() == nil; {
		if tried != nil {
			tried(float64(step))
		}
		step++
		if !c.step(ctx, step) {
			return
		}
	}
}

// climber is on its way to an order that costs less.
type climber struct {
	layouter
	rng *rand.Rand
	// order is where it stands, next what is tried.
	order, next []gene
	cost        float64
	best        float64
	bestOrder   []gene
	late        [history]float64 // what the last steps cost
	stale       int              // steps since the best
}

// anew has costs count anew.
func (c *climber) anew() {
	for i := range c.late {
		c.late[i] = c.cost
	}
}

// step tries an order that is a little different; false where there is none, or the context
// ended.
func (c *climber) step(ctx context.Context, step int) bool {
	copy(c.next, c.order)
	from := change(c, c.next, c.rng)
	if from < 0 {
		return false // there is nothing to choose
	}
	late := &c.late[step%history]
	limit := max(c.cost, *late)
	cost := c.lay(ctx, c.next, from, limit)
	if ctx.Err() != nil {
		return false
	}
	if cost <= limit {
		c.order, c.next = c.next, c.order
		c.cost = cost
		c.keep()
	}
	if cost < c.best {
		c.cost = c.better(ctx, c.order, step)
		if c.cost != cost {
			c.anew()
		}
		c.best, c.stale = c.cost, 0
		copy(c.bestOrder, c.order)
	} else if c.stale++; c.stale > restless*len(c.order) && !c.again(ctx) {
		return false
	}
	*late = min(*late, c.cost)
	return true
}

// again goes another way from the best order; false where the context ended.
func (c *climber) again(ctx context.Context) bool {
	c.stale = 0
	copy(c.order, c.bestOrder)
	for range 1 + c.rng.IntN(4) {
		change(c, c.order, c.rng)
	}
	c.cost = c.lay(ctx, c.order, 0, 1e300)
	if ctx.Err() != nil {
		return false
	}
	c.keep()
	c.anew()
	return true
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
