package job

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

// Content is what a layer draws. The set is sealed: Outlines is what imports
// produce; Primitive and Text are drawn here and stay editable; a Surround
// follows other layers.
type Content interface{ content() }

func (Outlines) content()  {}
func (Primitive) content() {}
func (Text) content()      {}
func (Surround) content()  {}

// Shapes returns the outlines of a content, in its own units. A Surround has
// none of its own: they follow from other layers and are part of the plan.
func Shapes(c Content) []Shape {
	switch c := c.(type) {
	case Outlines:
		return c.Shapes
	case Primitive:
		return c.shapes
	case Text:
		return c.Shapes
	}
	return nil
}

// SetContent replaces what a layer draws; its place stays.
func SetContent(j Job, id LayerID, c Content) (Job, error) {
	return editLayers(j, []LayerID{id}, func(_ Item, l *Layer) error {
		if l.Locked {
			return refuseLayer(LayerLocked, l.ID, l.Name)
		}
		l.Content = c
		return nil
	})
}

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
// there comes to be one, whose page is the blank or what is added.
func Add(j Job, a Added, at geometry.Point) (Job, LayerID, error) {
	if !at.Finite() {
		return j, 0, refuse(BadTransform)
	}
	last, lastItem := lastIDs(j)
	last++
	l := Layer{ID: last, Name: a.Name, Content: a.Content, Colour: a.Colour, Alpha: 1, Transform: geometry.Translate(at.X, at.Y), Shown: true}
	if len(j.Items) == 0 {
		lastItem++
		it := Item{ID: lastItem, Name: a.ItemName, Placement: geometry.Identity(), Copies: 1, Layers: []Layer{l}}
		it.Canvas = bounds(j, it, l, nil)
		if b := j.Settings.BlankShape; b != nil {
			it.Canvas = b.Bounds()
		}
		it.PhysicalMM = it.Canvas.Max.Sub(it.Canvas.Min)
		j.Items, j.LastLayer, j.LastItem = []Item{it}, last, lastItem
		return j, last, nil
	}
	i := len(j.Items) - 1
	back, ok := j.Items[i].Placement.Invert()
	if !ok {
		return j, 0, refuse(BadTransform)
	}
	l.Transform = back.Mul(l.Transform)
	// What is already knocked out stays so: the new thing joins in where all do.
	l.Knocks = len(j.Items[i].Layers) > 0
	for _, it := range j.Items {
		for k := range it.Layers {
			l.Knocks = l.Knocks && it.Layers[k].Knocks
		}
	}
	j = withLayers(j, i, append(slices.Clip(j.Items[i].Layers), l))
	j.LastLayer, j.LastItem = last, lastItem
	return j, last, nil
}

// ToOutlines replaces what a layer draws by outlines in its item's units, given
// for surrounds, whose outlines a job doesn't hold; nil for all others. It can
// no longer be edited by its numbers then.
func ToOutlines(j Job, id LayerID, shapes []Shape) (Job, error) {
	return editLayers(j, []LayerID{id}, func(_ Item, l *Layer) error {
		if l.Locked {
			return refuseLayer(LayerLocked, l.ID, l.Name)
		}
		if shapes == nil {
			shapes = Shapes(l.Content)
		} else {
			l.Transform = geometry.Identity()
		}
		l.Content = Outlines{Shapes: shapes}
		return nil
	})
}
