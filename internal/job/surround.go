package job

import (
	"slices"

	"abut/geometry"
)

// Surround is all that lies within a width of other layers: a band around them
// that follows whatever becomes of them. What it looks like is part of the plan.
type Surround struct {
	// Of are layers of the same item; others are passed over.
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

// AddSurround puts a surround around the layers beneath the lowest of them, one
// for each item that has some, and returns the new layers.
func AddSurround(j Job, ids []LayerID, s Surround, name string, c Colour) (Job, []LayerID, error) {
	if err := s.Check(); err != nil {
		return j, nil, err
	}
	set, err := lookUp(j, ids)
	if err != nil {
		return j, nil, err
	}
	out := j
	last, lastItem := lastIDs(j)
	var made []LayerID
	for i, it := range j.Items {
		at := slices.IndexFunc(it.Layers, func(l Layer) bool { return set[l.ID] })
		if at < 0 {
			continue
		}
		own := s
		own.Of = nil
		knocks := true
		for _, l := range it.Layers {
			if set[l.ID] {
				own.Of = append(own.Of, l.ID)
			}
			knocks = knocks && l.Knocks
		}
		last++
		l := Layer{ID: last, Name: name, Content: own, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true, Knocks: knocks}
		out = withLayers(out, i, slices.Insert(slices.Clone(it.Layers), at, l))
		made = append(made, last)
	}
	if made == nil {
		return j, nil, refuse(BadSurround)
	}
	out.LastLayer, out.LastItem = last, lastItem
	return out, made, nil
}

// Inner returns the layers of the item that a surround is around, bottom first;
// those that are not there any longer, or left out, are passed over. A surround
// that holds itself is none of its own.
func (it Item) Inner(l Layer) []Layer {
	s, ok := l.Content.(Surround)
	if !ok {
		return nil
	}
	var out []Layer
	for _, o := range it.Layers {
		if o.ID != l.ID && o.Use != LeftOut && slices.Contains(s.Of, o.ID) {
			out = append(out, o)
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
				inner := it.Inner(l)
				if len(inner) == 0 || slices.ContainsFunc(inner, func(o Layer) bool { return !set[o.ID] }) {
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
func surroundBounds(it Item, l Layer, open map[LayerID]bool) geometry.Rect {
	if open[l.ID] {
		return geometry.EmptyRect()
	}
	open[l.ID] = true
	defer delete(open, l.ID)
	r := geometry.EmptyRect()
	for _, o := range it.Inner(l) {
		r = r.Union(bounds(it, o, open))
	}
	if r.Empty() {
		return r
	}
	return r.Grow(l.Content.(Surround).WidthMM)
}

// remapSurround names the layers of a copied surround by their copies.
func remapSurround(c Content, renamed map[LayerID]LayerID) Content {
	s, ok := c.(Surround)
	if !ok {
		return c
	}
	of := make([]LayerID, 0, len(s.Of))
	for _, id := range s.Of {
		if to, ok := renamed[id]; ok {
			id = to
		}
		of = append(of, id)
	}
	s.Of = of
	return s
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
		l, it, ok := j.Layer(id)
		if s, is := l.Content.(Surround); ok && is {
			for _, of := range s.Of {
				if slices.ContainsFunc(it.Layers, func(o Layer) bool { return o.ID == of }) {
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
				return ok && !l.Locked && !slices.ContainsFunc(it.Layers, func(o Layer) bool { return o.ID != l.ID && slices.Contains(s.Of, o.ID) })
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

func rimsOf(items []Item) rims {
	all, plain := geometry.EmptyRect(), geometry.EmptyRect()
	for _, it := range items {
		for _, l := range it.Layers {
			if l.Use == LeftOut {
				continue
			}
			b := Bounds(it, l)
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
