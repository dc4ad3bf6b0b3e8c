package job

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
)

// grouped is the sample with layers 1 and 2 in one half-opaque group.
func grouped() Job {
	j := sample()
	for k := range 2 {
		j.Items[0].Layers[k].Group, j.Items[0].Layers[k].Alpha = 4, 0.5
	}
	return j
}

// Of one opacity group only the topmost layer counts at a place: copies that
// stayed in it would be as good as not there.
func TestDuplicate_CopiesOfAGroupAreAGroupOfTheirOwn(t *testing.T) {
	j, made, err := Duplicate(grouped(), []LayerID{1, 2}, 1, 0)
	if err != nil || len(made) != 2 {
		t.Fatal(made, err)
	}
	a, _, _ := j.Layer(made[0])
	b, _, _ := j.Layer(made[1])
	if a.Group != b.Group || a.Group == 0 || a.Group == 4 {
		t.Errorf("the copies are in groups %d and %d, the layers in 4", a.Group, b.Group)
	}
	// A copy of some of a group comes to lie above all of it: none is torn.
	if j, made, err = Duplicate(grouped(), []LayerID{1}, 1, 0); err != nil || !slices.Equal(j.LayerIDs(), []LayerID{1, 2, made[0], 3, 7, 8}) {
		t.Error(j.LayerIDs(), err)
	}
	if l, _, _ := j.Layer(made[0]); l.Group == 4 {
		t.Error("a copy of one layer of the group is in it")
	}
}

func TestDuplicateAndPaste_TakeMendsAlong(t *testing.T) {
	m := Mend{Layer: 2, At: geometry.Pt(3, 4), Spot: Tip, Do: Drop}
	j, err := AddMend(sample(), m)
	if err != nil {
		t.Fatal(err)
	}
	copied, made, err := Duplicate(j, []LayerID{1, 2}, 5, 5)
	if err != nil {
		t.Fatal(err)
	}
	pasted, put, err := Paste(j, Only(j, []LayerID{1, 2}), 5, 5)
	if err != nil {
		t.Fatal(err)
	}
	m2, m3 := m, m
	m2.Layer, m3.Layer = made[1], put[1]
	if got := copied.Items[0].Mends; !slices.Equal(got, []Mend{m, m2}) {
		t.Errorf("copied: %+v", got)
	}
	if got := pasted.Items[2].Mends; !slices.Equal(got, []Mend{m3}) {
		t.Errorf("pasted: %+v", got)
	}
	if other, _, _ := Duplicate(j, []LayerID{3}, 5, 5); !slices.Equal(other.Items[0].Mends, []Mend{m}) {
		t.Errorf("a copy of another layer brought %+v", other.Items[0].Mends)
	}
}

// A mend stays where it was on the board, whatever becomes of its layer's units.
func TestMergeAndSplit_MendsStayWhereTheyWere(t *testing.T) {
	j, _ := MoveLayers(sample(), []LayerID{1}, 7, 9)
	j, _ = MoveLayers(j, []LayerID{2}, -3, 1)
	at := map[LayerID]geometry.Point{1: geometry.Pt(2, 3), 2: geometry.Pt(5, 8)}
	var want []geometry.Point
	for _, id := range []LayerID{1, 2} {
		j, _ = AddMend(j, Mend{Layer: id, At: at[id], Do: Widen})
		want = append(want, onBoard(j, id, at[id]))
	}
	check := func(name string, k Job, belongs []LayerID) {
		t.Helper()
		for i, m := range k.Items[0].Mends {
			if !slices.Contains(belongs, m.Layer) {
				t.Errorf("%s: mend %d is of layer %d, want one of %v", name, i, m.Layer, belongs)
			} else if got := onBoard(k, m.Layer, m.At); got.Sub(want[i]).Len() > 1e-9 {
				t.Errorf("%s: mend %d is at %v, was at %v", name, i, got, want[i])
			}
		}
	}
	merged, id, err := Merge(j, []LayerID{1, 2}, nil)
	if err != nil {
		t.Fatal(err)
	}
	check("merged", merged, []LayerID{id})
	// Of two parts the mend goes with the one that it lies in.
	l, _, _ := j.Layer(1)
	inItem := l.Transform.Apply(at[1])
	part := func(p geometry.Point, r float64) []Shape {
		return []Shape{{Path: geometry.RectXYWH(p.X-r, p.Y-r, 2*r, 2*r).Path()}}
	}
	split, made, err := Split(j, 1, [][]Shape{part(inItem, 90), part(inItem.Add(geometry.Pt(50, 0)), 5), part(inItem, 3)})
	if err != nil {
		t.Fatal(err)
	}
	check("split", split, []LayerID{made[2], 2})
}

// What was locked where it was copied of can be moved where it is pasted, be it
// into the picture that it came from or as a picture of its own.
func TestPaste_IsNotLocked(t *testing.T) {
	j, _ := SetLocked(sample(), []LayerID{2, 8}, true)
	for _, ids := range [][]LayerID{{2}, {8}} {
		k, made, err := Paste(j, Only(j, ids), 5, 5)
		if err != nil {
			t.Errorf("%v: %v", ids, err)
			continue
		}
		if l, _, _ := k.Layer(made[0]); l.Locked {
			t.Errorf("%v: locked", ids)
		}
		if d := Bounds(k, made[0]).Min.Sub(Bounds(j, ids[0]).Min).Sub(geometry.Pt(5, 5)); d.Len() > 1e-9 {
			t.Errorf("%v: off by %v", ids, d)
		}
	}
}

// A layer that once was the first of some bands does not count as one of them.
func TestSetBands_LeavesWhatIsNoBandAnyLonger(t *testing.T) {
	stops := []gradient.Stop{{At: 0, Colour: red, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}
	j := shaded(across(stops...))
	other := j.Items[0].Layers[0]
	other.ID, other.Name = 9, "Sea"
	j.Items[0].Layers = append([]Layer{other}, j.Items[0].Layers...)
	j, err := SetBands(j, []LayerID{1}, 3)
	if err != nil {
		t.Fatal(err)
	}
	j, merged, err := Merge(j, []LayerID{9, 1}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if l, _, _ := j.Layer(merged); l.Band != (Band{}) {
		t.Errorf("a band and something else make %+v", l.Band)
	}
	band := j.Items[0].Layers[1].ID
	if got := BandsWith(j, []LayerID{band}); slices.Contains(got, merged) || len(got) != 2 {
		t.Errorf("the bands left are %v, merged was %d", got, merged)
	}
	j, err = SetBands(j, []LayerID{band}, 1)
	if _, _, ok := j.Layer(merged); err != nil || !ok || len(j.Items[0].Layers) != 3 {
		t.Errorf("%v, layers %v", err, j.LayerIDs())
	}
}

func TestAdd_RefusesASurround(t *testing.T) {
	for name, j := range map[string]Job{"nothing": {}, "a picture": sample()} {
		s := Surround{WidthMM: 3}
		if k, id, err := Add(j, Added{Name: "Band", Content: s, Colour: colour.White}, geometry.Pt(1, 2)); err == nil || id != 0 || len(k.LayerIDs()) != len(j.LayerIDs()) {
			t.Errorf("%s: added as %d", name, id)
		}
		if _, id, err := AddSurround(j, nil, s, "Band", colour.White); err == nil || id != 0 {
			t.Errorf("%s: added around nothing as %d", name, id)
		}
	}
}
