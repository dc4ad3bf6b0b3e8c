package trace

import (
	"slices"

	"abut/geometry"
)

// bareRegions returns a place in each region that stays bare, in pixels.
func (t *tracer) bareRegions(dropped []bool) (out []geometry.Point) {
	for _, r := range t.list {
		if dropped[r.label] {
			x, y := int(r.first)%t.pic.w, int(r.first)/t.pic.w
			out = append(out, geometry.Pt(float64(x)+0.5, float64(y)+0.5))
		}
	}
	return out
}

// filled returns the outline of a region without its holes, but for those in which
// something stays bare.
func filled(p geometry.Path, bare []geometry.Point) geometry.Path {
	return slices.DeleteFunc(slices.Clone(p), func(c geometry.Contour) bool {
		hole := geometry.Path{c}
		if hole.SignedArea() > 0 {
			return false
		}
		return !slices.ContainsFunc(bare, geometry.NewEnclosure(hole.Flatten(0.1)).Holds)
	})
}
