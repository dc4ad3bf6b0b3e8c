package geometry

import (
	"container/heap"
	"math"
)

// Pole returns a place inside the outline that is as far from it as any, to
// within precision, and how far that is: the middle of the largest disc that
// fits in. The path is of straight lines, contours closed, by the even-odd rule;
// flatten curves first. What is narrower than the precision has a place inside all the
// same. An outline that encloses nothing has radius 0 and the middle of its bounds.
//
// Squares are halved as long as one may hold a better place than the best one
// known: the distance to the outline changes no faster than one moves, so that
// no place of a square is better than its middle by more than half its diagonal.
// A straight band of length L takes some L/precision of them.
func (p Path) Pole(precision float64) (at Point, radius float64) {
	b := p.Bounds()
	if b.Empty() {
		return Point{}, 0
	}
	at = b.Centre()
	var sides []slabSide
	for _, c := range p {
		for from, to := range c.Sides() {
			sides = append(sides, slabSide{from, to})
		}
	}
	inside := NewEnclosure(p)
	// A bar is begun with squares as wide as it is, but no more than 64 of them.
	long, short := b.Longer(), b.Shorter()
	half := math.Max(short, long/64) / 2
	if !(half > 0) {
		return at, 0
	}
	// known is what a square must promise more than. As long as no place is inside any will do, down to squares of
	// about a hundredth of the precision: what is narrower than that, and missed, has no inside to speak of.
	narrow := precision / 64
	known := func() float64 {
		if radius == 0 {
			return narrow
		}
		return radius + precision
	}
	var open squares
	try := func(middle Point, half float64, sides []slabSide) {
		s := square{middle: middle, half: half}
		d := s.measure(sides)
		if !inside.Holds(middle) {
			d = -d
		} else if d > radius {
			at, radius = middle, d
		}
		if s.most = d + half*math.Sqrt2; half > 0 && s.most > known() {
			heap.Push(&open, s)
		}
	}
	try(at, 0, sides) // of places that are as good, the middle is what one expects
	for y := b.Min.Y + half; y < b.Max.Y+half; y += 2 * half {
		for x := b.Min.X + half; x < b.Max.X+half; x += 2 * half {
			try(Pt(x, y), half, sides)
		}
	}
	for len(open) > 0 {
		s := heap.Pop(&open).(square)
		if s.most <= known() {
			break // nor is any other better
		}
		h := s.half / 2
		for _, d := range []Point{{-h, -h}, {h, -h}, {-h, h}, {h, h}} {
			try(s.middle.Add(d), h, s.near)
		}
	}
	return at, radius
}

// square is a place to look for a pole in.
type square struct {
	middle Point
	half   float64
	// most bounds how far from the outline any of its places is.
	most float64
	// near holds the nearest side of every place in it.
	near []slabSide
}

// measure returns how far the middle lies from the sides, and keeps those that
// may be the nearest of some place of the square: none is farther from its nearest
// side than the middle by more than half the diagonal, and seen from the middle
// that side is farther by as much again.
func (s *square) measure(sides []slabSide) float64 {
	best := math.Inf(1)
	far := make([]float64, len(sides))
	for i, side := range sides {
		far[i] = Nearest(side.a, side.b, s.middle).Sub(s.middle).Len()
		best = math.Min(best, far[i])
	}
	for i, side := range sides {
		if far[i] <= best+2*math.Sqrt2*s.half {
			s.near = append(s.near, side)
		}
	}
	return best
}

// squares is a heap, the most promising first.
type squares []square

func (q squares) Len() int           { return len(q) }
func (q squares) Less(i, j int) bool { return q[i].most > q[j].most }
func (q squares) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *squares) Push(x any)        { *q = append(*q, x.(square)) }
func (q *squares) Pop() any {
	last := len(*q) - 1
	s := (*q)[last]
	*q = (*q)[:last]
	return s
}
