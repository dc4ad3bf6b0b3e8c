package job

import (
	"slices"

	"abut/geometry"
)

// Inner returns the layers that a surround is around, bottom first; those that
// are not there any longer, or left out, are passed over. A surround that holds
// itself is none of its own.
func Inner(j Job, l Layer) []LayerID {
	s, ok := l.Content.(Surround)
	if !ok {
		return nil
	}
	var out []LayerID
	for _, o := range j.each() {
		if o.ID != l.ID && o.Use != LeftOut && slices.Contains(s.Of, o.ID) {
			out = append(out, o.ID)
		}
	}
	return out
}

// carriers returns the layers that are moved when these are to be: a surround
// stands for what it is around.
func carriers(j Job, ids []LayerID) []LayerID {
	return slices.DeleteFunc(withInner(j, ids), func(id LayerID) bool {
		l, _, _ := j.Layer(id)
		_, is := l.Content.(Surround)
		return is
	})
}

// Carried returns the layers that a move of these takes along: what surrounds
// among them are around, and every surround whose layers are all among them.
func Carried(j Job, ids []LayerID) []LayerID {
	out := carriers(j, ids)
	set := setOf(out)
	for grown := true; grown; {
		grown = false
		for _, l := range j.each() {
			inner := Inner(j, *l)
			if !set[l.ID] && len(inner) > 0 && !slices.ContainsFunc(inner, func(id LayerID) bool { return !set[id] }) {
				set[l.ID], grown = true, true
				out = append(out, l.ID)
			}
		}
	}
	return out
}

// withInner returns the layers and all that the surrounds among them are around.
func withInner(j Job, ids []LayerID) []LayerID {
	seen := map[LayerID]bool{}
	var out []LayerID
	var add func(id LayerID)
	add = func(id LayerID) {
		if seen[id] {
			return
		}
		seen[id] = true
		out = append(out, id)
		l, _, _ := j.Layer(id)
		s, _ := l.Content.(Surround)
		for _, of := range s.Of {
			if _, _, there := j.Layer(of); there {
				add(of)
			}
		}
	}
	for _, id := range ids {
		add(id)
	}
	return out
}

// outermost returns the layers without those that a surround among them is
// around.
func outermost(j Job, ids []LayerID) []LayerID {
	inner := map[LayerID]bool{}
	for _, id := range ids {
		for _, of := range withInner(j, []LayerID{id})[1:] {
			inner[of] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(ids), func(id LayerID) bool { return inner[id] })
}

// reach is art, by its bounds on the board, and how far beyond it surrounds
// reach.
type reach struct {
	art geometry.Rect
	mm  float64
}

// reaches says for all art that is shown or surrounded by some layers how far
// they reach.
type reaches map[LayerID]reach

// add takes a reach in; where there is one of the same art the wider counts.
func (r reaches) add(id LayerID, more reach) {
	if had, ok := r[id]; !ok || had.mm < more.mm {
		r[id] = more
	}
}

// bounds returns all that is reached.
func (r reaches) bounds() geometry.Rect {
	all := geometry.EmptyRect()
	for _, x := range r {
		all = all.Union(x.art.Grow(x.mm))
	}
	return all
}

// reachesOf returns how far those layers reach that chosen says. A surround's
// sharp corner that stands on its tip reaches further.
func reachesOf(j Job, chosen func(*Layer) bool) reaches {
	known := map[LayerID]reaches{} // of surrounds; empty while being worked out
	var of func(*Item, *Layer) reaches
	each := func(chosen func(*Layer) bool, wider float64) reaches {
		out := reaches{}
		for it, l := range j.each() {
			if chosen(l) {
				for id, r := range of(it, l) {
					out.add(id, reach{r.art, r.mm + wider})
				}
			}
		}
		return out
	}
	of = func(it *Item, l *Layer) reaches {
		s, is := l.Content.(Surround)
		if !is {
			return reaches{l.ID: {art: shapeBounds(Shapes(l.Content), it.Placement.Mul(l.Transform))}}
		}
		if _, ok := known[l.ID]; !ok {
			known[l.ID] = nil
			inner := setOf(s.Of)
			known[l.ID] = each(func(o *Layer) bool { return o.Use != LeftOut && inner[o.ID] }, s.WidthMM)
		}
		return known[l.ID]
	}
	return each(chosen, 0)
}

// Bounds returns where a layer lies on the board: the bounds of its curves, as
// far as clips that are rectangles let them show. It is empty for a layer that
// draws nothing, or is not the job's.
func Bounds(j Job, id LayerID) geometry.Rect { return BoundsOf(j, []LayerID{id}) }

// BoundsOf returns where the layers lie on the board, together.
func BoundsOf(j Job, ids []LayerID) geometry.Rect {
	set := setOf(ids)
	return reachesOf(j, func(l *Layer) bool { return set[l.ID] }).bounds()
}
