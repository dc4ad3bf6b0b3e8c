package job

import (
	"errors"
	"slices"
	"testing"

	"abut/geometry"
)

func TestMerge_CoversWhatTheyCoveredInThePlaceOfTheTopmost(t *testing.T) {
	j := sample()
	// With clips shared by two shapes, and a move that they have to follow.
	clip := &Clip{Shapes: []Shape{{Path: geometry.RectXYWH(1, 0, 5, 5).Path()}}}
	clipped := Outlines{Shapes: []Shape{
		{Path: geometry.RectXYWH(0, 0, 10, 10).Path(), Clips: []*Clip{clip}},
		{Path: geometry.RectXYWH(0, 0, 20, 2).Path(), Clips: []*Clip{clip}},
	}}
	j, _ = SetContent(j, 1, clipped)
	j, _ = MoveLayers(j, []LayerID{1}, -30, 4)
	before := BoundsOf(j, []LayerID{1, 3})
	k, id, err := Merge(j, []LayerID{1, 3}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := BoundsOf(k, []LayerID{id}); got.Min.Sub(before.Min).Len()+got.Max.Sub(before.Max).Len() > 1e-9 {
		t.Errorf("%v, before %v", got, before)
	}
	l, it, _ := k.Layer(id)
	if l.Name != "Beak" || len(it.Layers) != 2 || it.Layers[1].ID != id {
		t.Errorf("%q is of %d layers", l.Name, len(it.Layers))
	}
	shapes := Shapes(l.Content)
	if len(shapes) != 3 || shapes[0].Clips[0] != shapes[1].Clips[0] || shapes[0].Clips[0] == clip {
		t.Errorf("clips are not shared as before: %+v", shapes)
	}
}

func TestMerge_OfASurroundAndAroundOne(t *testing.T) {
	j, band := withSurround(t)
	given := map[LayerID][]Shape{band: {{Path: geometry.RectXYWH(-5, -5, 40, 30).Path()}}}
	k, id, err := Merge(j, []LayerID{1, band}, given)
	if err != nil || id != band {
		t.Fatal(id, err)
	}
	if l, _, _ := k.Layer(id); len(Shapes(l.Content)) != 2 {
		t.Errorf("%d shapes", len(Shapes(l.Content)))
	}
	k, id, err = Merge(j, []LayerID{2, 3}, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, _, _ := k.Layer(band)
	if of := l.Content.(Surround).Of; !slices.Equal(of, []LayerID{id}) {
		t.Errorf("the surround is of %v, want %v", of, id)
	}
}

func TestMergeAndSplit_Refuse(t *testing.T) {
	j := sample()
	locked, _ := SetLocked(j, []LayerID{1}, true)
	merge := func(j Job, ids ...LayerID) func() (Job, []LayerID, error) {
		return func() (Job, []LayerID, error) {
			k, id, err := Merge(j, ids, nil)
			if id == 0 {
				return k, nil, err
			}
			return k, []LayerID{id}, err
		}
	}
	split := func(j Job, id LayerID, parts int) func() (Job, []LayerID, error) {
		return func() (Job, []LayerID, error) { return Split(j, id, make([][]Shape, parts)) }
	}
	for name, c := range map[string]struct {
		id   string
		edit func() (Job, []LayerID, error)
	}{
		"of two items":   {"edit-merge-apart", merge(j, 1, 7)},
		"one":            {"edit-merge-few", merge(j, 1, 1)},
		"a locked one":   {"edit-layer-locked", merge(locked, 1, 2)},
		"none":           {NoSuchLayer, merge(j, 1, 99)},
		"one part":       {"edit-no-parts", split(j, 1, 1)},
		"too many parts": {"edit-many-parts", split(j, 1, maxParts+1)},
		"parts, locked":  {"edit-layer-locked", split(locked, 1, 2)},
		"parts of none":  {NoSuchLayer, split(j, 99, 2)},
	} {
		var e *EditError
		if _, made, err := c.edit(); !errors.As(err, &e) || e.ID != c.id || made != nil {
			t.Errorf("%s: %v and layers %v, want %s", name, err, made, c.id)
		}
	}
	if _, made, err := Split(j, 1, make([][]Shape, maxParts)); err != nil || len(made) != maxParts {
		t.Errorf("%d parts: %v", maxParts, err)
	}
}

func TestSplit_PartsTakeThePlaceOfTheWhole(t *testing.T) {
	j, band := withSurround(t)
	part := func(x float64) []Shape { return []Shape{{Path: geometry.RectXYWH(x, 0, 5, 5).Path()}} }
	k, made, err := Split(j, 2, [][]Shape{part(0), part(50)})
	if err != nil {
		t.Fatal(err)
	}
	var order []LayerID
	for _, l := range k.Items[0].Layers {
		order = append(order, l.ID)
	}
	if want := []LayerID{1, band, made[0], made[1], 3}; !slices.Equal(order, want) {
		t.Errorf("%v, want %v", order, want)
	}
	l, _, _ := k.Layer(band)
	if of := l.Content.(Surround).Of; !slices.Equal(of, []LayerID{made[0], made[1], 3}) {
		t.Errorf("the surround is of %v", of)
	}
	if a, _, _ := k.Layer(made[1]); a.Name != "Wing 2" || a.Colour != j.Items[0].Layers[2].Colour {
		t.Errorf("%+v", a)
	}
}
