package job

import (
	"strings"

	"abut/geometry"
	"abut/internal/gradient"
)

// Shape is one filled path. It covers a point when its path encloses the point
// under Rule and every clip covers the point too.
type Shape struct {
	Path  geometry.Path
	Rule  geometry.FillRule
	Clips []*Clip
	// Ignored are clips that are doubtful and that somebody chose to ignore.
	Ignored []*Clip `json:",omitempty"`
	// Gradient is what the shape was painted with, nil for a flat colour.
	Gradient *gradient.Gradient `json:",omitempty"`
	// Centre are the lines that a pen followed to draw the path, whatever clips hide of it, open or closed,
	// where the file said what they were; nil for what was filled.
	Centre geometry.Path `json:",omitempty"`
	// Element and Line say where the shape stands in its file: the element's name, and
	// after a space its id or number. Line is 0 when unknown.
	Element string
	Line    int
}

// IsText reports whether the shape was drawn as text in its file.
func (s *Shape) IsText() bool {
	name, _, _ := strings.Cut(s.Element, " ")
	return name == "text" || name == "tspan" || name == "textPath"
}

// Clip covers a point when any of its shapes does. Shapes often share a clip,
// hence the pointer; it is read-only like everything else.
type Clip struct {
	Shapes []Shape
	// Band: it is a band of the gradient of the shape whose last clip it is.
	Band bool
	// Doubtful: the file names something as a clip that clips nothing by the
	// standard, so that it hides more than it was meant to.
	Doubtful bool
}

// TransformShapes returns shapes mapped by m with all that is theirs: clips,
// gradients and centre lines. A clip that shapes share stays shared.
func TransformShapes(shapes []Shape, m geometry.Affine) []Shape {
	if m == geometry.Identity() {
		return shapes
	}
	clips := map[*Clip]*Clip{}
	var all func([]Shape) []Shape
	all = func(list []Shape) []Shape {
		out := make([]Shape, len(list))
		for i, s := range list {
			s.Path, s.Centre, s.Gradient = s.Path.Transform(m), s.Centre.Transform(m), s.Gradient.Transform(m)
			each := func(list []*Clip) (own []*Clip) {
				for _, c := range list {
					if clips[c] == nil {
						clips[c] = &Clip{Band: c.Band, Doubtful: c.Doubtful, Shapes: all(c.Shapes)}
					}
					own = append(own, clips[c])
				}
				return own
			}
			s.Clips, s.Ignored = each(s.Clips), each(s.Ignored)
			out[i] = s
		}
		return out
	}
	return all(shapes)
}

// shapeBounds returns the bounds of what m makes of the shapes' curves, as far
// as clips that are rectangles let them show.
func shapeBounds(shapes []Shape, m geometry.Affine) geometry.Rect {
	all := geometry.EmptyRect()
	for _, s := range shapes {
		r := s.Path.BoundsUnder(m)
		for _, c := range s.Clips {
			clip := geometry.EmptyRect()
			for _, of := range c.Shapes {
				clip = clip.Union(of.Path.BoundsUnder(m))
			}
			r = r.Intersect(clip)
		}
		all = all.Union(r)
	}
	return all
}
