package job

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestMoveUnder_PutsLayersTogetherWhereTheyAreWanted(t *testing.T) {
	for _, c := range []struct {
		ids   []LayerID
		under LayerID
		want  []LayerID // bottom first; 1, 2, 3 and 7, 8 are the items
	}{
		{[]LayerID{1}, 0, []LayerID{2, 3, 1, 7, 8}}, // to the top of its own item
		{[]LayerID{1}, 3, []LayerID{2, 1, 3, 7, 8}},
		{[]LayerID{3}, 1, []LayerID{3, 1, 2, 7, 8}},
		{[]LayerID{3, 1}, 2, []LayerID{1, 3, 2, 7, 8}},
		{[]LayerID{1, 3}, 3, []LayerID{2, 1, 3, 7, 8}}, // beneath one of themselves
		{[]LayerID{2}, 2, []LayerID{1, 2, 3, 7, 8}},
		{[]LayerID{8}, 7, []LayerID{1, 2, 3, 8, 7}},
		{[]LayerID{8}, 2, []LayerID{1, 2, 3, 8, 7}}, // as far as its item goes
		{[]LayerID{1}, 8, []LayerID{2, 3, 1, 7, 8}},
		{[]LayerID{2, 8}, 0, []LayerID{1, 3, 2, 7, 8}},
	} {
		k, err := MoveUnder(sample(), c.ids, c.under)
		if err != nil || !slices.Equal(k.LayerIDs(), c.want) {
			t.Errorf("%d under %d: %v, %v; want %v", c.ids, c.under, k.LayerIDs(), err, c.want)
		}
	}
}

// Whatever is moved wherever: those moved and those not keep their order, those
// moved of an item lie together, no layer is lost or changes otherwise, and the
// job that was is as it was.
func TestMoveUnder_KeepsBothOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j, before := sample(), sample()
		all := j.LayerIDs()
		ids := rapid.SliceOfNDistinct(rapid.SampledFrom(all), 0, 5, rapid.ID[LayerID]).Draw(t, "ids")
		under := rapid.SampledFrom(append([]LayerID{0}, all...)).Draw(t, "under")
		k, err := MoveUnder(j, ids, under)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(j, before) {
			t.Fatal("the job it was given changed")
		}
		moved := func(id LayerID) bool { return slices.Contains(ids, id) }
		for i, it := range k.Items {
			for _, on := range []bool{true, false} {
				of := func(layers []Layer) (out []Layer) {
					for _, l := range layers {
						if moved(l.ID) == on {
							out = append(out, l)
						}
					}
					return out
				}
				if !reflect.DeepEqual(of(it.Layers), of(before.Items[i].Layers)) {
					t.Fatalf("item %d, moved %t: %v", it.ID, on, k.LayerIDs())
				}
			}
			runs := 0
			for n := range it.Layers {
				if moved(it.Layers[n].ID) && (n == 0 || !moved(it.Layers[n-1].ID)) {
					runs++
				}
			}
			if runs > 1 {
				t.Fatalf("%v are not together: %v", ids, k.LayerIDs())
			}
		}
	})
}

func TestOrder_WhatComesAmidAGroupJoinsIt(t *testing.T) {
	bird, wing, tree := []string{"Bird"}, []string{"Bird", "Wing"}, []string{"Tree"}
	layers := func() (out []Layer) { // bottom first
		for i, f := range [][]string{nil, bird, wing, wing, bird, tree, tree} {
			out = append(out, Layer{ID: LayerID(i + 1), Folders: f})
		}
		return out
	}
	for _, c := range []struct {
		name  string
		edit  func(Job) (Job, error)
		order []LayerID
		of    map[LayerID][]string
	}{
		{"one into a group", func(j Job) (Job, error) { return MoveUnder(j, []LayerID{1}, 7) },
			[]LayerID{2, 3, 4, 5, 6, 1, 7}, map[LayerID][]string{1: tree}},
		{"beside a group", func(j Job) (Job, error) { return MoveUnder(j, []LayerID{1}, 6) },
			[]LayerID{2, 3, 4, 5, 1, 6, 7}, map[LayerID][]string{1: nil}},
		{"within its group", func(j Job) (Job, error) { return MoveUnder(j, []LayerID{3}, 5) },
			[]LayerID{1, 2, 4, 3, 5, 6, 7}, map[LayerID][]string{3: wing}},
		{"a single one of another group", func(j Job) (Job, error) { return MoveUnder(j, []LayerID{3}, 7) },
			[]LayerID{1, 2, 4, 5, 6, 3, 7}, map[LayerID][]string{3: tree}},
		{"a whole group", func(j Job) (Job, error) { return MoveUnder(j, []LayerID{3, 4}, 7) },
			[]LayerID{1, 2, 5, 6, 3, 4, 7}, map[LayerID][]string{3: {"Tree", "Wing"}, 4: {"Tree", "Wing"}}},
		{"a group of groups", func(j Job) (Job, error) { return MoveUnder(j, []LayerID{2, 3, 4, 5}, 7) },
			[]LayerID{1, 6, 2, 3, 4, 5, 7}, map[LayerID][]string{2: {"Tree", "Bird"}, 3: {"Tree", "Bird", "Wing"}}},
		{"by a step", func(j Job) (Job, error) { return Arrange(j, []LayerID{6}, Down) },
			[]LayerID{1, 2, 3, 4, 6, 5, 7}, map[LayerID][]string{6: bird, 5: bird, 7: tree}},
	} {
		j := Job{Items: []Item{{ID: 1, Layers: layers()}}}
		k, err := c.edit(j)
		if err != nil || !slices.Equal(k.LayerIDs(), c.order) {
			t.Errorf("%s: %v, %v", c.name, k.LayerIDs(), err)
		}
		for id, want := range c.of {
			if l, _, _ := k.Layer(id); !slices.Equal(l.Folders, want) {
				t.Errorf("%s: layer %d is in %q, want %q", c.name, id, l.Folders, want)
			}
		}
		if !reflect.DeepEqual(j.Items[0].Layers, layers()) {
			t.Errorf("%s: the job it was given changed", c.name)
		}
	}
}
