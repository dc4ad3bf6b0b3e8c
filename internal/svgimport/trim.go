package svgimport

import (
	"math"

	"abut/geometry"
)

// trimDiagonals is how far beyond the canvas, in diagonals of it, outlines are
// kept as they are. What lies farther out can never be seen, and at 300 mm a
// picture whose background reaches a million units to each side has no place on
// a grid that ends 54 m out. Ten diagonals of a canvas 2 m wide still have.
const trimDiagonals = 10

// trim returns the area that a filled path has in common with a rectangle, and
// pieces of no area along the rectangle's sides: inside it windings are those
// of the path, under any rule. What lies inside keeps its curves. The result is
// closed contours; nil when nothing is left.
func trim(p geometry.Path, r geometry.Rect) geometry.Path {
	var out geometry.Path
	for _, c := range p {
		t := c
		if t.End() != t.Start {
			t.Segments = append(append(make([]geometry.Segment, 0, len(c.Segments)+1), c.Segments...), geometry.LineTo(c.Start))
		}
		t.Closed = true
		t = cutOff(t, r.Min.X, 1, false)
		t = cutOff(t, r.Max.X, -1, false)
		t = cutOff(t, r.Min.Y, 1, true)
		t = cutOff(t, r.Max.Y, -1, true)
		if b := (geometry.Path{t}).Bounds(); len(t.Segments) > 1 && b.Width() > 0 && b.Height() > 0 {
			out = append(out, t)
		}
	}
	return out
}

// cutter moves all of a contour that lies beyond a line onto that line.
type cutter struct {
	limit, sign float64
	vertical    bool // the limit is one of y
	at          geometry.Point
	out         geometry.Contour
}

// cutOff keeps where sign·(x − limit) ≥ 0, or y instead of x.
func cutOff(c geometry.Contour, limit, sign float64, vertical bool) geometry.Contour {
	k := cutter{limit: limit, sign: sign, vertical: vertical}
	beyond := k.depth(c.Start) < 0
	for _, s := range c.Segments {
		beyond = beyond || k.depth(s.End) < 0 || s.Cubic && (k.depth(s.C1) < 0 || k.depth(s.C2) < 0)
	}
	if !beyond {
		return c
	}
	k.at = k.onto(c.Start)
	k.out = geometry.Contour{Start: k.at, Closed: true}
	from := c.Start
	for _, s := range c.Segments {
		k.segment(from, s)
		from = s.End
	}
	return k.out
}

// depth is how far inside the line a point lies.
func (k *cutter) depth(p geometry.Point) float64 {
	if k.vertical {
		return k.sign * (p.Y - k.limit)
	}
	return k.sign * (p.X - k.limit)
}

// onto returns the point, or the nearest on the line for one beyond it.
func (k *cutter) onto(p geometry.Point) geometry.Point {
	if k.depth(p) < 0 {
		return k.snap(p)
	}
	return p
}

func (k *cutter) snap(p geometry.Point) geometry.Point {
	if k.vertical {
		return geometry.Pt(p.X, k.limit)
	}
	return geometry.Pt(k.limit, p.Y)
}

func (k *cutter) line(p geometry.Point) {
	if p != k.at {
		k.out.Segments = append(k.out.Segments, geometry.LineTo(p))
		k.at = p
	}
}

func (k *cutter) segment(from geometry.Point, s geometry.Segment) {
	if !s.Cubic {
		a, z := k.depth(from), k.depth(s.End)
		if (a < 0) != (z < 0) {
			k.line(k.snap(from.Lerp(s.End, a/(a-z))))
		}
		k.line(k.onto(s.End))
		return
	}
	d := [4]float64{k.depth(from), k.depth(s.C1), k.depth(s.C2), k.depth(s.End)}
	if d[0] >= 0 && d[1] >= 0 && d[2] >= 0 && d[3] >= 0 {
		k.out.Segments = append(k.out.Segments, s)
		k.at = s.End
		return
	}
	t0 := 0.0
	for _, t1 := range append(crossingsOf(d), 1) {
		if t1 <= t0 && t1 < 1 {
			continue
		}
		start, part := s.Sub(from, t0, t1)
		if cubicAt(d, (t0+t1)/2) < 0 {
			k.line(k.onto(k.snap(start)))
			if t1 < 1 {
				k.line(k.snap(part.End))
			} else {
				k.line(k.onto(s.End))
			}
		} else {
			if t1 < 1 {
				part.End = k.snap(part.End)
			} else {
				part.End = s.End
			}
			k.out.Segments = append(k.out.Segments, part)
			k.at = part.End
		}
		t0 = t1
	}
}

func cubicAt(d [4]float64, t float64) float64 {
	u := 1 - t
	return u*u*u*d[0] + 3*u*u*t*d[1] + 3*u*t*t*d[2] + t*t*t*d[3]
}

// crossingsOf returns where a cubic of one variable changes its sign within
// (0, 1), ascending: bisected between its extremes, to the last bit of t.
func crossingsOf(d [4]float64) []float64 {
	at := []float64{0}
	// The derivative over 3: a t² + b t + c.
	a := d[3] - 3*d[2] + 3*d[1] - d[0]
	b := 2 * (d[2] - 2*d[1] + d[0])
	c := d[1] - d[0]
	if disc := b*b - 4*a*c; disc > 0 {
		q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
		t0, t1 := q/a, c/q
		if t0 > t1 {
			t0, t1 = t1, t0
		}
		for _, t := range [...]float64{t0, t1} {
			if t > 0 && t < 1 {
				at = append(at, t)
			}
		}
	}
	at = append(at, 1)
	var out []float64
	for i := 1; i < len(at); i++ {
		lo, hi := at[i-1], at[i]
		below := cubicAt(d, lo) < 0
		if below == (cubicAt(d, hi) < 0) {
			continue
		}
		for range 60 {
			mid := (lo + hi) / 2
			if (cubicAt(d, mid) < 0) == below {
				lo = mid
			} else {
				hi = mid
			}
		}
		if t := (lo + hi) / 2; t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	return out
}
