package weak

import (
	"math"

	"abut/geometry"
)

// sampleMM is how far apart the outline is asked for its width. A waist
// between two arcs of radius ρ is found from a deficit of some
// sampleMM²/(4ρ) on: 0.0025 mm at ρ = 1 mm.
const sampleMM = 0.1

// facing is the cosine that the directions to the two places where a disc
// touches must stay below: what a corner of 2·atan ½ has, cos(180° − 53.13°) =
// −0.6. The discs of a blunter corner touch at a smaller angle.
const facing = -0.6

// side is one straight piece of an outline, the inside on the right hand on
// screen.
type side struct {
	a, b geometry.Point
	next int32 // the side that starts at b
	prev int32
}

// disc is a medial disc: the largest one inside that touches side s at at, and
// side t on the other side of the piece.
type disc struct {
	c    geometry.Point
	r    float64
	s, t int32
	run  int32 // discs that follow each other along the outline share it
}

// sides lists the outline of one piece. Contours are polygons; the outer one
// runs clockwise on screen, holes anticlockwise.
func sides(p geometry.Path) []side {
	var out []side
	for _, c := range p {
		pts := []geometry.Point{c.Start}
		for _, s := range c.Segments {
			if s.End != pts[len(pts)-1] {
				pts = append(pts, s.End)
			}
		}
		if n := len(pts); n > 1 && pts[n-1] == pts[0] {
			pts = pts[:n-1]
		}
		if len(pts) < 3 {
			continue
		}
		first, n := int32(len(out)), int32(len(pts))
		for i := range n {
			out = append(out, side{pts[i], pts[(i+1)%n], first + (i+1)%n, first + (i+n-1)%n})
		}
	}
	return out
}

// grid finds the sides near a place.
type grid struct {
	sides  []side
	min    geometry.Point
	cell   float64
	nx, ny int
	start  []int32
	list   []int32
	stamp  []int32
	now    int32
}

func newGrid(s []side, cell float64) *grid {
	g := &grid{sides: s, cell: cell, stamp: make([]int32, len(s))}
	b := geometry.EmptyRect()
	for i := range s {
		b = b.Include(s[i].a)
	}
	g.min = b.Min
	const most = 1 << 20
	// Where sides are short and dense, fewer of them share a smaller cell.
	length := 0.0
	for i := range s {
		length += s[i].b.Sub(s[i].a).Len()
	}
	if mean := length / float64(len(s)); 4*mean < g.cell {
		g.cell = math.Max(4*mean, cell/8)
	}
	for b.Width()/g.cell*(b.Height()/g.cell) > most {
		g.cell *= 2
	}
	g.nx, g.ny = int(b.Width()/g.cell)+1, int(b.Height()/g.cell)+1
	g.start = make([]int32, g.nx*g.ny+1)
	for pass := range 2 {
		for i := range s {
			g.cells(geometry.EmptyRect().Include(s[i].a).Include(s[i].b), func(c int) {
				if pass == 0 {
					g.start[c+1]++
				} else {
					g.list[g.start[c]] = int32(i)
					g.start[c]++
				}
			})
		}
		if pass == 0 {
			for c := 0; c < g.nx*g.ny; c++ {
				g.start[c+1] += g.start[c]
			}
			g.list = make([]int32, g.start[g.nx*g.ny])
		}
	}
	copy(g.start[1:], g.start)
	g.start[0] = 0
	return g
}

func (g *grid) cells(r geometry.Rect, do func(c int)) {
	at := func(v, from float64, n int) int {
		return max(0, min(n-1, int(math.Floor((v-from)/g.cell))))
	}
	x1, y1 := at(r.Max.X, g.min.X, g.nx), at(r.Max.Y, g.min.Y, g.ny)
	for y := at(r.Min.Y, g.min.Y, g.ny); y <= y1; y++ {
		for x := at(r.Min.X, g.min.X, g.nx); x <= x1; x++ {
			do(y*g.nx + x)
		}
	}
}

// nearest returns the side nearest to c within r, and its nearest point; false
// when there is none. The side `but` does not count.
func (g *grid) nearest(c geometry.Point, r float64, but int32) (int32, geometry.Point, bool) {
	g.now++
	best, at, limit := int32(-1), geometry.Point{}, r*r
	g.cells(geometry.Rect{Min: c, Max: c}.Grow(r), func(k int) {
		for _, i := range g.list[g.start[k]:g.start[k+1]] {
			if i == but || g.stamp[i] == g.now {
				continue
			}
			g.stamp[i] = g.now
			// Squares, and no calls: most of the time of finding goes by here.
			q := g.sides[i].nearest(c)
			x, y := q.X-c.X, q.Y-c.Y
			if l := x*x + y*y; l < limit {
				best, at, limit = i, q, l
			}
		}
	})
	return best, at, best >= 0
}

// nearest returns the point of the side that is nearest to p.
func (s *side) nearest(p geometry.Point) geometry.Point {
	d := s.b.Sub(s.a)
	t := p.Sub(s.a).Dot(d) / d.Dot(d)
	switch {
	case t <= 0:
		return s.a
	case t >= 1:
		return s.b
	}
	return s.a.Lerp(s.b, t)
}

// inward is the unit normal of a side into the piece: to the right of the way
// on screen, where y points down.
func (s *side) inward() geometry.Point {
	d := s.b.Sub(s.a)
	return geometry.Pt(-d.Y, d.X).Mul(1 / d.Len())
}

// shrink returns the largest disc inside the piece that touches the outline at
// p, on side s with normal n there, as long as its radius is below most
// (the shrinking ball of Ma, Bae and Choi, 3D medial axis point approximation
// using nearest neighbors and the normal field, 2012). It is looked for from
// radius guess downwards first, which is quick where it lies below.
func (g *grid) shrink(p, n geometry.Point, s int32, most, guess float64) (disc, bool) {
	if guess < most {
		if d, ok := g.shrink(p, n, s, guess, guess); ok {
			return d, true
		}
	}
	d := disc{r: most, s: s, t: -1}
	for range 40 {
		d.c = p.Add(n.Mul(d.r))
		t, q, ok := g.nearest(d.c, d.r-1e-7, s)
		if !ok {
			break
		}
		v := q.Sub(p)
		along := v.Dot(n)
		if along <= 1e-9 {
			return d, false // a neighbour in line, or a corner: no disc at all
		}
		// The disc through p and q that is tangent at p.
		r := v.Dot(v) / (2 * along)
		d.t = t
		if r > d.r-1e-7 {
			break
		}
		d.r = r
	}
	return d, d.t >= 0 && d.r < most
}

// blunt is the cosine up to which discs count as the opening of a waist: 75°.
const blunt = 0.26

// thinDiscs returns the medial discs with radius below r that touch both sides
// of a thin place, in order along the outline, and those that touch at a blunter
// angle, as where a waist opens or in a corner.
func thinDiscs(g *grid, r float64, near func(geometry.Point) bool) (thin, opening []disc) {
	run, last := int32(0), int32(-2)
	guess := r
	try := func(p, n geometry.Point, s int32) {
		if near != nil && !near(p) {
			return
		}
		d, ok := g.shrink(p, n, s, r, guess)
		guess = 1.25 * d.r // the next place along the outline is much the same
		if ok {
			q := g.sides[d.t].nearest(d.c)
			u, v := p.Sub(d.c), q.Sub(d.c)
			angle := u.Dot(v) / (u.Len() * v.Len())
			ok = angle <= facing
			if !ok && angle <= blunt {
				d.run = -1 - s
				opening = append(opening, d)
			}
		}
		if !ok {
			last = -2
			return
		}
		if last != s && !(last >= 0 && g.sides[last].next == s) {
			run++
		}
		last = s
		d.run = run
		thin = append(thin, d)
	}
	for i := range g.sides {
		s := &g.sides[i]
		n := s.inward()
		k := int(math.Ceil(s.b.Sub(s.a).Len() / sampleMM))
		for j := range k {
			try(s.a.Lerp(s.b, (float64(j)+0.5)/float64(k)), n, int32(i))
		}
		// Around a corner that points inwards, the normals between.
		m := g.sides[s.next].inward()
		if turn := n.Cross(m); turn < 0 {
			angle := math.Atan2(turn, n.Dot(m))
			steps := int(math.Ceil(-angle / (5 * math.Pi / 180)))
			for j := range steps + 1 {
				sin, cos := math.Sincos(angle * float64(j) / float64(steps))
				try(s.b, geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos), int32(i))
			}
		}
	}
	return thin, opening
}
