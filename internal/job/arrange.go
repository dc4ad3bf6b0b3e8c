package job

import (
	"cmp"
	"slices"

	"abut/geometry"
)

// MoveLayers shifts the layers by (dx, dy) millimetres on the board.
func MoveLayers(j Job, ids []LayerID, dx, dy float64) (Job, error) {
	return TransformLayers(j, ids, geometry.Translate(dx, dy))
}

// TransformLayers maps the layers by m, which acts on board millimetres after
// everything else. m must be invertible. A surround moves what it is around.
func TransformLayers(j Job, ids []LayerID, m geometry.Affine) (Job, error) {
	if !invertible(m) {
		return j, refuse("edit-bad-transform")
	}
	return editUnlocked(j, carriers(j, ids), func(it *Item, l *Layer) error {
		t := within(it.Placement, m).Mul(l.Transform)
		if !invertible(t) {
			return refuseLayer("edit-bad-transform", l.ID, l.Name)
		}
		l.Transform = t
		if p, ok := l.Content.(Primitive); ok {
			l.Content, l.Transform = p.roundCorners(t)
		}
		return nil
	})
}

// within returns the map in an item's source units that looks on the board
// like m: placement⁻¹·m·placement. A plain shift stays a plain shift, with no
// rounding in its linear part.
func within(placement, m geometry.Affine) geometry.Affine {
	inv, _ := placement.Invert()
	if m.A == 1 && m.B == 0 && m.C == 0 && m.D == 1 {
		v := inv.ApplyVector(geometry.Pt(m.E, m.F))
		return geometry.Translate(v.X, v.Y)
	}
	return inv.Mul(m).Mul(placement)
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
		return j, refuse("edit-bad-size")
	}
	c := r.Centre()
	return TransformLayers(j, ids, geometry.Translate(c.X, c.Y).Mul(m).Mul(geometry.Translate(-c.X, -c.Y)))
}

// CentreOn moves the layers, together, so that the middle of their bounds lies
// on that of target.
func CentreOn(j Job, ids []LayerID, target geometry.Rect) (Job, error) {
	r := BoundsOf(j, ids)
	if r.Empty() || target.Empty() {
		return j, refuse("edit-bad-size")
	}
	d := target.Centre().Sub(r.Centre())
	return MoveLayers(j, ids, d.X, d.Y)
}

// Alignment is a line of their common bounds that layers are moved to.
type Alignment uint8

const (
	// AlignLeft is their left edge.
	AlignLeft Alignment = iota
	// AlignMiddle is the middle of their width.
	AlignMiddle
	// AlignRight is their right edge.
	AlignRight
	// AlignTop is their top edge.
	AlignTop
	// AlignCentre is the middle of their height.
	AlignCentre
	// AlignBottom is their bottom edge.
	AlignBottom
)

// Align moves each layer so that it touches the line of target, usually the
// layers' common bounds (BoundsOf). Layers that draw nothing stay.
func Align(j Job, ids []LayerID, a Alignment, target geometry.Rect) (Job, error) {
	across := float64(a%3) / 2 // the line's share of the way from left or top
	return moveEach(j, ids, func(_ LayerID, r geometry.Rect) geometry.Point {
		d := target.Min.Lerp(target.Max, across).Sub(r.Min.Lerp(r.Max, across))
		if a < AlignTop {
			return geometry.Pt(d.X, 0)
		}
		return geometry.Pt(0, d.Y)
	})
}

// Distribute moves the layers between the outermost two so that the gaps
// between neighbours are the same, from left to right or from top to bottom.
// Fewer than three stay as they are.
func Distribute(j Job, ids []LayerID, down bool) (Job, error) {
	if _, err := lookUp(j, ids); err != nil {
		return j, err
	}
	axis := geometry.Pt(1, 0)
	if down {
		axis = geometry.Pt(0, 1)
	}
	type span struct {
		id     LayerID
		lo, hi float64
	}
	var list []span
	full := 0.0
	for _, id := range outermost(j, slices.Compact(slices.Sorted(slices.Values(ids)))) {
		if r := Bounds(j, id); !r.Empty() {
			s := span{id, r.Min.Dot(axis), r.Max.Dot(axis)}
			list = append(list, s)
			full += s.hi - s.lo
		}
	}
	if len(list) < 3 {
		return j, nil
	}
	slices.SortStableFunc(list, func(a, b span) int { return cmp.Compare(a.lo+a.hi, b.lo+b.hi) })
	at := list[0].lo
	gap := (list[len(list)-1].hi - at - full) / float64(len(list)-1)
	by := map[LayerID]geometry.Point{}
	for _, s := range list {
		by[s.id] = axis.Mul(at - s.lo)
		at += s.hi - s.lo + gap
	}
	return moveEach(j, ids, func(id LayerID, _ geometry.Rect) geometry.Point { return by[id] })
}

// moveEach moves each layer by what by says of its bounds on the board; a
// surround with what it is around, and nothing twice.
func moveEach(j Job, ids []LayerID, by func(LayerID, geometry.Rect) geometry.Point) (Job, error) {
	if _, err := lookUp(j, ids); err != nil {
		return j, err
	}
	out := j
	moved := map[LayerID]bool{}
	for _, id := range outermost(j, ids) {
		r := Bounds(j, id)
		if r.Empty() {
			continue
		}
		if l, _, _ := j.Layer(id); l.Locked {
			return j, refuseLocked(&l)
		}
		d := by(id, r)
		if d == (geometry.Point{}) {
			continue
		}
		along := slices.DeleteFunc(carriers(j, []LayerID{id}), func(id LayerID) bool { return moved[id] })
		for _, c := range along {
			moved[c] = true
		}
		var err error
		if out, err = MoveLayers(out, along, d.X, d.Y); err != nil {
			return j, err
		}
	}
	return out, nil
}
