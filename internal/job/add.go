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
	if !at.Finite() {
		return j, 0, refuse("edit-bad-transform")
	}
	g := newGraft(j)
	l := Layer{ID: g.id(), Name: a.Name, Content: a.Content, Colour: a.Colour, Alpha: 1, Transform: geometry.Translate(at.X, at.Y), Shown: true}
	if len(j.Items) == 0 {
		page := shapeBounds(Shapes(l.Content), l.Transform)
		if b := j.Settings.BlankShape; b != nil {
			page = b.Bounds()
		}
		g.item(Item{
			Name: a.ItemName, Placement: geometry.Identity(), Copies: 1, Layers: []Layer{l},
			Canvas: page, PhysicalMM: page.Max.Sub(page.Min),
		})
		return g.job, l.ID, nil
	}
	i := len(j.Items) - 1
	back, ok := j.Items[i].Placement.Invert()
	if !ok {
		return j, 0, refuse("edit-bad-transform")
	}
	l.Transform = back.Mul(l.Transform)
	// What is already knocked out stays so: the new thing joins in where all do.
	l.Knocks = len(j.Items[i].Layers) > 0 && allKnock(j.Items)
	return withLayers(g.job, i, append(slices.Clip(j.Items[i].Layers), l)), l.ID, nil
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
	s.Of = nil
	var around []Item
	item, at := 0, 0
	for i, it := range j.Items {
		for k, l := range it.Layers {
			if !set[l.ID] {
				continue
			}
			if s.Of == nil {
				item, at = i, k
			}
			if n := len(around); n == 0 || around[n-1].ID != it.ID {
				around = append(around, it)
			}
			s.Of = append(s.Of, l.ID)
		}
	}
	if s.Of == nil {
		return j, 0, refuse("edit-bad-surround")
	}
	g := newGraft(j)
	l := Layer{ID: g.id(), Name: name, Content: s, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true, Knocks: allKnock(around)}
	return withLayers(g.job, item, slices.Insert(slices.Clone(j.Items[item].Layers), at, l)), l.ID, nil
}

// DeleteLayers takes the layers out of the job, and with them the surrounds of
// nothing else.
func DeleteLayers(j Job, ids []LayerID) (Job, error) {
	gone, err := lookUp(j, ids)
	if err != nil || len(gone) == 0 {
		return j, err
	}
	out := newGraft(j).job // which remembers the ids that go
	for i, it := range j.Items {
		_, rest, err := part(it, gone)
		if err != nil {
			return j, err
		}
		if len(rest) < len(it.Layers) {
			out.Items[i].Layers = rest
		}
	}
	return withoutEmpty(out), nil
}

// withoutEmpty takes away the surrounds that are around nothing any more.
func withoutEmpty(j Job) Job {
	for {
		there := setOf(j.LayerIDs())
		empty := func(l Layer) bool {
			s, is := l.Content.(Surround)
			return is && !l.Locked && !slices.ContainsFunc(s.Of, func(of LayerID) bool { return there[of] && of != l.ID })
		}
		again := false
		for i, it := range j.Items {
			if slices.ContainsFunc(it.Layers, empty) {
				j, again = withLayers(j, i, slices.DeleteFunc(slices.Clone(it.Layers), empty)), true
			}
		}
		if !again {
			return j
		}
	}
}
