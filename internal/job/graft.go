package job

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

// graft puts layers into a job under ids that were never used, and lets all that
// names a layer follow: bands that belong together, opacity groups, surrounds
// and mends. Every edit that makes layers goes through it, so whatever one layer
// says of another is looked after here and nowhere else.
//
// Layers come in two ways. Copies stand beside what they were made of: they name
// one another, and nothing else names them. Layers that take the place of others
// take over all that named those.
type graft struct {
	job Job
	// became says which layers were made of one, bottom first.
	became map[LayerID][]LayerID
	// made are all of them, bottom first.
	made []LayerID
}

func newGraft(j Job) *graft {
	j.Items = slices.Clone(j.Items)
	for _, it := range j.Items {
		j.LastItem = max(j.LastItem, it.ID)
		for k := range it.Layers {
			j.LastLayer = max(j.LastLayer, it.Layers[k].ID)
		}
	}
	return &graft{job: j, became: map[LayerID][]LayerID{}}
}

// id returns a new layer's id.
func (g *graft) id() LayerID {
	g.job.LastLayer++
	return g.job.LastLayer
}

// item returns where among the job's items a new one stands.
func (g *graft) item(it Item) int {
	g.job.LastItem++
	it.ID = g.job.LastItem
	g.job.Items = append(g.job.Items, it)
	return len(g.job.Items) - 1
}

// copy puts copies of an item's layers, with the mends that they have, into item
// i above its first at layers. Their opacity groups are new ones: within their
// own only the topmost would count where copies lie over each other.
func (g *graft) copy(of Item, i, at int) {
	to := &g.job.Items[i]
	group := GroupID(0)
	for k := range to.Layers {
		group = max(group, to.Layers[k].Group)
	}
	groups := map[GroupID]GroupID{0: 0}
	layers := slices.Clone(of.Layers)
	for k := range layers {
		l := &layers[k]
		if _, met := groups[l.Group]; !met {
			group++
			groups[l.Group] = group
		}
		id := g.id()
		g.became[l.ID] = []LayerID{id}
		g.made = append(g.made, id)
		l.ID, l.Group = id, groups[l.Group]
	}
	rebind(layers)
	to.Layers = slices.Insert(slices.Clone(to.Layers), at, layers...)
	to.Mends = slices.Clip(to.Mends)
	for _, m := range of.Mends {
		if is := g.became[m.Layer]; is != nil {
			m.Layer = is[0]
			to.Mends = append(to.Mends, m)
		}
	}
}

// copied returns the job once all is copied: the surrounds among the copies are
// around copies.
func (g *graft) copied() Job {
	copies := setOf(g.made)
	return g.reroute(func(id LayerID) bool { return copies[id] }, func(id LayerID) []LayerID { return g.became[id] })
}

// swap is layers of one item, bottom first, and what takes their place: that of
// the one with the id at. New layers without an id get one.
type swap struct {
	old []Layer
	at  LayerID
	new []Layer
}

// replace makes the swaps in item i. Mends stay where they are on the board.
func (g *graft) replace(i int, swaps ...swap) {
	it := &g.job.Items[i]
	instead := map[LayerID][]Layer{} // what stands where a layer was
	made := map[LayerID][]Layer{}
	was := map[LayerID]Layer{}
	for _, s := range swaps {
		var ids []LayerID
		for k := range s.new {
			if s.new[k].ID == 0 {
				s.new[k].ID = g.id()
			}
			ids = append(ids, s.new[k].ID)
		}
		for _, l := range s.old {
			was[l.ID], made[l.ID], instead[l.ID], g.became[l.ID] = l, s.new, nil, ids
		}
		instead[s.at] = s.new
		g.made = append(g.made, ids...)
	}
	var layers []Layer
	for _, l := range it.Layers {
		if _, gone := was[l.ID]; gone {
			layers = append(layers, instead[l.ID]...)
		} else {
			layers = append(layers, l)
		}
	}
	rebind(layers)
	it.Layers, it.Mends = layers, slices.Clone(it.Mends)
	for k := range it.Mends {
		if m := &it.Mends[k]; len(made[m.Layer]) > 0 {
			m.follow(*it, was[m.Layer], made[m.Layer])
		}
	}
}

// follow lets a mend of a layer of the item be of one of those that were made of
// it, at the same place: of the smallest whose bounds hold it.
func (m *Mend) follow(it Item, was Layer, made []Layer) {
	at := ownUnits(it, was).Apply(m.At)
	size := func(l Layer) float64 {
		r := shapeBounds(Shapes(l.Content), l.Transform)
		if !r.Contains(at) {
			return math.Inf(1)
		}
		return r.Width() * r.Height()
	}
	to := slices.MinFunc(made, func(a, b Layer) int { return cmp.Compare(size(a), size(b)) })
	m.Layer = to.ID
	if back, ok := ownUnits(it, to).Invert(); ok && back.Apply(at) != m.At {
		m.At = back.Apply(at)
	}
}

// ownUnits returns the map from the units that mends of a layer are in to those
// of its item: a surround's are the board's.
func ownUnits(it Item, l Layer) geometry.Affine {
	if _, is := l.Content.(Surround); is {
		back, _ := it.Placement.Invert()
		return back
	}
	return l.Transform
}

// replaced returns the job once all swaps are made: surrounds of what went are
// around what came.
func (g *graft) replaced() Job {
	return g.reroute(func(LayerID) bool { return true }, func(id LayerID) []LayerID {
		if to, gone := g.became[id]; gone {
			return to
		}
		return []LayerID{id}
	})
}

// reroute returns the job with what to makes of each layer that a surround is
// around, for the surrounds that chosen says; each layer once.
func (g *graft) reroute(chosen func(LayerID) bool, to func(LayerID) []LayerID) Job {
	for i := range g.job.Items {
		it := &g.job.Items[i]
		own := false // the list of layers is no other job's
		for k, l := range it.Layers {
			s, is := l.Content.(Surround)
			if !is || !chosen(l.ID) {
				continue
			}
			if !own {
				it.Layers, own = slices.Clone(it.Layers), true
			}
			var of []LayerID
			met := map[LayerID]bool{}
			for _, id := range s.Of {
				for _, n := range to(id) {
					if !met[n] {
						met[n] = true
						of = append(of, n)
					}
				}
			}
			s.Of = of
			it.Layers[k].Content = s
		}
	}
	return g.job
}
