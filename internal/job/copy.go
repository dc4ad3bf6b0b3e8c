package job

import (
	"slices"

	"abut/geometry"
)

// Duplicate puts a copy of each layer above the topmost of them in its item,
// shifted by (dx, dy) millimetres on the board, and returns the copies' ids,
// bottom first. Copies of locked layers are not locked. A surround takes what it
// is around along.
func Duplicate(j Job, ids []LayerID, dx, dy float64) (Job, []LayerID, error) {
	set, err := lookUp(j, withInner(j, ids))
	if err != nil || len(set) == 0 {
		return j, nil, err
	}
	g := newGraft(j)
	for i, it := range j.Items {
		of := it
		of.Layers = nil
		top := 0
		for k, l := range it.Layers {
			if set[l.ID] {
				of.Layers, top = append(of.Layers, l), k+1
			}
		}
		if of.Layers == nil {
			continue
		}
		// Nothing comes between the layers of an opacity group.
		for top < len(it.Layers) && it.Layers[top].Group != 0 && it.Layers[top].Group == it.Layers[top-1].Group {
			top++
		}
		g.copy(withoutLocks(of), i, top)
	}
	return g.shifted(j, dx, dy)
}

// shifted returns the job once all is copied, the copies moved on the board, and
// their ids; before where they cannot be.
func (g *graft) shifted(before Job, dx, dy float64) (Job, []LayerID, error) {
	out, err := MoveLayers(g.copied(), g.made, dx, dy)
	if err != nil {
		return before, nil, err
	}
	return out, g.made, nil
}

func withoutLocks(it Item) Item {
	it.Layers = slices.Clone(it.Layers)
	for k := range it.Layers {
		it.Layers[k].Locked = false
	}
	return it
}

// Only returns a job of nothing but these layers and what surrounds among them
// are around, in their items; what was decided about the whole is not kept.
func Only(j Job, ids []LayerID) Job {
	set := setOf(withInner(j, ids))
	out := without(Job{Items: j.Items}, func(l Layer) bool { return !set[l.ID] })
	out = deleteMends(out, func(m Mend) bool { return !set[m.Layer] })
	out.Items = slices.DeleteFunc(out.Items, func(it Item) bool { return len(it.Layers) == 0 })
	for i := range out.Items {
		out.Items[i].Warnings = nil
	}
	return out
}

// Paste puts the layers of another job on top, moved by (dx, dy) millimetres on
// the board, with ids of their own and not locked, and returns them, bottom
// first. Layers of an item that lies on the board as the topmost of j does join
// that one; all others come as items of their own.
func Paste(j, other Job, dx, dy float64) (Job, []LayerID, error) {
	g := newGraft(j)
	last := len(j.Items) - 1
	for _, it := range other.Items {
		i := last
		if last < 0 || len(other.Items) > 1 || it.Placement != j.Items[last].Placement {
			i = g.item(it)
		}
		g.copy(withoutLocks(it), i, len(g.job.Items[i].Layers))
	}
	return g.shifted(j, dx, dy)
}

// addItems puts the items of another job on top of the job's own, with ids of
// their own, and returns the layers that came in, bottom first. What the other
// job decided apart from its items is not taken over.
func addItems(j, other Job) (Job, []LayerID) {
	g := newGraft(j)
	for _, it := range other.Items {
		g.copy(it, g.item(it), 0)
	}
	return g.copied(), g.made
}

// gapMM is what lies between a picture and the next one that is added: enough
// for the frames of both.
const gapMM = 10

// AddBeside puts the items of another job on top of the job's own and returns
// the layers that came in, bottom first: its pages to the right of all that is
// there, top edges in line. Where there is a blank they are made no larger than its safe area
// holds. What the other job decided apart from its items is not taken over.
func AddBeside(j, other Job) (Job, []LayerID) {
	here, there := Pages(j), Pages(other)
	if !here.Empty() && !there.Empty() {
		other = scaled(other, there.Min, geometry.Pt(here.Max.X+gapMM, here.Min.Y), fitting(j, there))
	}
	return addItems(j, other)
}

// fitting is how many times as large pages may be where the blank is to hold them: 1 where it does.
func fitting(j Job, pages geometry.Rect) float64 {
	if b := j.Settings.BlankShape; b != nil {
		return 1 / max(1, b.fill(pages))
	}
	return 1
}

// AddAt is AddBeside with the other job's pages about a place on the board.
func AddAt(j, other Job, at geometry.Point) (Job, []LayerID) {
	if pages := Pages(other); !pages.Empty() {
		other = scaled(other, pages.Centre(), at, fitting(j, pages))
	}
	return addItems(j, other)
}
