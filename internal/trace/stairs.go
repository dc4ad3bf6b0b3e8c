package trace

import (
	"math"

	"abut/geometry"
)

// Where an edge was not smoothed, as in pictures of 256 colours and from simple drawing programs,
// no blend tells where it runs: its cracks are the stairs of a slope. But a stair of one pixel is
// where the edge passes from one row to the next, so it runs through the middle of that, and
// between two of them by as much as the treads are long.

const (
	// leastStairs is how many stairs tell that the edge of a chain was not smoothed.
	leastStairs = 3
	// sharpEdge is how far off their cracks the edges of a chain lie beside stairs, in the mean and at
	// most, where they were not smoothed; others lie some 0.3 off.
	sharpEdge = 0.1
	// leastStepped and mostStepped are how many times as far off as others points of stairs are. Those of
	// one tread are off alike, so more where treads are long.
	leastStepped, mostStepped = 2.0, 3.0
	// levels is how many times as long as the tread before it a tread slopes at most: what goes
	// on is level. On a circle the topmost is 1.4 times as long as half of the next.
	levels = 1.5
	// plainTread and plainArch are how long treads are at least that tell how steep the edge is, and how
	// high the top of an arch.
	plainTread, plainArch = 4, 9
)

// tread is a run of cracks in one direction.
type tread struct {
	from, n int // its first crack, and how many there are
	d       direction
	// before and after are what the edge is off its cracks at its ends, 0 where the stairs begin or
	// end there.
	before, after geometry.Point
	// fadeIn and fadeAway are over how many cracks that fades; on is true where it then goes on as far
	// to the other side, as on the last tread before a corner.
	fadeIn, fadeAway float64
	on               bool
	// rise is how far the top of an arch lies above its cracks.
	rise float64
}

// treads returns the runs of a chain. In a closed one the first and the last are of two runs.
func (c *chain) treads() (out []tread) {
	m := len(c.path)
	first := 0
	if c.closed() {
		for first < m && c.path[first] == c.path[(first+m-1)%m] {
			first++
		}
	}
	for i := range m {
		k := (first + i) % m
		if n := len(out); n > 0 && out[n-1].d == c.path[k] {
			out[n-1].n++
			continue
		}
		out = append(out, tread{from: k, n: 1, d: c.path[k]})
	}
	return out
}

// stairs are the treads of a chain.
type stairs struct {
	treads []tread
	closed bool
}

// at returns tread i, nil where there is none.
func (s *stairs) at(i int) *tread {
	k := len(s.treads)
	if s.closed {
		i = (i%k + k) % k
	}
	if i < 0 || i >= k {
		return nil
	}
	return &s.treads[i]
}

// stair returns the tread that follows i, or with -1 that before it, behind a riser of one crack;
// nil where there is none.
func (s *stairs) stair(i, way int) (riser, next *tread) {
	riser, next = s.at(i+way), s.at(i+2*way)
	if next == nil || riser.n != 1 || next.d != s.at(i).d {
		return nil, nil
	}
	return riser, next
}

// slope finds how each tread slopes, and how many stairs there are.
func (s *stairs) slope() (count int) {
	for i := range s.treads {
		t := &s.treads[i]
		r, next := s.stair(i, 1)
		q, last := s.stair(i, -1)
		if next != nil {
			count++
			t.after, t.fadeAway = r.half(), s.fade(i, 1, r, next)
		}
		if last != nil {
			t.before, t.fadeIn = q.half().Mul(-1), s.fade(i, -1, q, last)
		}
		switch {
		case next != nil && last != nil:
			if q.d != r.d && t.n >= plainArch {
				t.rise = (arch(t.n, last.n) + arch(t.n, next.n)) / 2
			}
		case t.leadsTo(next):
			t.fadeAway, t.on = float64(next.n)/2, true
		case t.leadsTo(last):
			t.fadeIn, t.on = float64(last.n)/2, true
		}
	}
	return count
}

// leadsTo reports whether a tread that is the last of its stairs is as steep as the one behind its
// only riser.
func (t *tread) leadsTo(next *tread) bool {
	return next != nil && t.n <= next.n && next.n >= plainTread
}

// fade is over how many cracks tread i comes back to its cracks behind a riser, from how long the
// tread there is; that may be cut short where the stairs end.
func (s *stairs) fade(i, way int, riser, next *tread) float64 {
	half := float64(s.treads[i].n) / 2
	if beyond, _ := s.stair(i+2*way, way); beyond == nil || beyond.d != riser.d {
		return half
	}
	return math.Min(half, levels*float64(next.n))
}

// arch is how far the top of an arch lies above its tread of n cracks, by that after it: on a
// parabola the squares of their ends differ as their heights do. 0 where the tread is level.
func arch(n, next int) float64 {
	h, l := float64(n)/2, float64(next)
	switch rise := h*h/(l*(2*h+l)) - 0.5; {
	case rise <= 0.5:
		return rise
	default:
		return math.Max(0, 1-rise)
	}
}

// half leads half the way over the tread's first crack.
func (t *tread) half() geometry.Point {
	return geometry.Pt(float64(steps[t.d][0]), float64(steps[t.d][1])).Mul(0.5)
}

// off is how far the edge lies off the middle of crack k of a tread.
func (t *tread) off(k int) geometry.Point {
	s := float64(k) + 0.5
	in, away := t.fading(s, t.fadeIn), t.fading(float64(t.n)-s, t.fadeAway)
	if t.before.Dot(t.after) <= 0 {
		return t.before.Mul(in).Add(t.after.Mul(away))
	}
	in, away = in*in, away*away
	return t.before.Mul(in).Add(t.after.Mul(away)).Sub(t.before.Mul(2 * t.rise * (1 - in - away)))
}

// fading is what is left at s of what fades over so many cracks.
func (t *tread) fading(s, over float64) float64 {
	switch {
	case over == 0:
		return 0
	case t.on:
		return 1 - s/over
	}
	return math.Max(0, 1-s/over)
}

// stairsOf returns what is known of a chain's stairs and the tread of each crack; nil where it has too few.
func (c *chain) stairsOf() (st *stairs, of []int32) {
	st = &stairs{treads: c.treads(), closed: c.closed()}
	if st.slope() < leastStairs {
		return nil, nil
	}
	of = make([]int32, len(c.path))
	for i, t := range st.treads {
		for k := range t.n {
			of[(t.from+k)%len(of)] = int32(i)
		}
	}
	return st, of
}

// off is how far the edge lies off the middle of crack k of a chain.
func (s *stairs) off(of []int32, k int) geometry.Point {
	t := &s.treads[of[k]]
	return t.off((k - t.from + len(of)) % len(of))
}

// sloped moves points of cracks to where the edge runs, of a chain whose edges were not smoothed:
// then their shifts are none, where others go from stair to stair.
func (c *chain) sloped(points []geometry.Point, cracks []int, shifts []float64) {
	c.stepped = 0
	st, of := c.stairsOf()
	if st == nil {
		return
	}
	moved := make([]geometry.Point, len(points))
	sum, weight, long := 0.0, 0.0, 0.0
	for i, k := range cracks {
		moved[i] = st.off(of, k)
		w := moved[i].Len()
		sum, weight = sum+w*math.Abs(shifts[i]), weight+w
		long += w * float64(st.treads[of[k]].n)
	}
	if sum >= sharpEdge*weight {
		return
	}
	for i := range points {
		points[i] = points[i].Add(moved[i])
	}
	c.stepped = math.Max(leastStepped, math.Min(mostStepped, long/weight/2))
}
