package job

import (
	"math"
	"slices"

	"abut/geometry"
)

// lastIDs returns the highest ids that the job has ever given.
func lastIDs(j Job) (LayerID, ItemID) {
	layer, item := j.LastLayer, j.LastItem
	for _, it := range j.Items {
		item = max(item, it.ID)
		for _, l := range it.Layers {
			layer = max(layer, l.ID)
		}
	}
	return layer, item
}

// Bounds returns where a layer lies on the board: the bounds of its curves, as
// far as clips that are rectangles let them show. It is empty for a layer that
// draws nothing, or is not the job's.
func Bounds(j Job, id LayerID) geometry.Rect {
	l, it, _ := j.Layer(id)
	return bounds(j, it, l, map[LayerID]bool{})
}

// bounds is Bounds of a layer of an item; open are the surrounds that its bounds
// are asked for.
func bounds(j Job, it Item, l Layer, open map[LayerID]bool) geometry.Rect {
	if _, ok := l.Content.(Surround); ok {
		return surroundBounds(j, l, open)
	}
	m := it.Placement.Mul(l.Transform)
	r := geometry.EmptyRect()
	for _, s := range Shapes(l.Content) {
		b := s.Path.Transform(m).Bounds()
		for _, c := range s.Clips {
			clip := geometry.EmptyRect()
			for _, cs := range c.Shapes {
				clip = clip.Union(cs.Path.Transform(m).Bounds())
			}
			b = b.Intersect(clip)
		}
		r = r.Union(b)
	}
	return r
}

// BoundsOf returns where the layers lie on the board, together.
func BoundsOf(j Job, ids []LayerID) geometry.Rect {
	r := geometry.EmptyRect()
	for _, id := range ids {
		r = r.Union(Bounds(j, id))
	}
	return r
}

// Duplicate puts a copy of each layer above the topmost of them in its item,
// shifted by (dx, dy) millimetres on the board, and returns the copies' ids,
// bottom first. Copies of locked layers are not locked. A surround takes what it
// is around along.
func Duplicate(j Job, ids []LayerID, dx, dy float64) (Job, []LayerID, error) {
	ids = withInner(j, ids)
	set, err := lookUp(j, ids)
	if err != nil {
		return j, nil, err
	}
	out := j
	last, lastItem := lastIDs(j)
	var made []LayerID
	renamed := map[LayerID]LayerID{}
	for i, it := range j.Items {
		var copies []Layer
		top := -1
		for k, l := range it.Layers {
			if !set[l.ID] {
				continue
			}
			shift, ok := within(it.Placement, geometry.Translate(dx, dy))
			if !ok {
				return j, nil, refuseLayer(BadTransform, l.ID, l.Name)
			}
			last++
			top = k
			renamed[l.ID] = last
			l.ID, l.Locked = last, false
			if _, ok := l.Content.(Surround); !ok {
				l.Transform = shift.Mul(l.Transform)
			}
			copies = append(copies, l)
			made = append(made, last)
		}
		rebind(copies)
		if copies != nil {
			out = withLayers(out, i, slices.Insert(slices.Clone(it.Layers), top+1, copies...))
		}
	}
	if made != nil {
		out = rerouteCopies(out, made, renamed)
		out.LastLayer, out.LastItem = last, lastItem
	}
	return out, made, nil
}

// Step says how far layers go in the order.
type Step uint8

const (
	// Up and Down pass one layer that is not moved along; ToTop and ToBottom
	// all of them.
	Up Step = iota
	Down
	ToTop
	ToBottom
)

// Arrange moves the layers in the order of their item; among themselves they
// keep theirs. Groups of the file are joined as by MoveUnder.
func Arrange(j Job, ids []LayerID, s Step) (Job, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	for i, it := range j.Items {
		moved, rest, err := part(it, set)
		if err != nil {
			return j, err
		}
		layers := slices.Clone(it.Layers)
		moves := func(k int) bool { return set[layers[k].ID] }
		switch s {
		case Up:
			for k := len(layers) - 2; k >= 0; k-- {
				if moves(k) && !moves(k+1) {
					layers[k], layers[k+1] = layers[k+1], layers[k]
				}
			}
		case Down:
			for k := 1; k < len(layers); k++ {
				if moves(k) && !moves(k-1) {
					layers[k], layers[k-1] = layers[k-1], layers[k]
				}
			}
		case ToTop:
			layers = slices.Concat(rest, moved)
		case ToBottom:
			layers = slices.Concat(moved, rest)
		}
		out = withOrder(out, i, layers, set)
	}
	return out, nil
}

// Alignment is a line of their common bounds that layers are moved to.
type Alignment uint8

const (
	// The left, middle and right of their width; the top, middle and bottom of
	// their height.
	AlignLeft Alignment = iota
	AlignMiddle
	AlignRight
	AlignTop
	AlignCentre
	AlignBottom
)

// Align moves each layer so that it touches the line of target, usually the
// layers' common bounds (BoundsOf). Layers that draw nothing stay.
func Align(j Job, ids []LayerID, a Alignment, target geometry.Rect) (Job, error) {
	return moveEach(j, ids, func(r geometry.Rect) (dx, dy float64) {
		switch a {
		case AlignLeft:
			return target.Min.X - r.Min.X, 0
		case AlignMiddle:
			return target.Centre().X - r.Centre().X, 0
		case AlignRight:
			return target.Max.X - r.Max.X, 0
		case AlignTop:
			return 0, target.Min.Y - r.Min.Y
		case AlignCentre:
			return 0, target.Centre().Y - r.Centre().Y
		}
		return 0, target.Max.Y - r.Max.Y
	})
}

// CentreOn moves the layers, together, so that the middle of their bounds lies
// on that of target.
func CentreOn(j Job, ids []LayerID, target geometry.Rect) (Job, error) {
	r := BoundsOf(j, ids)
	if r.Empty() || target.Empty() {
		return j, refuse(BadSize)
	}
	d := target.Centre().Sub(r.Centre())
	return MoveLayers(j, ids, d.X, d.Y)
}

// Distribute moves the layers between the outermost two so that the gaps
// between neighbours are the same, from left to right or from top to bottom.
// Fewer than three stay as they are.
func Distribute(j Job, ids []LayerID, down bool) (Job, error) {
	if _, err := lookUp(j, ids); err != nil {
		return j, err
	}
	type span struct {
		id     LayerID
		lo, hi float64
	}
	var list []span
	sum := 0.0
	for _, id := range outermost(j, slices.Compact(slices.Sorted(slices.Values(ids)))) {
		r := Bounds(j, id)
		if r.Empty() {
			continue
		}
		s := span{id, r.Min.X, r.Max.X}
		if down {
			s = span{id, r.Min.Y, r.Max.Y}
		}
		sum += s.hi - s.lo
		list = append(list, s)
	}
	if len(list) < 3 {
		return j, nil
	}
	slices.SortStableFunc(list, func(a, b span) int {
		if d := (a.lo + a.hi) - (b.lo + b.hi); d != 0 {
			return int(math.Copysign(1, d))
		}
		return 0
	})
	first, end := list[0].lo, list[len(list)-1].hi
	gap := (end - first - sum) / float64(len(list)-1)
	at := first
	to := map[LayerID]float64{}
	for _, s := range list {
		to[s.id] = at
		at += s.hi - s.lo + gap
	}
	return moveEachID(j, ids, func(id LayerID, r geometry.Rect) (dx, dy float64) {
		if down {
			return 0, to[id] - r.Min.Y
		}
		return to[id] - r.Min.X, 0
	})
}

func moveEach(j Job, ids []LayerID, by func(geometry.Rect) (dx, dy float64)) (Job, error) {
	return moveEachID(j, ids, func(_ LayerID, r geometry.Rect) (dx, dy float64) { return by(r) })
}

// moveEachID moves each layer by what by says of its bounds on the board; a
// surround with what it is around.
func moveEachID(j Job, ids []LayerID, by func(LayerID, geometry.Rect) (dx, dy float64)) (Job, error) {
	if _, err := lookUp(j, ids); err != nil {
		return j, err
	}
	out := j
	moved := map[LayerID]bool{}
	for _, id := range outermost(j, ids) {
		l, _, _ := j.Layer(id)
		r := Bounds(j, id)
		if r.Empty() {
			continue
		}
		if l.Locked {
			return j, refuseLayer(LayerLocked, l.ID, l.Name)
		}
		dx, dy := by(l.ID, r)
		if dx == 0 && dy == 0 {
			continue
		}
		carriers := slices.DeleteFunc(Carriers(j, []LayerID{id}), func(id LayerID) bool { return moved[id] })
		for _, c := range carriers {
			moved[c] = true
		}
		var err error
		if out, err = MoveLayers(out, carriers, dx, dy); err != nil {
			return j, err
		}
	}
	return out, nil
}

// Fit maps the layers so that their common bounds become target. Bounds without
// a width or a height keep what they lack.
func Fit(j Job, ids []LayerID, target geometry.Rect) (Job, error) {
	r := BoundsOf(j, ids)
	if r.Empty() || !(target.Width() > 0) || !(target.Height() > 0) {
		return j, refuse(BadSize)
	}
	return TransformLayers(j, ids, mapRect(r, target))
}

// mapRect returns the map that takes r to target without turning.
func mapRect(r, target geometry.Rect) geometry.Affine {
	sx, sy := 1.0, 1.0
	if r.Width() > 0 {
		sx = target.Width() / r.Width()
	}
	if r.Height() > 0 {
		sy = target.Height() / r.Height()
	}
	return geometry.Translate(target.Min.X, target.Min.Y).Mul(geometry.Scale(sx, sy)).Mul(geometry.Translate(-r.Min.X, -r.Min.Y))
}

// Turn turns the layers clockwise by an angle in radians about the middle of
// their common bounds.
func Turn(j Job, ids []LayerID, angle float64) (Job, error) {
	return about(j, ids, geometry.Rotate(angle))
}

// Flip mirrors the layers in place: left and right swapped, or top and bottom.
func Flip(j Job, ids []LayerID, topBottom bool) (Job, error) {
	if topBottom {
		return about(j, ids, geometry.Scale(1, -1))
	}
	return about(j, ids, geometry.Scale(-1, 1))
}

func about(j Job, ids []LayerID, m geometry.Affine) (Job, error) {
	r := BoundsOf(j, ids)
	if r.Empty() {
		return j, refuse(BadSize)
	}
	c := r.Centre()
	return TransformLayers(j, ids, geometry.Translate(c.X, c.Y).Mul(m).Mul(geometry.Translate(-c.X, -c.Y)))
}
