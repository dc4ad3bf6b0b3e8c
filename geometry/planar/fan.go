package planar

import (
	"cmp"
	"math/bits"
	"math/rand/v2"
	"slices"
	"sort"
)

// fan is the segments that end at one vertex, where they are many, like the rays
// of a sunburst. In order of direction around it, no two of them cross, and those
// that may meet anything else are found by the directions in which it lies. In a
// grid they would all share the cells around the vertex at any scale.
type fan struct {
	hub    Point
	rays   []ray // clockwise on screen from the direction of +x
	lo, hi Point // what they reach
}

// ray is a segment of a fan, and its way from the hub.
type ray struct {
	way way
	id  int32
}

// way is a displacement in steps, or in half steps.
type way struct{ x, y int64 }

func from(hub, p Point) way { return way{int64(p.X) - int64(hub.X), int64(p.Y) - int64(hub.Y)} }

// cross is positive when v lies clockwise of w on screen. Exact when one is in
// steps and the other in half steps: see maxSteps.
func (w way) cross(v way) int64 { return w.x*v.y - w.y*v.x }

// upward reports whether w is in the second half of the turn.
func (w way) upward() bool { return w.y < 0 || w.y == 0 && w.x < 0 }

// compare orders directions by the turn that starts at +x.
func (w way) compare(v way) int {
	if a, b := w.upward(), v.upward(); a != b {
		if b {
			return -1
		}
		return 1
	}
	return cmp.Compare(0, w.cross(v))
}

const (
	// A fan has at least so many rays. Testing them pair by pair where they meet
	// takes a millisecond; more would take the square of it.
	fanRays = 512
	// Every segment is asked which fans it meets: there are no more than this,
	// the largest. A picture has one sunburst or a few.
	maxFans = 32
)

// findFans returns the fans that there are, if any, and which of the lines are in none of them.
func findFans(lines []line) (fans []fan, rest []int32) {
	hubs := findHubs(lines)
	if len(hubs) == 0 {
		return nil, nil
	}
	fans = make([]fan, len(hubs))
	of := make(map[Point]int, len(hubs))
	for i, h := range hubs {
		fans[i] = fan{hub: h, lo: h, hi: h}
		of[h] = i
	}
	for id := range int32(len(lines)) {
		s := &lines[id]
		i, ok := of[s.a]
		if k, also := of[s.b]; also && (!ok || k < i) {
			i, ok = k, true
		}
		if !ok {
			rest = append(rest, id)
			continue
		}
		f := &fans[i]
		end := s.a
		if end == f.hub {
			end = s.b
		}
		f.rays = append(f.rays, ray{from(f.hub, end), id})
		f.lo = Point{min(f.lo.X, end.X), min(f.lo.Y, end.Y)}
		f.hi = Point{max(f.hi.X, end.X), max(f.hi.Y, end.Y)}
	}
	for i := range fans {
		slices.SortFunc(fans[i].rays, func(r, s ray) int {
			return cmp.Or(r.way.compare(s.way), cmp.Compare(r.id, s.id))
		})
	}
	return fans, rest
}

// findHubs returns the vertices at which fans end, most rays first. It may
// overlook one that has not many more than it needs: where cells are used
// instead, the answer is the same.
func findHubs(lines []line) []Point {
	if len(lines) < fanRays {
		return nil
	}
	// One segment in 16, drawn so that no pattern in their order matters, shows
	// which vertices to count. Of a fan's rays 32 are drawn, give or take 6.
	const draw, shows = 16, 6
	rng := rand.New(rand.NewPCG(1, 1)) // the same in every run
	drawn := make([]Point, 0, len(lines)/draw*5/2)
	seen, often := make([]uint8, 1<<bits.Len(uint(8*len(lines)/draw))), uint8(0)
	for i := rng.IntN(draw); i < len(lines); i += 1 + rng.IntN(2*draw-1) {
		for _, p := range [2]Point{lines[i].a, lines[i].b} {
			drawn = append(drawn, p)
			n := &seen[mix(uint64(uint32(p.X))<<32|uint64(uint32(p.Y)))&uint64(len(seen)-1)]
			*n = min(*n+1, shows)
			often = max(often, *n)
		}
	}
	if often < shows {
		return nil // as nearly always; not even together with others
	}
	slices.SortFunc(drawn, comparePoints)
	count := map[Point]int{}
	for i := 0; i < len(drawn); {
		k := i + 1
		for k < len(drawn) && drawn[k] == drawn[i] {
			k++
		}
		if k-i >= shows {
			count[drawn[i]] = 0
		}
		i = k
	}
	if len(count) == 0 {
		return nil
	}
	for i := range lines {
		for _, p := range [2]Point{lines[i].a, lines[i].b} {
			if n, counted := count[p]; counted {
				count[p] = n + 1
			}
		}
	}
	var hubs []Point
	for p, n := range count {
		if n >= fanRays {
			hubs = append(hubs, p)
		}
	}
	slices.SortFunc(hubs, func(p, q Point) int { return cmp.Or(cmp.Compare(count[q], count[p]), comparePoints(p, q)) })
	return hubs[:min(len(hubs), maxFans)]
}

func comparePoints(p, q Point) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) }

// between returns the rays from one direction clockwise to another less than half
// a turn on, those in either direction included when closed: one stretch, or two
// where the turn starts anew between.
func (f *fan) between(u, v way, closed bool) [2][]ray {
	lo, hi := f.first(u, !closed), f.first(v, closed)
	switch {
	case v.compare(u) < 0:
		return [2][]ray{f.rays[lo:], f.rays[:hi]}
	case lo < hi:
		return [2][]ray{f.rays[lo:hi]}
	}
	return [2][]ray{}
}

// first returns the first ray that does not come before a direction; with past,
// the first that comes after it.
func (f *fan) first(w way, past bool) int {
	return sort.Search(len(f.rays), func(i int) bool {
		c := f.rays[i].way.compare(w)
		return c > 0 || c == 0 && !past
	})
}

// across returns the rays that a segment may cross properly: those that run
// between the directions of its ends.
func (f *fan) across(s *line) [2][]ray {
	if s.a.X < f.lo.X && s.b.X < f.lo.X || s.a.X > f.hi.X && s.b.X > f.hi.X ||
		s.a.Y < f.lo.Y && s.b.Y < f.lo.Y || s.a.Y > f.hi.Y && s.b.Y > f.hi.Y {
		return [2][]ray{}
	}
	u, v := from(f.hub, s.a), from(f.hub, s.b)
	switch c := u.cross(v); {
	case c > 0:
		return f.between(u, v, false)
	case c < 0:
		return f.between(v, u, false)
	}
	return [2][]ray{} // in line with the hub: at most along a ray
}

// crossings appends where the rays cross a segment that is none of them.
func (f *fan) crossings(p *pace, lines []line, id int32, found []Point) ([]Point, error) {
	p.crowded(len(f.rays), f.hub)
	s, tests := &lines[id], 1
	for _, stretch := range f.across(s) {
		tests += len(stretch)
		for _, r := range stretch {
			t := &lines[r.id]
			if at, ok := crossing(s.a, s.b, t.a, t.b); ok {
				found = append(found, at)
			}
		}
	}
	return found, p.spend(tests)
}
