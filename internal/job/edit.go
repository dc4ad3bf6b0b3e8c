package job

import (
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/colour"
)

// Every edit returns a changed copy and leaves the job it was given as it was;
// what did not change is shared between the two. An edit that is refused
// returns the job unchanged with an *EditError. Edits of several layers are all
// or nothing.

// SetKnocks says whether the layers cut themselves out of all that lies
// beneath them.
func SetKnocks(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error { l.Knocks = on; return nil })
}

// KnockOutAll sets every layer's flag: afterwards nothing stacks, and the
// picture is the same.
func KnockOutAll(j Job) (Job, error) { return SetKnocks(j, j.LayerIDs(), true) }

// SetShown shows or hides layers. It is for looking only and changes nothing
// that is cut.
func SetShown(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error { l.Shown = on; return nil })
}

// SetLocked protects layers from being moved, reordered or deleted.
func SetLocked(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error { l.Locked = on; return nil })
}

// SetUse says what becomes of the layers.
func SetUse(j Job, ids []LayerID, use Use) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error { l.Use = use; return nil })
}

// SetColour gives the layers another art colour.
func SetColour(j Job, ids []LayerID, c colour.RGB) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error { l.Colour = c; return nil })
}

// SetSolid says whether see-through layers count as opaque, in their own colour,
// instead of mixing with what they cover.
func SetSolid(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error { l.Solid = on && l.Alpha < 1; return nil })
}

// Rename gives the layer another name, trimmed of spaces around it.
func Rename(j Job, id LayerID, name string) (Job, error) {
	if name = strings.TrimSpace(name); name == "" {
		return j, refuse("edit-empty-name")
	}
	return editLayers(j, []LayerID{id}, func(_ *Item, l *Layer) error { l.Name = name; return nil })
}

// SetContent replaces what a layer draws; its place stays.
func SetContent(j Job, id LayerID, c Content) (Job, error) {
	return editUnlocked(j, []LayerID{id}, func(_ *Item, l *Layer) error { l.Content = c; return nil })
}

// editLayers applies edit to copies of the layers.
func editLayers(j Job, ids []LayerID, edit func(*Item, *Layer) error) (Job, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	for i, it := range j.Items {
		var layers []Layer
		for k := range it.Layers {
			if !set[it.Layers[k].ID] {
				continue
			}
			if layers == nil {
				layers = slices.Clone(it.Layers)
			}
			if err := edit(&it, &layers[k]); err != nil {
				return j, err
			}
		}
		if layers != nil {
			out = withLayers(out, i, layers)
		}
	}
	return out, nil
}

// editUnlocked is editLayers for what locked layers are protected from.
func editUnlocked(j Job, ids []LayerID, edit func(*Item, *Layer) error) (Job, error) {
	return editLayers(j, ids, func(it *Item, l *Layer) error {
		if l.Locked {
			return refuseLocked(l)
		}
		return edit(it, l)
	})
}

// unlocked returns a layer that is to be taken apart, and its item's index.
func unlocked(j Job, id LayerID) (Layer, int, error) {
	i, k := j.find(id)
	if i < 0 {
		return Layer{}, 0, refuseLayer(NoSuchLayer, id, "")
	}
	l := j.Items[i].Layers[k]
	if l.Locked {
		return l, i, refuseLocked(&l)
	}
	return l, i, nil
}

func refuseLocked(l *Layer) error { return refuseLayer("edit-layer-locked", l.ID, l.Name) }

// lookUp returns the ids as a set, or an error when the job lacks one of them.
func lookUp(j Job, ids []LayerID) (map[LayerID]bool, error) {
	there := setOf(j.LayerIDs())
	for _, id := range ids {
		if !there[id] {
			return nil, refuseLayer(NoSuchLayer, id, "")
		}
	}
	return setOf(ids), nil
}

func setOf(ids []LayerID) map[LayerID]bool {
	set := make(map[LayerID]bool, len(ids))
	for _, id := range ids {
		set[id] = true
	}
	return set
}

// withLayers gives an item other layers.
func withLayers(j Job, item int, layers []Layer) Job {
	j.Items = slices.Clone(j.Items)
	j.Items[item].Layers = layers
	return j
}

func invertible(m geometry.Affine) bool {
	_, ok := m.Invert()
	return ok && m.Finite()
}
