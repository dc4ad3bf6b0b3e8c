package geometry

import "math"

// Enclosure tells for many places whether an outline encloses them, by the
// even-odd rule, or comes near them. Its sides are filed by the level slabs that they reach into, so
// that a place is tried against those of its own slab only: what a question
// costs is how many sides there are at its height.
type Enclosure struct {
	bounds Rect
	height float64 // of a slab
	filed  []slabSide
	first  []int32 // slab k has filed[first[k]:first[k+1]]
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
	e.first = make([]int32, max(1, int(count))+1)
	e.height = e.bounds.Height() / float64(e.count())
	for _, c := range outline {
		for a, b := range c.Sides() {
			if a != b {
				for k := e.slab(min(a.Y, b.Y)); k <= e.slab(max(a.Y, b.Y)); k++ {
					e.first[k]++
				}
			}
		}
	}
	end := int32(0)
	for k := range e.first {
		end += e.first[k]
		e.first[k] = end
	}
	e.filed = make([]slabSide, end)
	for _, c := range outline {
		for a, b := range c.Sides() {
			if a != b {
				for k := e.slab(min(a.Y, b.Y)); k <= e.slab(max(a.Y, b.Y)); k++ {
					e.first[k]-- // where the slab ends, until its last side is filed
					e.filed[e.first[k]] = slabSide{a, b}
				}
			}
		}
	}
	return e
}

// count returns how many slabs there are.
func (e *Enclosure) count() int { return len(e.first) - 1 }

// slab returns the slab at a height; the outermost ones reach on for ever.
func (e *Enclosure) slab(y float64) int {
	if !(e.height > 0) {
		return 0
	}
	return int(max(0, min((y-e.bounds.Min.Y)/e.height, float64(e.count()-1))))
}

// at returns the sides that reach into a slab.
func (e *Enclosure) at(slab int) []slabSide { return e.filed[e.first[slab]:e.first[slab+1]] }

// Holds reports whether the outline encloses p. A place on the outline itself
// may be taken for either side.
func (e *Enclosure) Holds(p Point) bool {
	if !e.bounds.Contains(p) {
		return false
	}
	in := false
	for _, s := range e.at(e.slab(p.Y)) {
		if (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)/(s.b.Y-s.a.Y)*(s.b.X-s.a.X) {
			in = !in
		}
	}
	return in
}

// Nears reports whether the outline comes nearer to a place than a distance, as Path.Nears does but
// for contours that are a single point: those are not filed.
func (e *Enclosure) Nears(to Point, within float64) bool {
	if !e.bounds.Grow(within).Contains(to) {
		return false
	}
	for k := e.slab(to.Y - within); k <= e.slab(to.Y+within); k++ {
		for _, s := range e.at(k) {
			if Near(s.a, s.b, to, within) {
				return true
			}
		}
	}
	return false
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
		for _, s := range e.at(k) {
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
