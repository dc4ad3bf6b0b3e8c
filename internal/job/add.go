package job

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

// Added is something new that is put into a job.
type Added struct {
	Name    string
	Content Content
	Colour  colour.RGB
	// ItemName names the item that is made where there is none yet.
	ItemName string
}

// Add puts content that is measured in millimetres on top of the topmost item,
// its origin at a place on the board, and returns its layer. Without an item
// there comes to be one, whose page is the blank or what is added. A surround is
// put in by AddSurround and refused here.
func Add(j Job, a Added, at geometry.Point) (Job, LayerID, error) {
	if _, is := a.Content.(Surround); is {
		return j, 0, refuse("edit-bad-surround")
	}
	g := newGraft(j)
	l := Layer{ID: g.id(), Name: a.Name, Content: a.Content, Colour: a.Colour, Alpha: 1, Transform: geometry.Translate(at.X, at.Y), Shown: true}
	if len(j.Items) == 0 {
		page := shapeBounds(Shapes(l.Content), l.Transform)
		if b := j.Settings.BlankShape; b != nil {
			page = b.Bounds()
		}
		g.item(Item{Name: a.ItemName, Placement: geometry.Identity(), Copies: 1, Canvas: page, PhysicalMM: page.Max.Sub(page.Min)})
	}
	it := &g.job.Items[len(g.job.Items)-1]
	back, _ := it.Placement.Invert()
	if l.Transform = back.Mul(l.Transform); !invertible(l.Transform) {
		return j, 0, refuse("edit-bad-transform")
	}
	// What is already knocked out stays so: the new thing joins in where all do.
	l.Knocks = len(it.Layers) > 0 && allKnock(g.job.Items)
	it.Layers = append(slices.Clip(it.Layers), l)
	return g.job, l.ID, nil
}

func allKnock(items []Item) bool {
	return !slices.ContainsFunc(items, func(it Item) bool {
		return slices.ContainsFunc(it.Layers, func(l Layer) bool { return !l.Knocks })
	})
}

// AddSurround puts a surround around the layers, beneath the lowest of them and
// in its item, and returns it. It knocks out where all of the items that it goes
// around do.
func AddSurround(j Job, ids []LayerID, s Surround, name string, c colour.RGB) (Job, LayerID, error) {
	set, err := lookUp(j, ids)
	if err == nil {
		err = s.Check()
	}
	if err != nil {
		return j, 0, err
	}
	s.Of = slices.DeleteFunc(j.LayerIDs(), func(id LayerID) bool { return !set[id] })
	if len(s.Of) == 0 {
		return j, 0, refuse("edit-bad-surround")
	}
	around := slices.DeleteFunc(slices.Clone(j.Items), func(it Item) bool {
		return !slices.ContainsFunc(it.Layers, func(l Layer) bool { return set[l.ID] })
	})
	g := newGraft(j)
	l := Layer{ID: g.id(), Name: name, Content: s, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true, Knocks: allKnock(around)}
	i, k := j.find(s.Of[0])
	return withLayers(g.job, i, slices.Insert(slices.Clone(j.Items[i].Layers), k, l)), l.ID, nil
}

// DeleteLayers takes the layers out of the job, and with them the surrounds of
// nothing else.
func DeleteLayers(j Job, ids []LayerID) (Job, error) {
	if _, err := editUnlocked(j, ids, func(*Item, *Layer) error { return nil }); err != nil || len(ids) == 0 {
		return j, err
	}
	gone := setOf(ids)
	return withoutEmpty(without(newGraft(j).job, func(l Layer) bool { return gone[l.ID] })), nil
}

// withoutEmpty returns the job without the surrounds of nothing that is there.
func withoutEmpty(j Job) Job {
	for before := -1; before != len(j.LayerIDs()); { // a surround may be of one that goes
		there := setOf(j.LayerIDs())
		before = len(there)
		j = without(j, func(l Layer) bool {
			s, is := l.Content.(Surround)
			return is && !l.Locked && !slices.ContainsFunc(s.Of, func(of LayerID) bool { return there[of] && of != l.ID })
		})
	}
	return j
}

// without returns the job without the layers that gone says.
func without(j Job, gone func(Layer) bool) Job {
	for i, it := range j.Items {
		if slices.ContainsFunc(it.Layers, gone) {
			j = withLayers(j, i, slices.DeleteFunc(slices.Clone(it.Layers), gone))
		}
	}
	return j
}
