package trace

import (
	"math"

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
	weight := 1 / (noise * noise)
	// best is the least cost of all before a point, from where it came and how many
	// points are left out before it.
	type state struct {
		cost float64
		from int
	}
	ends := make([]state, n)  // a piece ends with the point
	fresh := make([]state, n) // a piece may begin with it; from is the end before, -1 for none
	began, on := -1, sums{}   // where the piece that ends with the point before began, and its sums
	for j := range n {
		if j&63 == 0 {
			if err := poll(); err != nil {
				return nil, err
			}
		}
		fresh[j] = state{math.Inf(1), -1}
		if j <= mostSkipped {
			fresh[j] = state{skipCost * float64(j), -1}
		}
		for g := 0; g <= mostSkipped && j-1-g >= 0; g++ {
			if c := ends[j-1-g].cost + skipCost*float64(g); c < fresh[j].cost {
				fresh[j] = state{c, j - 1 - g}
			}
		}
		ends[j] = state{math.Inf(1), -1}
		// Most pieces that end with the point before go on to this one. Where to begin
		// costs as much as that does, nothing need be fitted.
		bound := math.Inf(1)
		if j > 0 {
			if from := ends[j-1].from; from >= 0 {
				if from = max(from, j-longest); from != began {
					began, on = from, sums{}
					for _, p := range points[from:j] {
						on.add(p.Sub(points[from]))
					}
				}
				on.add(points[j].Sub(points[from]))
				bound = fresh[from].cost + on.cost(weight) + pieceCost + rounding
			} else {
				began = -1
			}
		}
		var s sums
		s.add(geometry.Point{})
		for i := j - 1; i >= 0 && j-i <= longest; i-- {
			s.add(points[i].Sub(points[j]))
			if fresh[i].cost+pieceCost > bound {
				continue
			}
			here := s.cost(weight)
			if c := fresh[i].cost + here + pieceCost; c < ends[j].cost {
				ends[j] = state{c, i}
				bound = math.Min(bound, c)
			}
			if here > hopeless {
				break
			}
		}
	}
	last, cost := n-1, math.Inf(1)
	for g := 0; g <= mostSkipped && n-1-g > 0; g++ {
		if c := ends[n-1-g].cost + skipCost*float64(g); c < cost {
			last, cost = n-1-g, c
		}
	}
	var out course
	for j := last; j > 0; {
		i := ends[j].from
		if i < 0 {
			break
		}
		out = append(out, pieceOf(points, i, j, weight))
		j = fresh[i].from
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out, nil
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
