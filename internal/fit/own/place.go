package own

import (
	"abut/geometry"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// Placed is a layer that is on the map, with where it lies on the board.
type Placed struct {
	Item  int // index into Job.Items
	Layer *job.Layer
	// Shapes are what it draws, in units that Transform takes to the board.
	Shapes    []job.Shape
	Transform geometry.Affine
	// Mended are the mends of its things whose thing is there: Shapes are drawn with
	// them.
	Mended []thing.Made
}

// place lists the job's layers that are not left out, bottom first, and the
// names of those that are. Surrounds draw nothing yet: see Surrounds.
func place(j job.Job) (placed []Placed, leftOut []string) {
	for i := range j.Items {
		it := &j.Items[i]
		for k := range it.Layers {
			l := &it.Layers[k]
			if l.Use == job.LeftOut {
				leftOut = append(leftOut, l.Name)
				continue
			}
			placed = append(placed, Placed{Item: i, Layer: l, Shapes: job.Shapes(l.Content), Transform: it.Placement.Mul(l.Transform)})
		}
	}
	return placed, leftOut
}

// layerKey says what a layer contributes to the map: two with equal keys
// contribute the same. Content is never changed once it is in a job, so its
// identity stands for it; holding the pointer keeps it from being reused.
type layerKey struct {
	shapes    *job.Shape
	count     int
	transform geometry.Affine
}

func keyOf(p Placed) layerKey {
	k := layerKey{transform: p.Transform}
	if len(p.Shapes) > 0 {
		k.shapes, k.count = &p.Shapes[0], len(p.Shapes)
	}
	return k
}

func keysOf(placed []Placed) []layerKey {
	keys := make([]layerKey, len(placed))
	for i, p := range placed {
		keys[i] = keyOf(p)
	}
	return keys
}
