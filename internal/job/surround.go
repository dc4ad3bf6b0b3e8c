package job

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

// Surround is all that lies within a width of other layers: a band around them
// that follows whatever becomes of them. What it looks like is part of the plan.
type Surround struct {
	// Of are layers of the job, of one item or several.
	Of []LayerID
	// WidthMM is the band's width on the board.
	WidthMM float64
	// Sharp keeps corners, to twice the width; otherwise they are rounded.
	Sharp bool `json:",omitempty"`
	// Filled closes the holes that remain inside.
	Filled bool `json:",omitempty"`
}

// MaxSurroundMM is the widest band.
const MaxSurroundMM = 200

// Check reports a width out of reason as an *EditError.
func (s Surround) Check() error {
	if !(s.WidthMM > 0 && s.WidthMM <= MaxSurroundMM) {
		return refuse(BadSurround)
	}
	return nil
}

// AddSurround puts a surround around the layers, beneath the lowest of them and
// in its item, and returns it. It knocks out where all of the items that it goes
// around do.
func AddSurround(j Job, ids []LayerID, s Surround, name string, c colour.RGB) (Job, LayerID, error) {
	if err := s.Check(); err != nil {
		return j, 0, err
	}
	set, err := lookUp(j, ids)
	if err != nil {
		return j, 0, err
	}
	item, at := -1, 0
	s.Of = nil
	knocks := true
	for i, it := range j.Items {
		around := false
		all := true
		for k, l := range it.Layers {
			if set[l.ID] {
				around = true
				if item < 0 {
					item, at = i, k
				}
				s.Of = append(s.Of, l.ID)
			}
			all = all && l.Knocks
		}
		knocks = knocks && (all || !around)
	}
	if item < 0 {
		return j, 0, refuse(BadSurround)
	}
	last, lastItem := lastIDs(j)
	last++
	l := Layer{ID: last, Name: name, Content: s, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true, Knocks: knocks}
	out := withLayers(j, item, slices.Insert(slices.Clone(j.Items[item].Layers), at, l))
	out.LastLayer, out.LastItem = last, lastItem
	return out, last, nil
}

// Inner returns the layers that a surround is around, bottom first; those that
// are not there any longer, or left out, are passed over. A surround that holds
// itself is none of its own.
func Inner(j Job, l Layer) []LayerID {
	s, ok := l.Content.(Surround)
	if !ok {
		return nil
	}
	var out []LayerID
	for _, it := range j.Items {
		for _, o := range it.Layers {
			if o.ID != l.ID && o.Use != LeftOut && slices.Contains(s.Of, o.ID) {
				out = append(out, o.ID)
			}
		}
	}
	return out
}

// Carriers returns the layers that are moved when these are to be: a surround
// stands for what it is around.
func Carriers(j Job, ids []LayerID) []LayerID {
	return slices.DeleteFunc(withInner(j, ids), func(id LayerID) bool {
		l, _, _ := j.Layer(id)
		_, is := l.Content.(Surround)
		return is
	})
}

// Carried returns the layers that a move of these takes along: what Carriers
// says, and every surround whose layers are all among them.
func Carried(j Job, ids []LayerID) []LayerID {
	out := Carriers(j, ids)
	set := map[LayerID]bool{}
	for _, id := range out {
		set[id] = true
	}
	for grown := true; grown; {
		grown = false
		for _, it := range j.Items {
			for _, l := range it.Layers {
				if _, ok := l.Content.(Surround); !ok || set[l.ID] {
					continue
				}
				inner := Inner(j, l)
				if len(inner) == 0 || slices.ContainsFunc(inner, func(id LayerID) bool { return !set[id] }) {
					continue
				}
				set[l.ID], grown = true, true
				out = append(out, l.ID)
			}
		}
	}
	return out
}

// surroundBounds returns where a surround lies on the board: the bounds of what
// it is around, as much wider as it is. A sharp corner that stands on its tip
// reaches further.
func surroundBounds(j Job, l Layer, open map[LayerID]bool) geometry.Rect {
	if open[l.ID] {
		return geometry.EmptyRect()
	}
	open[l.ID] = true
	defer delete(open, l.ID)
	r := geometry.EmptyRect()
	for _, id := range Inner(j, l) {
		o, it, _ := j.Layer(id)
		r = r.Union(bounds(j, it, o, open))
	}
	if r.Empty() {
		return r
	}
	return r.Grow(l.Content.(Surround).WidthMM)
}

// reroute returns the job with what to makes of each layer that a surround is
// around, for the surrounds that chosen says; each layer once.
func reroute(j Job, chosen func(LayerID) bool, to func(LayerID) []LayerID) Job {
	for i, it := range j.Items {
		var layers []Layer
		for k, l := range it.Layers {
			s, is := l.Content.(Surround)
			if !is || !chosen(l.ID) {
				continue
			}
			if layers == nil {
				layers = slices.Clone(it.Layers)
			}
			var of []LayerID
			for _, id := range s.Of {
				for _, n := range to(id) {
					if !slices.Contains(of, n) {
						of = append(of, n)
					}
				}
			}
			s.Of = of
			layers[k].Content = s
		}
		if layers != nil {
			j = withLayers(j, i, layers)
		}
	}
	return j
}

// rerouteCopies lets the surrounds among copies be around copies, and nothing
// else.
func rerouteCopies(j Job, copies []LayerID, renamed map[LayerID]LayerID) Job {
	return reroute(j, func(id LayerID) bool { return slices.Contains(copies, id) }, func(id LayerID) []LayerID {
		if to, ok := renamed[id]; ok {
			return []LayerID{to}
		}
		return nil
	})
}

// rerouteAll lets all surrounds of replaced layers be around what replaces them.
func rerouteAll(j Job, replaced map[LayerID][]LayerID) Job {
	return reroute(j, func(LayerID) bool { return true }, func(id LayerID) []LayerID {
		if to, ok := replaced[id]; ok {
			return to
		}
		return []LayerID{id}
	})
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
		if s, is := l.Content.(Surround); is {
			for _, of := range s.Of {
				if _, _, ok := j.Layer(of); ok {
					add(of)
				}
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

// withoutEmpty takes away the surrounds that are around nothing any more.
func withoutEmpty(j Job) Job {
	for again := true; again; {
		again = false
		for i, it := range j.Items {
			keep := slices.DeleteFunc(slices.Clone(it.Layers), func(l Layer) bool {
				s, ok := l.Content.(Surround)
				return ok && !l.Locked && !slices.ContainsFunc(s.Of, func(of LayerID) bool {
					_, _, there := j.Layer(of)
					return there && of != l.ID
				})
			})
			if len(keep) < len(it.Layers) {
				j, again = withLayers(j, i, keep), true
			}
		}
	}
	return j
}

// rims are how far surrounds reach beyond all other art on each side, in
// millimetres on the board: that much of a size does not scale with the art.
type rims struct{ left, top, right, bottom float64 }

func rimsOf(j Job) rims {
	all, plain := geometry.EmptyRect(), geometry.EmptyRect()
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if l.Use == LeftOut {
				continue
			}
			b := bounds(j, it, l, map[LayerID]bool{})
			all = all.Union(b)
			if _, is := l.Content.(Surround); !is {
				plain = plain.Union(b)
			}
		}
	}
	if plain.Empty() {
		return rims{}
	}
	return rims{plain.Min.X - all.Min.X, plain.Min.Y - all.Min.Y, all.Max.X - plain.Max.X, all.Max.Y - plain.Max.Y}
}

// within returns the part of the art's extent that scales with it.
func (r rims) within(extent geometry.Rect) geometry.Rect {
	if extent.Empty() {
		return extent
	}
	return geometry.Rect{
		Min: extent.Min.Add(geometry.Pt(r.left, r.top)),
		Max: extent.Max.Sub(geometry.Pt(r.right, r.bottom)),
	}
}
