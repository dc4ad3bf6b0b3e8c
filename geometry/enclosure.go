package geometry

import "math"

// Enclosure tells for many places whether an outline encloses them, by the
// even-odd rule. Its sides are filed by the level slabs that they reach into, so
// that a place is tried against those of its own slab only: what a question
// costs is how many sides there are at its height.
type Enclosure struct {
	bounds Rect
	height float64 // of a slab
	slabs  [][]slabSide
}

type slabSide struct{ a, b Point }

// maxSlabs bounds the slabs, and sidesFiled how many times each side is filed on
// average: a comb of long teeth would else be filed as often as it has teeth.
const (
	maxSlabs   = 4096
	sidesFiled = 16
)

// NewEnclosure files the sides of a path of straight lines, contours closed;
// flatten curves first. It costs O(n) for n sides.
func NewEnclosure(outline Path) *Enclosure {
	e := &Enclosure{bounds: outline.Bounds()}
	n, rise := 0, 0.0
	for _, c := range outline {
		for a, b := range c.Sides() {
			n++
			rise += math.Abs(b.Y - a.Y)
		}
	}
	count := math.Min(float64(n)/4, maxSlabs)
	if rise > 0 {
		count = math.Min(count, sidesFiled*float64(n)*e.bounds.Height()/rise)
	}
	e.slabs = make([][]slabSide, max(1, int(count)))
	e.height = e.bounds.Height() / float64(len(e.slabs))
	for _, c := range outline {
		for a, b := range c.Sides() {
			if a == b {
				continue
			}
			for k := e.slab(math.Min(a.Y, b.Y)); k <= e.slab(math.Max(a.Y, b.Y)); k++ {
				e.slabs[k] = append(e.slabs[k], slabSide{a, b})
			}
		}
	}
	return e
}

// slab returns the slab at a height; the outermost ones reach on for ever.
func (e *Enclosure) slab(y float64) int {
	if !(e.height > 0) {
		return 0
	}
	return int(math.Max(0, math.Min((y-e.bounds.Min.Y)/e.height, float64(len(e.slabs)-1))))
}

// Holds reports whether the outline encloses p. A place on the outline itself
// may be taken for either side.
func (e *Enclosure) Holds(p Point) bool {
	if !e.bounds.Contains(p) {
		return false
	}
	in := false
	for _, s := range e.slabs[e.slab(p.Y)] {
		if (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)/(s.b.Y-s.a.Y)*(s.b.X-s.a.X) {
			in = !in
		}
	}
	return in
}

// Crossings appends where on the way from a (0) to b (1) the outline is crossed,
// in no order; the same crossing may come more than once.
func (e *Enclosure) Crossings(a, b Point, dst []float64) []float64 {
	box := EmptyRect().Include(a).Include(b)
	if box.Intersect(e.bounds).Empty() {
		return dst
	}
	d := b.Sub(a)
	for k := e.slab(box.Min.Y); k <= e.slab(box.Max.Y); k++ {
		for _, s := range e.slabs[k] {
			f := s.b.Sub(s.a)
			den := d.Cross(f)
			if den == 0 {
				continue
			}
			w := s.a.Sub(a)
			t, u := w.Cross(f)/den, w.Cross(d)/den
			if t > 0 && t < 1 && u >= 0 && u <= 1 {
				dst = append(dst, t)
			}
		}
	}
	return dst
}
