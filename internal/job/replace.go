package job

import (
	"strconv"

	"abut/geometry"
)

// SetBands shows the gradients of the layers in n bands of flat colour, or with
// n = 1 each as one layer of its mean colour again. The bands' edges lie where n
// flat colours come nearest to the gradient. Bands are layers of their own, in
// the place of the layer that they come of; those that belong together change
// together, whichever of them is named. Layers without a gradient that can be
// shown so stay as they are.
func SetBands(j Job, ids []LayerID, n int) (Job, error) {
	if n < 1 || n > MaxBands {
		return j, refuse("edit-bad-bands")
	}
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	g := newGraft(j)
	for i, it := range j.Items {
		chosen := map[LayerID]*swap{} // by bandOf
		for _, l := range it.Layers {
			if set[l.ID] && CanBand(l) {
				chosen[l.bandOf()] = nil
			}
		}
		var swaps []*swap
		for _, l := range it.Layers {
			s, is := chosen[l.bandOf()]
			if !is || !CanBand(l) {
				continue
			}
			if l.Locked {
				return j, refuseLocked(&l)
			}
			if s == nil {
				s = &swap{at: l.ID, new: Bands(l.whole(), n)}
				chosen[l.bandOf()], swaps = s, append(swaps, s)
			}
			s.old = append(s.old, l)
		}
		g.replace(i, swaps...)
	}
	if g.made == nil {
		return j, nil
	}
	return g.replaced(), nil
}

// BandsWith returns the layers that change along with these when another number
// of bands is chosen: the bands that belong to theirs.
func BandsWith(j Job, ids []LayerID) []LayerID {
	set, of := setOf(ids), map[LayerID]bool{}
	for _, l := range j.each() {
		if set[l.ID] {
			of[l.bandOf()] = true
		}
	}
	var out []LayerID
	for _, l := range j.each() {
		if of[l.bandOf()] {
			out = append(out, l.ID)
		}
	}
	return out
}

// Merge makes layers of one item one, in the place and with the name, colour
// and all else of the topmost: it covers what any of them covered. given has the
// outlines of the surrounds among them, in the item's units. Surrounds of any of
// them are of the one. Bands of one gradient become one band of it.
func Merge(j Job, ids []LayerID, given map[LayerID][]Shape) (Job, LayerID, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, 0, err
	}
	if len(set) < 2 {
		return j, 0, refuse("edit-merge-few")
	}
	i, _ := j.find(ids[0])
	var old []Layer
	var shapes []Shape
	for _, l := range j.Items[i].Layers {
		if !set[l.ID] {
			continue
		}
		if l.Locked {
			return j, 0, refuseLocked(&l)
		}
		old = append(old, l)
		own, ok := given[l.ID]
		if !ok {
			own = TransformShapes(Shapes(l.Content), l.Transform)
		}
		shapes = append(shapes, own...)
	}
	if len(old) < len(set) {
		return j, 0, refuse("edit-merge-apart")
	}
	top, ok := joinBands(old)
	if !ok {
		top = old[len(old)-1]
		top.Content, top.Transform, top.Band = Outlines{Shapes: shapes}, geometry.Identity(), Band{}
	}
	g := newGraft(j)
	g.replace(i, &swap{old, top.ID, []Layer{top}})
	return g.replaced(), top.ID, nil
}

// maxParts is how many layers a layer can be split into: more cannot be told
// apart in a list.
const maxParts = 500

// Split replaces a layer by one for each part, in its item's units, as fit.Parts
// returns them; all keep its colour, use and flags, and their names are numbered.
// Surrounds of it are of all of them. It returns the new layers, bottom first.
func Split(j Job, id LayerID, parts [][]Shape) (Job, []LayerID, error) {
	l, i, err := unlocked(j, id)
	switch {
	case err != nil:
		return j, nil, err
	case len(parts) < 2:
		return j, nil, refuseLayer("edit-no-parts", id, l.Name)
	case len(parts) > maxParts:
		return j, nil, refuse("edit-many-parts", "layer", l.Name, "count", strconv.Itoa(len(parts)), "limit", strconv.Itoa(maxParts))
	}
	var fresh []Layer
	for k, p := range parts {
		part := l
		part.ID, part.Name = 0, l.Name+" "+strconv.Itoa(k+1)
		part.Content, part.Transform, part.Band = Outlines{Shapes: p}, geometry.Identity(), Band{}
		fresh = append(fresh, part)
	}
	g := newGraft(j)
	g.replace(i, &swap{[]Layer{l}, id, fresh})
	return g.replaced(), g.made, nil
}

// ToOutlines replaces what a layer draws by outlines in its item's units, given
// for surrounds, whose outlines a job doesn't hold; nil for all others. It can
// no longer be edited by its numbers then.
func ToOutlines(j Job, id LayerID, shapes []Shape) (Job, error) {
	was, i, err := unlocked(j, id)
	if err != nil {
		return j, err
	}
	is := was
	if shapes == nil {
		shapes = Shapes(is.Content)
	} else {
		is.Transform = geometry.Identity()
	}
	is.Content = Outlines{Shapes: shapes}
	g := newGraft(j)
	g.replace(i, &swap{[]Layer{was}, id, []Layer{is}})
	return g.replaced(), nil
}
