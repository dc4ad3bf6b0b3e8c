package own

import (
	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// Figures turns shapes into figures on the board. A clip that shapes share stays
// shared. The zero value is ready.
type Figures struct{ clips map[clipKey]boundedClip }

type clipKey struct {
	clip      *job.Clip
	transform geometry.Affine
}

type boundedClip struct {
	clip   *planar.Clip
	bounds geometry.Rect
}

// Of returns the shapes as figures, mapped to the board by m, and the bounds of
// their curves within their clips: no smaller than what they cover.
func (c *Figures) Of(shapes []job.Shape, m geometry.Affine) ([]planar.Figure, geometry.Rect) {
	figures := make([]planar.Figure, len(shapes))
	all := geometry.EmptyRect()
	for i := range shapes {
		s := &shapes[i]
		f := planar.Figure{Path: s.Path, Rule: s.Rule}
		if m != geometry.Identity() {
			f.Path = s.Path.Transform(m)
		}
		r := f.Path.Bounds()
		for _, clip := range s.Clips {
			b := c.clip(clip, m)
			f.Clips = append(f.Clips, b.clip)
			r = r.Intersect(b.bounds)
		}
		figures[i] = f
		if !r.Empty() {
			all = all.Union(r)
		}
	}
	return figures, all
}

func (c *Figures) clip(clip *job.Clip, m geometry.Affine) boundedClip {
	k := clipKey{clip, m}
	b, ok := c.clips[k]
	if !ok {
		if c.clips == nil {
			c.clips = map[clipKey]boundedClip{}
		}
		b.clip = &planar.Clip{}
		b.clip.Figures, b.bounds = c.Of(clip.Shapes, m)
		c.clips[k] = b
	}
	return b
}
