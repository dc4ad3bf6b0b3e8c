package svgimport

import (
	"abut/geometry"
	"abut/internal/job"
)

// layers joins what was painted to layers, bottom first. Shapes that follow
// each other in one colour are one layer where that changes nothing: when they
// are opaque, when they belong to the same opacity group, or when they lie
// apart.
func (im *importer) layers() []job.Layer {
	var out []job.Layer
	names := newNamer()
	for i := 0; i < len(im.out); {
		j := im.run(i)
		first := im.out[i]
		shapes := make([]job.Shape, 0, j-i)
		label := first.label
		for _, p := range im.out[i:j] {
			shapes = append(shapes, p.shape)
			if p.label != label {
				label = ""
			}
		}
		out = append(out, job.Layer{
			ID: job.LayerID(len(out) + 1), Name: names.name(label, first.colour),
			Content: job.Outlines{Shapes: shapes}, Colour: first.colour, Alpha: first.alpha, Group: first.group,
			Transform: geometry.Identity(), Shown: true,
		})
		i = j
	}
	return out
}

// maxApart bounds how many see-through shapes are compared for lying apart:
// each with each.
const maxApart = 200

// run returns the end of the run of shapes from i that make one layer.
func (im *importer) run(i int) int {
	first := im.out[i]
	j := i + 1
	for ; j < len(im.out); j++ {
		p := im.out[j]
		if p.colour != first.colour || p.alpha != first.alpha || p.group != first.group {
			break
		}
		if p.alpha < 1 && p.group == 0 && !im.apart(i, j) {
			break
		}
	}
	return j
}

func (im *importer) apart(i, j int) bool {
	if j-i > maxApart {
		return false
	}
	for _, p := range im.out[i:j] {
		if !p.bounds.Intersect(im.out[j].bounds).Empty() {
			return false
		}
	}
	return true
}
