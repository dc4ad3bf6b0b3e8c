package packing

import (
	"context"
	"math/rand/v2"
	"slices"
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
	l.lay(ctx, order, 0, noLimit)
	if ctx.Err() != nil {
		return
	}
	l.keep()
	c := climber{layouter: l, rng: rng, order: order, next: make([]gene, len(order)), best: slices.Clone(order)}
	c.anew(l.better(ctx, order, 1))
	c.least = c.cost
	for step := 2; (most == 0 || step <= most) && c.least > 0 && ctx.Err() == nil; step++ {
		if tried != nil {
			tried(float64(step - 1))
		}
		if !c.step(ctx, step) {
			return
		}
	}
}

// noLimit is a cost that no layout has.
const noLimit = 1e300

// climber is where a search stands.
type climber struct {
	layouter
	rng         *rand.Rand
	order, next []gene
	cost        float64 // of order
	best        []gene
	least       float64          // the cost of best
	late        [history]float64 // costs some steps ago
	stale       int              // steps since anything was better
}

// anew lets costs count from one on.
func (c *climber) anew(cost float64) {
	c.cost = cost
	for i := range c.late {
		c.late[i] = cost
	}
}

// step tries another order; false where there is none, or no time left.
func (c *climber) step(ctx context.Context, step int) bool {
	copy(c.next, c.order)
	from := change(c.layouter, c.next, c.rng)
	if from < 0 {
		return false // there is nothing to choose
	}
	limit := max(c.cost, c.late[step%history])
	cost := c.lay(ctx, c.next, from, limit)
	if ctx.Err() != nil {
		return false
	}
	if cost <= limit {
		c.order, c.next = c.next, c.order
		c.cost = cost
		c.keep()
	}
	if cost < c.least {
		if now := c.better(ctx, c.order, step); now != cost {
			c.anew(now)
		}
		c.least, c.stale = c.cost, 0
		copy(c.best, c.order)
	} else if c.stale++; c.stale > restless*len(c.order) && !c.leap(ctx) {
		return false
	}
	c.late[step%history] = min(c.late[step%history], c.cost)
	return true
}

// leap goes another way from the best order; false where no time is left.
func (c *climber) leap(ctx context.Context) bool {
	c.stale = 0
	copy(c.order, c.best)
	for range 1 + c.rng.IntN(4) {
		change(c.layouter, c.order, c.rng)
	}
	cost := c.lay(ctx, c.order, 0, noLimit)
	if ctx.Err() != nil {
		return false
	}
	c.keep()
	c.anew(cost)
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
