package weak

import (
	"math"

	"abut/geometry"
)

// facingWalls are the sides near a stretch of one side: among them is what the largest
// disc touches at each place of it. A disc that touches the stretch from within, and
// one of them, has a radius that can be told without a search, and the least of all is
// the disc's.
type facingWalls struct {
	ids  []int32
	all  []wallAlong
	from []wallFrom
}

// wallAlong is a wall as seen from a side: x goes along that, y into the piece.
type wallAlong struct {
	id             int32
	ax, ay, bx, by float64
	// 1 by twice the height of either end, 0 where that is not above the side
	ra, rb float64
	// The disc at x that touches the wall between its ends has the radius e0 + e1·x,
	// and touches it k0 + k1·x along its length, a share.
	e0, e1, k0, k1 float64
	lies           bool // it may touch it there
}

const (
	// So many places of a side are asked with the same walls: two or three widths.
	together = 24
	// With more walls than these, looking for what is nearest is quicker.
	manyWalls = 128
)

// gather lists the sides but one that pass cells near a box, at most manyWalls; false
// when there are more.
func (g *grid) gather(box geometry.Rect, but int32, w *facingWalls) bool {
	g.now++
	w.ids = w.ids[:0]
	return g.gatherFrom(&g.cells, box, but, w)
}

func (g *grid) gatherFrom(k *cells, box geometry.Rect, but int32, w *facingWalls) bool {
	touch := touching * k.size
	x0, x1 := k.column(box.Min.X-touch), k.column(box.Max.X+touch)
	y0, y1 := k.row(box.Min.Y-touch), k.row(box.Max.Y+touch)
	for y := y0; y <= y1; y++ {
		for c := y*k.nx + x0; c <= y*k.nx+x1; c++ {
			if k.inner != nil && k.inner[c] != nil {
				if !g.gatherFrom(k.inner[c], box, but, w) {
					return false
				}
				continue
			}
			for _, i := range k.list[k.start[c]:k.start[c+1]] {
				if g.stamp[i] == g.now || i == but {
					continue
				}
				g.stamp[i] = g.now
				s := &g.sides[i]
				if max(s.a.X, s.b.X) < box.Min.X || min(s.a.X, s.b.X) > box.Max.X || max(s.a.Y, s.b.Y) < box.Min.Y || min(s.a.Y, s.b.Y) > box.Max.Y {
					continue
				}
				if len(w.ids) == manyWalls {
					return false
				}
				w.ids = append(w.ids, i)
			}
		}
	}
	return true
}

// face works out how the walls lie from the stretch of a side between x0 and x1.
func (w *facingWalls) face(g *grid, id int32, n geometry.Point, x0, x1 float64, l *lengths) {
	w.all = w.all[:0]
	from := g.sides[id].a
	u := geometry.Pt(n.Y, -n.X)
	for _, i := range w.ids {
		s := &g.sides[i]
		a, b := s.a.Sub(from), s.b.Sub(from)
		f := wallAlong{id: i, ax: a.Dot(u), ay: a.Dot(n), bx: b.Dot(u), by: b.Dot(n)}
		if max(f.ay, f.by) <= l.straightOn || min(f.ay, f.by) >= l.width || max(f.ax, f.bx) < x0-l.r || min(f.ax, f.bx) > x1+l.r {
			continue
		}
		if f.ay > l.straightOn {
			f.ra = 1 / (2 * f.ay)
		}
		if f.by > l.straightOn {
			f.rb = 1 / (2 * f.by)
		}
		dx, dy := f.bx-f.ax, f.by-f.ay
		square := dx*dx + dy*dy
		length := math.Sqrt(square)
		mx, my := -dy/length, dx/length // into the piece
		if d := 1 - my; d > 1e-12 {
			f.lies = true
			f.e1 = mx / d
			f.e0 = -(mx*f.ax + my*f.ay) / d
			f.k1 = dx/square + f.e1*dy/square
			f.k0 = (-f.ax*dx - f.ay*dy + f.e0*dy) / square
		}
		w.all = append(w.all, f)
	}
}

// least returns the radius of the largest disc at a place of the side, and what it
// touches: −1, and the radius most, when it is not smaller than that.
func (w *facingWalls) least(x, most float64) (r float64, t int32) {
	r, t = most, -1
	for i := range w.all {
		f := &w.all[i]
		if f.ra > 0 {
			if v := ((f.ax-x)*(f.ax-x) + f.ay*f.ay) * f.ra; v < r {
				r, t = v, f.id
			}
		}
		if f.rb > 0 {
			if v := ((f.bx-x)*(f.bx-x) + f.by*f.by) * f.rb; v < r {
				r, t = v, f.id
			}
		}
		if v := f.e0 + f.e1*x; f.lies && v >= 0 && v < r {
			if k := f.k0 + f.k1*x; k >= 0 && k <= 1 {
				r, t = v, f.id
			}
		}
	}
	return r, t
}

// wallFrom is a wall as seen from a place: its ends, with the squares of how far off
// they are, the way along it, its normal, and how far the place lies within it.
type wallFrom struct {
	id             int32
	near           float64 // the square of how far off it is
	a, b, d, m     geometry.Point
	aa, bb, dd, ad float64
	e              float64
}

// diameters is by how much, in squares of a disc's radius, it is at most from where the disc
// touches to where it touches: that of twice the radius, and what rounding adds.
const diameters = 4 * (1 + 1e-9)

// faceFrom works out how the walls but one lie from a place, such as a corner.
func (w *facingWalls) faceFrom(g *grid, p geometry.Point, but int32, l *lengths) {
	w.from = w.from[:0]
	for _, i := range w.ids {
		s := &g.sides[i]
		v := s.nearest(p).Sub(p)
		near := v.Dot(v)
		if i == but || near >= l.width*l.width {
			continue
		}
		d := s.b.Sub(s.a)
		f := wallFrom{id: i, near: near, a: s.a.Sub(p), b: s.b.Sub(p), d: d, m: s.inward(), dd: d.Dot(d)}
		f.aa, f.bb, f.ad, f.e = f.a.Dot(f.a), f.b.Dot(f.b), f.a.Dot(d), -f.a.Dot(f.m)
		w.from = append(w.from, f)
	}
}

// leastAt is least at that place, with a normal there.
func (w *facingWalls) leastAt(n geometry.Point, most float64, l *lengths) (r float64, t int32) {
	r, t = most, -1
	for i := range w.from {
		f := &w.from[i]
		if f.near > diameters*r*r {
			continue
		}
		a, b := 2*f.a.Dot(n), 2*f.b.Dot(n)
		if f.aa == 0 || f.bb == 0 {
			// What ends in the corner too is in the way of all discs or of none.
			if max(a, b) > 2*l.straightOn {
				return 0, f.id
			}
			continue
		}
		if a > 0 && f.aa < r*a {
			r, t = f.aa/a, f.id
		}
		if b > 0 && f.bb < r*b {
			r, t = f.bb/b, f.id
		}
		if c := 1 - n.Dot(f.m); f.e >= 0 && f.e < r*c {
			if k := f.e/c*n.Dot(f.d) - f.ad; k >= 0 && k <= f.dd {
				r, t = f.e/c, f.id
			}
		}
	}
	return r, t
}

// tangent returns the radius of the disc that touches the outline at p, with
// normal n there, and side t; or more, when it touches that from behind.
func (g *grid) tangent(p, n geometry.Point, t int32) float64 {
	s := &g.sides[t]
	best := math.Inf(1)
	for _, q := range [2]geometry.Point{s.a, s.b} {
		v := q.Sub(p)
		if v == (geometry.Point{}) {
			return 0
		}
		if along := v.Dot(n); along > 0 {
			best = min(best, v.Dot(v)/(2*along))
		}
	}
	m := s.inward()
	if e, f := p.Sub(s.a).Dot(m), 1-n.Dot(m); e >= 0 && f > 0 {
		d := s.b.Sub(s.a)
		r := e / f
		if k := p.Add(n.Mul(r)).Sub(s.a).Dot(d); k >= 0 && k <= d.Dot(d) {
			best = min(best, r)
		}
	}
	return best
}
