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
	}
	for _, l := range j.each() {
		j.LastLayer = max(j.LastLayer, l.ID)
	}
	return &graft{job: j, became: map[LayerID][]LayerID{}}
}

// id returns a new layer's id.
func (g *graft) id() LayerID {
	g.job.LastLayer++
	return g.job.LastLayer
}

// item puts an item in that is as another one, but has nothing in it yet, and
// returns where it stands.
func (g *graft) item(as Item) int {
	g.job.LastItem++
	as.ID, as.Layers, as.Mends = g.job.LastItem, nil, nil
	g.job.Items = append(g.job.Items, as)
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

// swap is layers of one item, bottom first, and what takes their place: that of
// the one with the id at. New layers without an id get one.
type swap struct {
	old []Layer
	at  LayerID
	new []Layer
}

// replace makes the swaps in item i. Mends stay where they are on the board.
func (g *graft) replace(i int, swaps ...*swap) {
	it := &g.job.Items[i]
	of := map[LayerID]*swap{}
	for _, s := range swaps {
		var ids []LayerID
		for k := range s.new {
			if s.new[k].ID == 0 {
				s.new[k].ID = g.id()
			}
			ids = append(ids, s.new[k].ID)
		}
		for _, l := range s.old {
			of[l.ID], g.became[l.ID] = s, ids
		}
		g.made = append(g.made, ids...)
	}
	if len(of) == 0 {
		return
	}
	var layers []Layer
	for _, l := range it.Layers {
		if s := of[l.ID]; s == nil {
			layers = append(layers, l)
		} else if s.at == l.ID {
			layers = append(layers, s.new...)
		}
	}
	rebind(layers)
	it.Layers, it.Mends = layers, slices.Clone(it.Mends)
	for k := range it.Mends {
		if s := of[it.Mends[k].Layer]; s != nil {
			it.Mends[k].follow(*it, s)
		}
	}
}

// follow lets a mend of one of the item's layers that went be of one of those
// that came, at the same place: of the smallest whose bounds hold it.
func (m *Mend) follow(it Item, s *swap) {
	was := s.old[slices.IndexFunc(s.old, func(l Layer) bool { return l.ID == m.Layer })]
	at := ownUnits(it, was).Apply(m.At)
	size := func(l Layer) float64 {
		if r := shapeBounds(Shapes(l.Content), l.Transform); r.Contains(at) {
			return r.Width() * r.Height()
		}
		return math.Inf(1)
	}
	to := slices.MinFunc(s.new, func(a, b Layer) int { return cmp.Compare(size(a), size(b)) })
	m.Layer = to.ID
	if ownUnits(it, to) != ownUnits(it, was) {
		back, _ := ownUnits(it, to).Invert()
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

// copied returns the job once all is copied: the surrounds among the copies are
// around copies and nothing else.
func (g *graft) copied() Job {
	copies := setOf(g.made)
	return g.reroute(func(l *Layer) bool { return copies[l.ID] }, func(id LayerID) []LayerID { return g.became[id] })
}

// replaced returns the job once all swaps are made: surrounds of what went are
// around what came.
func (g *graft) replaced() Job {
	return g.reroute(func(*Layer) bool { return true }, func(id LayerID) []LayerID {
		if to, gone := g.became[id]; gone {
			return to
		}
		return []LayerID{id}
	})
}

// reroute returns the job with what to makes of each layer that a surround is
// around, for the surrounds that chosen says; each layer once.
func (g *graft) reroute(chosen func(*Layer) bool, to func(LayerID) []LayerID) Job {
	out := g.job
	for _, l := range g.job.each() {
		s, is := l.Content.(Surround)
		if !is || !chosen(l) {
			continue
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
		i, k := out.find(l.ID)
		out = withLayers(out, i, slices.Clone(out.Items[i].Layers))
		out.Items[i].Layers[k].Content = s
	}
	return out
}
