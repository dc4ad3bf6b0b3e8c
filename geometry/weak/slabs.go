package weak

import (
	"math"

	"abut/geometry"
)

// slabs tell for many points whether a polygon encloses them. Its edges are
// filed by the horizontal slabs that they reach into, so that a point is tried
// against those of its own slab only.
type slabs struct {
	top, height float64
	edges       [][]edge
}

type edge struct{ a, b geometry.Point }

// maxSlabs bounds what edges from top to bottom cost.
const maxSlabs = 1024

// newSlabs files the edges of a path of straight lines.
func newSlabs(path geometry.Path) *slabs {
	bounds := path.Bounds()
	n := 0
	for _, c := range path {
		n += len(c.Segments) + 1
	}
	n = min(n/4+1, maxSlabs)
	s := &slabs{top: bounds.Min.Y, height: bounds.Height() / float64(n), edges: make([][]edge, n)}
	for _, c := range path {
		a, b := c.End(), c.Start
		for k := 0; ; k++ {
			if a.Y != b.Y {
				for i := s.of(math.Min(a.Y, b.Y)); i <= s.of(math.Max(a.Y, b.Y)); i++ {
					s.edges[i] = append(s.edges[i], edge{a, b})
				}
			}
			if k == len(c.Segments) {
				break
			}
			a, b = b, c.Segments[k].End
		}
	}
	return s
}

// of returns the slab at a height; the outermost ones reach on for ever.
func (s *slabs) of(y float64) int {
	if !(s.height > 0) {
		return 0
	}
	return int(math.Max(0, math.Min((y-s.top)/s.height, float64(len(s.edges)-1))))
}

// enclose is the even-odd rule.
func (s *slabs) enclose(p geometry.Point) bool {
	in := false
	for _, e := range s.edges[s.of(p.Y)] {
		if (e.a.Y > p.Y) != (e.b.Y > p.Y) && p.X < e.a.X+(p.Y-e.a.Y)/(e.b.Y-e.a.Y)*(e.b.X-e.a.X) {
			in = !in
		}
	}
	return in
}
