package job

import (
	"maps"
	"math"
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/colour"
)

// Every edit returns a changed copy and leaves the job it was given as it was;
// what did not change is shared between the two. An edit that is refused
// returns the job unchanged with an *EditError. Edits of several layers are all
// or nothing.

// Layer returns the layer with this id and the item that holds it.
func (j Job) Layer(id LayerID) (Layer, Item, bool) {
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if l.ID == id {
				return l, it, true
			}
		}
	}
	return Layer{}, Item{}, false
}

// Item returns the item with this id.
func (j Job) Item(id ItemID) (Item, bool) {
	for _, it := range j.Items {
		if it.ID == id {
			return it, true
		}
	}
	return Item{}, false
}

// Sheet returns the sheet with this id.
func (j Job) Sheet(id SheetID) (Sheet, bool) {
	for _, s := range j.Sheets {
		if s.ID == id {
			return s, true
		}
	}
	return Sheet{}, false
}

// LayerIDs returns the ids of all layers, bottom first.
func (j Job) LayerIDs() []LayerID {
	var ids []LayerID
	for _, it := range j.Items {
		for _, l := range it.Layers {
			ids = append(ids, l.ID)
		}
	}
	return ids
}

// SetKnocks says whether the layers cut themselves out of all that lies
// beneath them.
func SetKnocks(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ Item, l *Layer) error { l.Knocks = on; return nil })
}

// KnockOutAll sets every layer's flag: afterwards nothing stacks, and the
// picture is the same.
func KnockOutAll(j Job) (Job, error) { return SetKnocks(j, j.LayerIDs(), true) }

// SetShown shows or hides layers. It is for looking only and changes nothing
// that is cut.
func SetShown(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ Item, l *Layer) error { l.Shown = on; return nil })
}

// SetLocked protects layers from being moved, reordered or deleted.
func SetLocked(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ Item, l *Layer) error { l.Locked = on; return nil })
}

// SetUse says what becomes of the layers.
func SetUse(j Job, ids []LayerID, use Use) (Job, error) {
	return editLayers(j, ids, func(_ Item, l *Layer) error { l.Use = use; return nil })
}

// SetColour gives the layers another art colour.
func SetColour(j Job, ids []LayerID, c colour.RGB) (Job, error) {
	return editLayers(j, ids, func(_ Item, l *Layer) error { l.Colour = c; return nil })
}

// SetSolid says whether see-through layers count as opaque, in their own colour,
// instead of mixing with what they cover.
func SetSolid(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ Item, l *Layer) error { l.Solid = on && l.Alpha < 1; return nil })
}

// Rename gives the layer another name, trimmed of spaces around it.
func Rename(j Job, id LayerID, name string) (Job, error) {
	name = strings.TrimSpace(name)
	if name == "" {
		e := refuse(EmptyName)
		e.Layer = id
		return j, e
	}
	return editLayers(j, []LayerID{id}, func(_ Item, l *Layer) error { l.Name = name; return nil })
}

// MoveLayers shifts the layers by (dx, dy) millimetres on the board.
func MoveLayers(j Job, ids []LayerID, dx, dy float64) (Job, error) {
	return TransformLayers(j, ids, geometry.Translate(dx, dy))
}

// TransformLayers maps the layers by m, which acts on board millimetres after
// everything else. m must be invertible. A surround moves what it is around.
func TransformLayers(j Job, ids []LayerID, m geometry.Affine) (Job, error) {
	if !invertible(m) {
		return j, refuse(BadTransform)
	}
	return editLayers(j, Carriers(j, ids), func(it Item, l *Layer) error {
		if l.Locked {
			return refuseLayer(LayerLocked, l.ID, l.Name)
		}
		t, ok := within(it.Placement, m)
		if !ok {
			return refuseLayer(BadTransform, l.ID, l.Name)
		}
		t = t.Mul(l.Transform)
		if !invertible(t) {
			return refuseLayer(BadTransform, l.ID, l.Name)
		}
		l.Transform = t
		if p, ok := l.Content.(Primitive); ok {
			l.Content, l.Transform = p.roundCorners(l.Transform)
		}
		return nil
	})
}

// within returns the map in an item's source units that looks on the board
// like m: placement⁻¹·m·placement. A plain shift stays a plain shift, with no
// rounding in its linear part.
func within(placement, m geometry.Affine) (geometry.Affine, bool) {
	inv, ok := placement.Invert()
	if !ok {
		return geometry.Affine{}, false
	}
	if m.A == 1 && m.B == 0 && m.C == 0 && m.D == 1 {
		v := inv.ApplyVector(geometry.Pt(m.E, m.F))
		return geometry.Translate(v.X, v.Y), true
	}
	return inv.Mul(m).Mul(placement), true
}

// DeleteLayers takes the layers out of the job, and with them the surrounds of
// nothing else.
func DeleteLayers(j Job, ids []LayerID) (Job, error) {
	gone, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	if len(gone) > 0 {
		out.LastLayer, out.LastItem = lastIDs(j)
	}
	for i, it := range j.Items {
		keep := make([]Layer, 0, len(it.Layers))
		for _, l := range it.Layers {
			if !gone[l.ID] {
				keep = append(keep, l)
			} else if l.Locked {
				return j, refuseLayer(LayerLocked, l.ID, l.Name)
			}
		}
		if len(keep) < len(it.Layers) {
			out = withLayers(out, i, keep)
		}
	}
	if len(gone) > 0 {
		out = withoutEmpty(out)
	}
	return out, nil
}

// Place maps the item's source units to the board by m.
func Place(j Job, id ItemID, m geometry.Affine) (Job, error) {
	if !invertible(m) {
		e := refuse(BadTransform)
		e.Item = id
		return j, e
	}
	return editItem(j, id, func(it *Item) error { it.Placement = m; return nil })
}

// Resize scales the item about the top left corner of its art so that the art
// becomes widthMM wide or heightMM high on the board; the other length must be
// 0. extent is the art's extent in source units, as fit.Extent returns it.
// Surrounds keep their widths.
func Resize(j Job, id ItemID, extent geometry.Rect, widthMM, heightMM float64) (Job, error) {
	return editItem(j, id, func(it *Item) error {
		r := rimsOf(Job{Items: []Item{*it}})
		now := r.within(it.Placement.MapRect(extent))
		k := (widthMM - r.left - r.right) / now.Width()
		if widthMM == 0 {
			k = (heightMM - r.top - r.bottom) / now.Height()
		}
		if extent.Empty() || (widthMM == 0) == (heightMM == 0) || !(k > 0) || math.IsInf(k, 0) {
			e := refuse(BadSize)
			e.Item = id
			return e
		}
		m := geometry.Translate(now.Min.X, now.Min.Y).Mul(geometry.Scale(k, k)).
			Mul(geometry.Translate(-now.Min.X, -now.Min.Y)).Mul(it.Placement)
		if !invertible(m) {
			e := refuse(BadSize)
			e.Item = id
			return e
		}
		it.Placement = m
		return nil
	})
}

// Assign sends an art colour to a sheet, or leaves it bare.
func Assign(j Job, c colour.RGB, t Target) (Job, error) {
	if t.Bare {
		t.Sheet = 0
	} else if _, ok := j.Sheet(t.Sheet); !ok {
		return j, refuse(NoSuchSheet)
	}
	m := make(map[colour.RGB]Target, len(j.Assign)+1)
	maps.Copy(m, j.Assign)
	m[c] = t
	j.Assign = m
	return j, nil
}

// Unassign forgets where an art colour was sent: it is cut from a sheet of its
// own colour again, or stays bare where the job's rule says so.
func Unassign(j Job, c colour.RGB) (Job, error) {
	if _, ok := j.Assign[c]; !ok {
		return j, nil
	}
	m := maps.Clone(j.Assign)
	delete(m, c)
	j.Assign = m
	return j, nil
}

// AddSheet puts a sheet into the job under an id of its own, which it returns;
// s.ID is ignored.
func AddSheet(j Job, s Sheet) (Job, SheetID, error) {
	s.Name = strings.TrimSpace(s.Name)
	if s.Name == "" {
		return j, 0, refuse(EmptyName)
	}
	s.ID = 1
	for _, o := range j.Sheets {
		s.ID = max(s.ID, o.ID+1)
	}
	j.Sheets = append(slices.Clip(j.Sheets), s)
	return j, s.ID, nil
}

// SetFrame sets the rule for the frame.
func SetFrame(j Job, r FrameRule) (Job, error) {
	if !(r.MarginMM >= 0) || math.IsInf(r.MarginMM, 0) {
		return j, refuse(BadMargin)
	}
	if !(r.CornerMM >= 0) || math.IsInf(r.CornerMM, 0) {
		return j, refuse(BadCorner)
	}
	j.Settings.Frame = r
	return j, nil
}

// SetBare sets the rule for colours that stay bare.
func SetBare(j Job, r BareRule) (Job, error) {
	r.Colours = slices.Clone(r.Colours)
	j.Settings.Bare = r
	return j, nil
}

// SetBlank sets the colour of the thing decorated; nil stands for white.
func SetBlank(j Job, c *colour.RGB) (Job, error) {
	if c != nil {
		own := *c
		c = &own
	}
	j.Settings.Blank = c
	return j, nil
}

// SetUnits says how lengths are shown and typed.
func SetUnits(j Job, u Units) (Job, error) {
	j.Settings.Units = u
	return j, nil
}

func invertible(m geometry.Affine) bool {
	_, ok := m.Invert()
	return ok && m.Finite()
}

// lookUp returns the ids as a set, or an error when the job lacks one of them.
func lookUp(j Job, ids []LayerID) (map[LayerID]bool, error) {
	set := make(map[LayerID]bool, len(ids))
	for _, id := range ids {
		set[id] = true
	}
	found := 0
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if set[l.ID] {
				found++
			}
		}
	}
	if found < len(set) {
		for _, id := range ids {
			if _, _, ok := j.Layer(id); !ok {
				return nil, refuseLayer(NoSuchLayer, id, "")
			}
		}
	}
	return set, nil
}

// editLayers applies edit to copies of the layers.
func editLayers(j Job, ids []LayerID, edit func(Item, *Layer) error) (Job, error) {
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
			if err := edit(it, &layers[k]); err != nil {
				return j, err
			}
		}
		if layers != nil {
			out = withLayers(out, i, layers)
		}
	}
	return out, nil
}

func editItem(j Job, id ItemID, edit func(*Item) error) (Job, error) {
	i := slices.IndexFunc(j.Items, func(it Item) bool { return it.ID == id })
	if i < 0 {
		e := refuse(NoSuchItem)
		e.Item = id
		return j, e
	}
	items := slices.Clone(j.Items)
	if err := edit(&items[i]); err != nil {
		return j, err
	}
	j.Items = items
	return j, nil
}

func withLayers(j Job, item int, layers []Layer) Job {
	j.Items = slices.Clone(j.Items)
	j.Items[item].Layers = layers
	return j
}
