package job

import (
	"slices"
	"strconv"

	"abut/geometry"
)

// MaxParts is how many layers a layer can be split into: more cannot be told
// apart in a list.
const MaxParts = 500

// Merge makes layers of one item one, in the place and with the name, colour
// and all else of the topmost: it covers what any of them covered. given has the
// outlines of the surrounds among them, in the item's units. Surrounds of any of
// them are of the one.
func Merge(j Job, ids []LayerID, given map[LayerID][]Shape) (Job, LayerID, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, 0, err
	}
	if len(set) < 2 {
		return j, 0, refuse(MergeFew)
	}
	i := slices.IndexFunc(j.Items, func(it Item) bool {
		return slices.ContainsFunc(it.Layers, func(l Layer) bool { return set[l.ID] })
	})
	it := j.Items[i]
	var shapes []Shape
	var top Layer
	n := 0
	for _, l := range it.Layers {
		if !set[l.ID] {
			continue
		}
		if l.Locked {
			return j, 0, refuseLayer(LayerLocked, l.ID, l.Name)
		}
		n++
		top = l
		if own, ok := given[l.ID]; ok {
			shapes = append(shapes, own...)
			continue
		}
		shapes = append(shapes, transformShapes(Shapes(l.Content), l.Transform)...)
	}
	if n < len(set) {
		return j, 0, refuse(MergeApart)
	}
	top.Content, top.Transform = Outlines{Shapes: shapes}, geometry.Identity()
	replaced := map[LayerID][]LayerID{}
	for id := range set {
		replaced[id] = []LayerID{top.ID}
	}
	last, lastItem := lastIDs(j)
	var layers []Layer
	for _, l := range it.Layers {
		switch {
		case l.ID == top.ID:
			layers = append(layers, top)
		case !set[l.ID]:
			layers = append(layers, l)
		}
	}
	out := rerouteAll(withLayers(j, i, layers), replaced)
	out.LastLayer, out.LastItem = last, lastItem
	return out, top.ID, nil
}

// transformShapes returns the shapes mapped by m, with their clips. A clip that
// shapes share stays shared.
func transformShapes(shapes []Shape, m geometry.Affine) []Shape {
	if m == geometry.Identity() {
		return shapes
	}
	clips := map[*Clip]*Clip{}
	var all func([]Shape) []Shape
	all = func(list []Shape) []Shape {
		out := make([]Shape, len(list))
		for i, s := range list {
			s.Path, s.Centre = s.Path.Transform(m), s.Centre.Transform(m)
			var own []*Clip
			for _, c := range s.Clips {
				to, ok := clips[c]
				if !ok {
					to = &Clip{}
					clips[c] = to
					to.Shapes = all(c.Shapes)
				}
				own = append(own, to)
			}
			s.Clips = own
			out[i] = s
		}
		return out
	}
	return all(shapes)
}

// Split replaces a layer by one for each part, in its item's units, as fit.Parts
// returns them; all keep its colour, use and flags, and their names are numbered.
// Surrounds of it are of all of them. It returns the new layers, bottom first.
func Split(j Job, id LayerID, parts [][]Shape) (Job, []LayerID, error) {
	l, it, ok := j.Layer(id)
	if !ok {
		return j, nil, refuseLayer(NoSuchLayer, id, "")
	}
	if l.Locked {
		return j, nil, refuseLayer(LayerLocked, id, l.Name)
	}
	if len(parts) < 2 {
		return j, nil, refuseLayer(NoParts, id, l.Name)
	}
	if len(parts) > MaxParts {
		e := refuseLayer(ManyParts, id, l.Name)
		e.Args["count"], e.Args["limit"] = strconv.Itoa(len(parts)), strconv.Itoa(MaxParts)
		return j, nil, e
	}
	last, lastItem := lastIDs(j)
	var made []LayerID
	var fresh []Layer
	for k, p := range parts {
		last++
		part := l
		part.ID, part.Name = last, l.Name+" "+strconv.Itoa(k+1)
		part.Content, part.Transform = Outlines{Shapes: p}, geometry.Identity()
		fresh, made = append(fresh, part), append(made, last)
	}
	var layers []Layer
	for _, o := range it.Layers {
		if o.ID == id {
			layers = append(layers, fresh...)
			continue
		}
		layers = append(layers, o)
	}
	i := slices.IndexFunc(j.Items, func(o Item) bool { return o.ID == it.ID })
	out := rerouteAll(withLayers(j, i, layers), map[LayerID][]LayerID{id: made})
	out.LastLayer, out.LastItem = last, lastItem
	return out, made, nil
}
