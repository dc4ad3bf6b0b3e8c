package planar

import (
	"context"
	"math"

	"abut/geometry/parallel"
)

// poll is how much work goes by between looks at the context, in units of some
// 10 ns: a millisecond, so that cancelling is prompt and looking costs nothing.
const poll = 100_000

// pace counts the work of one loop: it looks at the context every so often and
// stops what would go on for too long. Each worker has its own.
type pace struct {
	ctx   context.Context
	limit effort
	spent int
	next  int // when to look again
	most  int // segments that share a place, and which
	at    Point
}

// effort is how much work the search for what meets may be. Crossings have their
// own budget; but where many segments crowd and few cross, looking for them is
// what takes the time.
type effort struct {
	units  int
	budget int // of crossings, which it comes from
}

const (
	// A picture whose crossings just fill the budget has some 20 tests for each.
	// Thousands of hairlines that end in one point need twice as many.
	effortPerCrossing = 64
	// What does not crowd takes a hundred or two for each segment.
	effortPerSegment = 1000
)

func effortFor(segments, budget int) effort {
	return effort{effortPerCrossing*budget + effortPerSegment*segments, budget}
}

// unhurried counts work that something else limits.
func unhurried(ctx context.Context) *pace {
	return &pace{ctx: ctx, limit: effort{units: math.MaxInt}}
}

// crowded notes a place that so many segments share, for the error to point at.
func (p *pace) crowded(segments int, at Point) {
	if segments > p.most {
		p.most, p.at = segments, at
	}
}

// spend counts units of work.
func (p *pace) spend(units int) error {
	if p.spent += units; p.spent < p.next {
		return nil
	}
	return p.look()
}

// look is apart from spend so that this, which is nearly all, is in line where it is called.
func (p *pace) look() error {
	p.next = p.spent + poll
	if p.spent > p.limit.units {
		return &ComplexityError{At: p.at.MM(), Budget: p.limit.budget}
	}
	return p.ctx.Err()
}

// together counts the work that workers did, each with a pace of its own, and notes what
// they found crowded.
func (p *pace) together(parts *[parallel.Workers]pace) error {
	sum := 0
	for i := range parts {
		p.crowded(parts[i].most, parts[i].at)
		sum += parts[i].spent
	}
	return p.spend(sum)
}
