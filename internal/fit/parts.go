package fit

import (
	"context"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Parts returns the connected parts of what a layer covers, as outlines in its
// item's units, curves kept where no other outline is near. A place where two
// parts only touch at a point does not connect them. Errors as Compute.
func Parts(ctx context.Context, j job.Job, id job.LayerID) ([][]job.Shape, error) {
	l, it, ok := j.Layer(id)
	if !ok {
		return nil, nil
	}
	shapes, m := job.Shapes(l.Content), it.Placement.Mul(l.Transform)
	back, ok := it.Placement.Invert()
	if !ok {
		return nil, nil
	}
	if own, err := SurroundShapes(ctx, j, id); err != nil {
		return nil, err
	} else if own != nil {
		shapes, m = own, it.Placement
	}
	figures, _ := new(own.Figures).Of(shapes, m)
	d, err := planar.Region(ctx, planar.Layer{Figures: figures}, planar.RegionOptions{HealMM: own.HealMM, Curves: true})
	if err != nil {
		return nil, own.Explain(err, []own.Placed{{Layer: &l, Shapes: shapes, Transform: m}})
	}
	var out [][]job.Shape
	for i := range d.Pieces {
		path := d.Outline(i).Transform(back)
		out = append(out, []job.Shape{{Path: path, Rule: geometry.EvenOdd, Element: l.Name}})
	}
	return out, nil
}
