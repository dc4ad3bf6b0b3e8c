package mend

import (
	"slices"

	"abut/geometry"
	"abut/internal/job"
)

// without takes back mends of spots that from has not: those whose spot lies about what was lost since
// before, and those that lie over what does not show any more, however far from there their spots are.
func (s *settler) without(j, from job.Job, before []geometry.Rect) (job.Job, error) {
	var back []job.Mend
	for _, g := range s.laidSince(from) {
		m := g.mends[0].Mend
		at := geometry.Rect{Min: g.mends[0].At, Max: g.mends[0].At}.Grow(s.settings.Narrowest())
		if s.takes(s.gone, at, before) || slices.ContainsFunc(g.layers, s.hides) {
			back = append(back, m)
		}
	}
	return job.ForgetMends(j, back)
}

// hides reports whether a mend lies over something that does not show any more.
func (s *settler) hides(l layer) bool {
	bounds := l.path.Bounds()
	var inside *geometry.Enclosure
	return slices.ContainsFunc(s.hidden, func(p geometry.Point) bool {
		if !bounds.Contains(p) {
			return false
		}
		if inside == nil {
			inside = geometry.NewEnclosure(l.path.Flatten(spotSagittaMM))
		}
		return inside.Holds(p)
	})
}
