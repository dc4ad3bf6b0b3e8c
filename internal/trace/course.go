package trace

import (
	"math"
	"slices"

	"abut/geometry"
)

// piece is a straight line or an arc of a circle through points from to to, both
// counted in.
type piece struct {
	from, to int
	// a and b are the ends of the line, or of the arc where its centre is at and its
	// radius r; r is 0 for a line.
	a, b, centre geometry.Point
	r            float64
	// bend is the sign of its turning: above 0 for an arc that runs clockwise on
	// screen.
	bend float64
}

// course is a chain as lines and arcs, before they are joined.
type course []piece

// What a course costs, so that the cheapest is what a person would have drawn: a
// piece costs pieceCost, a point beside its piece the square of its distance over
// the noise, a point that is left out skipCost. A point is left out next to
// corners, whose smoothing moves it; a tiny arc for each corner would cost more.
const (
	pieceCost = 8.0
	skipCost  = 4.0
	// mostSkipped is how many are left out at one place: a tip of 30° is narrower than
	// a pixel over four.
	mostSkipped = 4
	// longest is how many points a piece may have: what it takes to tell a line from
	// an arc. Pieces that go on are joined after.
	longest = 500
	// hopeless: a piece that costs so much will never be part of the cheapest.
	hopeless = 60.0
	// rounding is more than what one piece costs may differ by when it is summed from its
	// other end: sums of fourth powers keep six digits over the longest piece.
	rounding = 0.1
)

// sums are the moments of points about an origin, from which the best line and the
// best circle follow.
type sums struct {
	n, x, y, xx, xy, yy, zx, zy, zz float64
}

func (s *sums) add(p geometry.Point) {
	z := p.X*p.X + p.Y*p.Y
	s.n++
	s.x += p.X
	s.y += p.Y
	s.xx += p.X * p.X
	s.xy += p.X * p.Y
	s.yy += p.Y * p.Y
	s.zx += z * p.X
	s.zy += z * p.Y
	s.zz += z * z
}

// line returns the sum of the squared distances from the best line, its direction
// and a point of it.
func (s *sums) line() (off2 float64, along, through geometry.Point) {
	mx, my := s.x/s.n, s.y/s.n
	a, b, c := s.xx-s.n*mx*mx, s.xy-s.n*mx*my, s.yy-s.n*my*my
	d := math.Hypot((a-c)/2, b)
	angle := math.Atan2(2*b, a-c) / 2
	return math.Max(0, (a+c)/2-d), geometry.Pt(math.Cos(angle), math.Sin(angle)), geometry.Pt(mx, my)
}

// lineOff2 is the first of what line returns.
func (s *sums) lineOff2() float64 {
	k := 1 / s.n
	a, b, c := s.xx-s.x*s.x*k, s.xy-s.x*s.y*k, s.yy-s.y*s.y*k
	d := (a - c) / 2
	if off2 := (a+c)/2 - math.Sqrt(d*d+b*b); off2 > 0 { // math.Hypot takes three times as long
		return off2
	}
	return 0
}

// circle returns the sum of the squared distances from the best circle, nearly, its
// centre and the square of its radius, by I. Kåsa, "A circle fitting procedure and its
// error analysis", 1976.
func (s *sums) circle() (off2 float64, centre geometry.Point, r2 float64, ok bool) {
	// Least squares of z + d x + e y + f over the points, about their mean.
	n := 1 / s.n
	mx, my, mz := s.x*n, s.y*n, (s.xx+s.yy)*n
	a, b, c := s.xx-s.n*mx*mx, s.xy-s.n*mx*my, s.yy-s.n*my*my
	p, q := s.zx-s.n*mz*mx, s.zy-s.n*mz*my
	det := a*c - b*b
	if !(det > 1e-9*(a+c)*(a+c)) {
		return 0, centre, 0, false
	}
	det = 1 / det
	d, e := (p*c-q*b)*det, (q*a-p*b)*det
	centre = geometry.Pt(d/2, e/2)
	r2 = mz - d*mx - e*my + centre.Dot(centre)
	if !(r2 > 0.25) {
		return 0, centre, 0, false
	}
	rest := s.zz - s.n*mz*mz - d*p - e*q
	if rest < 0 {
		rest = 0
	}
	return rest / (4 * r2), centre, r2, true
}

// cost is what a piece through the points costs, but for pieceCost.
func (s *sums) cost(weight float64) float64 {
	line := s.lineOff2() * weight
	if s.n > 4 && line > 1 {
		if off2, _, _, ok := s.circle(); ok && off2*weight+arcCost < line {
			return off2*weight + arcCost
		}
	}
	return line
}

// divide returns the cheapest course through the points: dynamic programming, as M.
// Plass and M. Stone, "Curve-fitting with piecewise parametric cubics", 1983, do it
// for curves. Each point ends a piece, begins one or is left out.
func divide(points []geometry.Point, noise float64, poll func() error) (course, error) {
	n := len(points)
	if n < 2 {
		return nil, nil
	}
	p := &program{points: points, weight: 1 / (noise * noise), ends: make([]reached, n), fresh: make([]reached, n), began: -1}
	for j := range n {
		if j&63 == 0 {
			if err := poll(); err != nil {
				return nil, err
			}
		}
		p.begin(j)
		p.end(j)
	}
	return p.cheapest(), nil
}

// program is the dynamic programming of divide.
type program struct {
	points []geometry.Point
	weight float64
	ends   []reached // a piece ends with the point; from is where it begins
	fresh  []reached // a piece may begin with it; from is the end before, -1 for none
	// began is where the piece that ends with the point before began, -1 for nowhere, and on
	// are its sums.
	began int
	on    sums
}

// reached is the least cost of all before a point, and from where that comes.
type reached struct {
	cost float64
	from int
}

// begin finds what it costs to begin a piece with point j.
func (p *program) begin(j int) {
	p.fresh[j] = reached{math.Inf(1), -1}
	if j <= mostSkipped {
		p.fresh[j] = reached{skipCost * float64(j), -1}
	}
	if e := p.lastBefore(j, 0); e.cost < p.fresh[j].cost {
		p.fresh[j] = e
	}
}

// lastBefore returns the cheapest end of a piece before point j, and after least-1, with the
// points that are left out between.
func (p *program) lastBefore(j, least int) reached {
	best := reached{math.Inf(1), j - 1}
	for g := 0; g <= mostSkipped && j-1-g >= least; g++ {
		if c := p.ends[j-1-g].cost + skipCost*float64(g); c < best.cost {
			best = reached{c, j - 1 - g}
		}
	}
	return best
}

// end finds the cheapest piece that ends with point j.
func (p *program) end(j int) {
	best, bound := reached{math.Inf(1), -1}, p.bound(j)
	points, fresh, weight := p.points, p.fresh, p.weight
	var s sums
	s.add(geometry.Point{})
	for i := j - 1; i >= 0 && j-i <= longest; i-- {
		s.add(points[i].Sub(points[j]))
		if fresh[i].cost+pieceCost > bound {
			continue
		}
		here := s.cost(weight)
		if c := fresh[i].cost + here + pieceCost; c < best.cost {
			best = reached{c, i}
			bound = math.Min(bound, c)
		}
		if here > hopeless {
			break
		}
	}
	p.ends[j] = best
}

// bound is no less than what the cheapest piece that ends with point j costs: most that end
// with the point before go on to this one. Where to begin costs as much, nothing need be
// fitted.
func (p *program) bound(j int) float64 {
	from := -1
	if j > 0 {
		from = p.ends[j-1].from
	}
	if from < 0 {
		p.began = -1
		return math.Inf(1)
	}
	if from = max(from, j-longest); from != p.began {
		p.began, p.on = from, sums{}
		for _, q := range p.points[from:j] {
			p.on.add(q.Sub(p.points[from]))
		}
	}
	p.on.add(p.points[j].Sub(p.points[from]))
	return p.fresh[from].cost + p.on.cost(p.weight) + pieceCost + rounding
}

// cheapest returns the course that costs least, but for points that are left out at its end.
func (p *program) cheapest() (out course) {
	for j := p.lastBefore(len(p.points), 1).from; j > 0; {
		i := p.ends[j].from
		if i < 0 {
			break
		}
		out = append(out, pieceOf(p.points, i, j, p.weight))
		j = p.fresh[i].from
	}
	slices.Reverse(out)
	return out
}

// arcCost is what an arc costs above a line.
const arcCost = 3.0

// pieceOf fits a piece to points i to j.
func pieceOf(points []geometry.Point, i, j int, weight float64) piece {
	var s sums
	o := points[j]
	for _, p := range points[i : j+1] {
		s.add(p.Sub(o))
	}
	out := piece{from: i, to: j}
	off2, along, through := s.line()
	if o2, centre, r2, ok := s.circle(); ok && s.n > 4 && off2*weight > 1 && o2*weight+arcCost < off2*weight {
		out.centre, out.r = centre.Add(o), math.Sqrt(r2)
		out.a, out.b = out.foot(points[i]), out.foot(points[j])
		for k := i; k < j; k++ {
			out.bend += points[k].Sub(out.centre).Cross(points[k+1].Sub(out.centre))
		}
		return out
	}
	foot := func(p geometry.Point) geometry.Point {
		return o.Add(through).Add(along.Mul(p.Sub(o).Sub(through).Dot(along)))
	}
	out.a, out.b = foot(points[i]), foot(points[j])
	return out
}

// foot is the point of the piece, drawn on beyond its ends, that is nearest to p.
func (c *piece) foot(p geometry.Point) geometry.Point {
	if c.r == 0 {
		d := c.b.Sub(c.a)
		if l := d.Dot(d); l > 0 {
			return c.a.Add(d.Mul(p.Sub(c.a).Dot(d) / l))
		}
		return c.a
	}
	d := p.Sub(c.centre)
	if l := d.Len(); l > 0 {
		return c.centre.Add(d.Mul(c.r / l))
	}
	return c.a
}

// along is the direction in which the piece runs near p, of length 1.
func (c *piece) along(p geometry.Point) geometry.Point {
	if c.r == 0 {
		return unit(c.b.Sub(c.a))
	}
	d := c.foot(p).Sub(c.centre)
	t := unit(geometry.Pt(-d.Y, d.X))
	if c.bend < 0 {
		return t.Mul(-1)
	}
	return t
}

func unit(p geometry.Point) geometry.Point {
	if l := p.Len(); l > 0 {
		return p.Mul(1 / l)
	}
	return geometry.Pt(1, 0)
}

// turn is the angle from one direction to another, clockwise on screen.
func turn(a, b geometry.Point) float64 { return math.Atan2(a.Cross(b), a.Dot(b)) }
