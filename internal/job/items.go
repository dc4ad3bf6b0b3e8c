package job

import (
	"math"
	"slices"

	"abut/geometry"
)

// AddItems puts the items of another job on top of the job's own, with ids of
// their own, and returns the layers that came in, bottom first. What the other
// job decided apart from its items is not taken over.
func AddItems(j, other Job) (Job, []LayerID) {
	if len(other.Items) == 0 {
		return j, nil
	}
	layer, item := lastIDs(j)
	items := slices.Clone(j.Items)
	var made []LayerID
	renamed := map[LayerID]LayerID{}
	for _, it := range other.Items {
		item++
		it.ID = item
		it.Layers, it.Mends = slices.Clone(it.Layers), slices.Clone(it.Mends)
		for k := range it.Layers {
			layer++
			renamed[it.Layers[k].ID] = layer
			it.Layers[k].ID = layer
			made = append(made, layer)
		}
		rebind(it.Layers)
		for k := range it.Mends {
			it.Mends[k].Layer = renamed[it.Mends[k].Layer]
		}
		items = append(items, it)
	}
	j.Items, j.LastLayer, j.LastItem = items, layer, item
	return rerouteCopies(j, made, renamed), made
}

// gapMM is what lies between a picture and the next one that is added.
const gapMM = 10

// AddBeside is AddItems with the other job's pages set to the right of all that
// is there, top edges in line.
func AddBeside(j, other Job) (Job, []LayerID) {
	here, there := Pages(j), Pages(other)
	if !here.Empty() && !there.Empty() {
		other = carried(other, geometry.Pt(here.Max.X+gapMM-there.Min.X, here.Min.Y-there.Min.Y))
	}
	return AddItems(j, other)
}

// AddAt is AddItems with the other job's pages about a place on the board. Where
// there is a blank they are made no larger than its safe area holds.
func AddAt(j, other Job, at geometry.Point) (Job, []LayerID) {
	pages := Pages(other)
	if b := j.Settings.BlankShape; b != nil && pages.Width() > 0 && pages.Height() > 0 {
		room := b.Room(pages.Width() / pages.Height())
		if smaller, err := FitItems(other, pages, room); err == nil && room.Width() < pages.Width() {
			other, pages = smaller, room
		}
	}
	if !pages.Empty() {
		other = carried(other, at.Sub(pages.Centre()))
	}
	return AddItems(j, other)
}

// carried returns the job with all of its items moved on the board.
func carried(j Job, by geometry.Point) Job {
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		j.Items[i].Placement = geometry.Translate(by.X, by.Y).Mul(j.Items[i].Placement)
	}
	return j
}

// Pages returns the pages that the items came with, on the board, together.
func Pages(j Job) geometry.Rect {
	r := geometry.EmptyRect()
	for _, it := range j.Items {
		r = r.Union(it.Placement.MapRect(it.Canvas))
	}
	return r
}

// ResizeAll scales all items about the top left corner of extent, their art on
// the board, so that it becomes widthMM wide or heightMM high; the other length
// must be 0. Surrounds keep their widths.
func ResizeAll(j Job, extent geometry.Rect, widthMM, heightMM float64) (Job, error) {
	r := rimsOf(j)
	extent = r.within(extent)
	k := (widthMM - r.left - r.right) / extent.Width()
	if widthMM == 0 {
		k = (heightMM - r.top - r.bottom) / extent.Height()
	}
	if extent.Empty() || (widthMM == 0) == (heightMM == 0) || !(k > 0) {
		return j, refuse(BadSize)
	}
	return scaleItems(j, extent.Min, extent.Min, k)
}

// scaleItems scales all items by k and takes the place at from to the one at to.
func scaleItems(j Job, from, to geometry.Point, k float64) (Job, error) {
	m := geometry.Translate(to.X, to.Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-from.X, -from.Y))
	items := slices.Clone(j.Items)
	for i := range items {
		items[i].Placement = m.Mul(items[i].Placement)
		if !invertible(items[i].Placement) {
			return j, refuse(BadSize)
		}
	}
	j.Items = items
	return j, nil
}

// FitItems scales and moves all items so that extent, their art on the board,
// fills target as far as its proportions let it, in the middle. Surrounds keep
// their widths.
func FitItems(j Job, extent, target geometry.Rect) (Job, error) {
	if r := rimsOf(j); !target.Empty() {
		extent, target = r.within(extent), r.within(target)
	}
	k := min(target.Width()/extent.Width(), target.Height()/extent.Height())
	if extent.Empty() || target.Empty() || !(k > 0) || math.IsInf(k, 0) {
		return j, refuse(BadSize)
	}
	return scaleItems(j, extent.Centre(), target.Centre(), k)
}

// Only returns a job of nothing but these layers and what surrounds among them
// are around, in their items; what was decided about the whole is not kept.
func Only(j Job, ids []LayerID) Job {
	set := map[LayerID]bool{}
	for _, id := range withInner(j, ids) {
		set[id] = true
	}
	var out Job
	for _, it := range j.Items {
		var layers []Layer
		for _, l := range it.Layers {
			if set[l.ID] {
				layers = append(layers, l)
			}
		}
		if layers == nil {
			continue
		}
		it.Layers, it.Warnings = layers, nil
		it.Mends = slices.DeleteFunc(slices.Clone(it.Mends), func(m Mend) bool { return !set[m.Layer] })
		if len(it.Mends) == 0 {
			it.Mends = nil
		}
		out.Items = append(out.Items, it)
	}
	return out
}

// Paste puts the layers of another job on top, moved by (dx, dy) millimetres on
// the board, with ids of their own, and returns them, bottom first. Layers of an
// item that lies on the board as the topmost of j does join that one; all others
// come as items of their own.
func Paste(j, other Job, dx, dy float64) (Job, []LayerID, error) {
	var ids []LayerID
	if n := len(j.Items); n > 0 && len(other.Items) == 1 && other.Items[0].Placement == j.Items[n-1].Placement {
		into, from := j.Items[n-1], other.Items[0]
		layer, item := lastIDs(j)
		group := GroupID(0)
		for _, l := range into.Layers {
			group = max(group, l.Group)
		}
		renamed := map[LayerID]LayerID{}
		layers := slices.Clone(into.Layers)
		for _, l := range from.Layers {
			layer++
			renamed[l.ID] = layer
			l.ID, l.Locked = layer, false
			if l.Group != 0 {
				l.Group += group
			}
			layers, ids = append(layers, l), append(ids, layer)
		}
		rebind(layers[len(into.Layers):])
		mends := slices.Clone(into.Mends)
		for _, m := range from.Mends {
			m.Layer = renamed[m.Layer]
			mends = append(mends, m)
		}
		j = withLayers(j, n-1, layers)
		j.Items[n-1].Mends = mends
		j.LastLayer, j.LastItem = layer, item
		j = rerouteCopies(j, ids, renamed)
	} else {
		j, ids = AddItems(j, other)
	}
	if dx == 0 && dy == 0 {
		return j, ids, nil
	}
	out, err := MoveLayers(j, ids, dx, dy)
	return out, ids, err
}
