package fit

import (
	"context"
	"slices"
	"strconv"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Overlap is all places where just these separations lie over each other, from just
// these layers.
type Overlap struct {
	// Layers are the topmost of each separation there, and Of what those are cut from,
	// both bottom first.
	Layers []job.LayerID
	Of     []Material
	// Outline may be of several places, even-odd.
	Outline geometry.Path
	AreaMM2 float64
}

// Overlaps returns what stacks in a job, told apart by what lies over what: its
// outlines together are those of Plan.Stacked. Mends do not count. It costs little
// after Compute of the same job. Errors as Compute.
func (c *Cache) Overlaps(ctx context.Context, j job.Job) ([]Overlap, error) {
	p, err := c.places(ctx, j)
	if err != nil {
		return nil, err
	}
	var out []Overlap
	known := map[string]int32{}
	byCover := make([]int32, len(p.Claimants))
	for id, who := range p.Claimants {
		byCover[id] = planar.None
		x, key := Overlap{}, ""
		for _, w := range who {
			if w.Material != own.Bare && !slices.Contains(x.Of, w.Material) {
				x.Of = append(x.Of, w.Material)
				x.Layers = append(x.Layers, p.Rules.Layers[w.Layer].ID)
				key += strconv.Itoa(int(w.Layer)) + " "
			}
		}
		if len(x.Of) < 2 {
			continue
		}
		n, is := known[key]
		if !is {
			n = int32(len(out))
			known[key] = n
			slices.Reverse(x.Of)
			slices.Reverse(x.Layers)
			out = append(out, x)
		}
		byCover[id] = n
	}
	labels := make([]int32, p.Map.NumFaces())
	for f := range labels {
		labels[f] = planar.None
		if p.Labels[f] == p.Fresh[f] { // else it is too thin to be anything
			labels[f] = byCover[p.Map.CoverID(planar.FaceID(f))]
		}
	}
	d, err := p.Map.Divide(ctx, labels)
	if err != nil {
		return nil, err
	}
	for i := range d.Pieces {
		x := &out[d.Pieces[i].Label]
		x.Outline = append(x.Outline, d.Outline(i)...)
		x.AreaMM2 += d.Pieces[i].AreaMM2()
	}
	return slices.DeleteFunc(out, func(x Overlap) bool { return x.AreaMM2 == 0 }), nil
}
