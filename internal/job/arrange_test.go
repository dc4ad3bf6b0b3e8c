package job

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
)

func order(j Job) []LayerID { return j.LayerIDs() }

func TestArrange_KeepsTheOrderAmongThoseMoved(t *testing.T) {
	for _, c := range []struct {
		ids  []LayerID
		step Step
		want []LayerID
	}{
		{[]LayerID{1}, Up, []LayerID{2, 1, 3, 7, 8}},
		{[]LayerID{3}, Up, []LayerID{1, 2, 3, 7, 8}},
		{[]LayerID{1, 2}, Up, []LayerID{3, 1, 2, 7, 8}},
		{[]LayerID{2, 3}, Down, []LayerID{2, 3, 1, 7, 8}},
		{[]LayerID{2, 1}, ToTop, []LayerID{3, 1, 2, 7, 8}},
		{[]LayerID{3, 8}, ToBottom, []LayerID{3, 1, 2, 8, 7}},
	} {
		j, err := Arrange(sample(), c.ids, c.step)
		if err != nil || !slices.Equal(order(j), c.want) {
			t.Errorf("%v by %d: %v, %v", c.ids, c.step, order(j), err)
		}
	}
}

func TestDuplicate_GivesIDsThatWereNeverThere(t *testing.T) {
	j := sample()
	j, err := DeleteLayers(j, []LayerID{8})
	if err != nil {
		t.Fatal(err)
	}
	j, made, err := Duplicate(j, []LayerID{1, 3}, 4, 5)
	if err != nil || !slices.Equal(made, []LayerID{9, 10}) {
		t.Fatalf("%v, %v", made, err)
	}
	if got := order(j); !slices.Equal(got, []LayerID{1, 2, 3, 9, 10, 7}) {
		t.Errorf("order %v", got)
	}
	a, b := BoundsOf(j, []LayerID{1}), BoundsOf(j, []LayerID{9})
	if d := b.Min.Sub(a.Min); math.Abs(d.X-4)+math.Abs(d.Y-5) > 1e-12 {
		t.Errorf("the copy lies %v away", d)
	}
	j, _ = DeleteLayers(j, made)
	if _, made, _ = Duplicate(j, []LayerID{2}, 0, 0); made[0] != 11 {
		t.Errorf("id %d was there before", made[0])
	}
}

func TestAlignAndDistribute(t *testing.T) {
	j := sample()
	ids := []LayerID{1, 2, 3, 7, 8}
	all := BoundsOf(j, ids)
	for a := AlignLeft; a <= AlignBottom; a++ {
		k, err := Align(j, ids, a, all)
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range ids {
			r := BoundsOf(k, []LayerID{id})
			got := [...]float64{r.Min.X - all.Min.X, r.Centre().X - all.Centre().X, r.Max.X - all.Max.X, r.Min.Y - all.Min.Y, r.Centre().Y - all.Centre().Y, r.Max.Y - all.Max.Y}[a]
			if math.Abs(got) > 1e-9 {
				t.Errorf("alignment %d: layer %d is off by %g", a, id, got)
			}
			was := BoundsOf(j, []LayerID{id})
			if aside := [...]float64{r.Min.Y - was.Min.Y, r.Min.X - was.Min.X}[a/AlignTop]; math.Abs(aside) > 1e-9 {
				t.Errorf("alignment %d: layer %d moved aside by %g", a, id, aside)
			}
		}
	}
	k, err := Distribute(j, ids, false)
	if err != nil {
		t.Fatal(err)
	}
	slices.SortFunc(ids, func(a, b LayerID) int {
		return int(math.Copysign(1, BoundsOf(k, []LayerID{a}).Min.X-BoundsOf(k, []LayerID{b}).Min.X))
	})
	var gaps []float64
	for i := 1; i < len(ids); i++ {
		gaps = append(gaps, BoundsOf(k, ids[i:i+1]).Min.X-BoundsOf(k, ids[i-1:i]).Max.X)
	}
	for _, g := range gaps {
		if math.Abs(g-gaps[0]) > 1e-9 {
			t.Errorf("gaps %v", gaps)
		}
	}
	if r := BoundsOf(k, ids); math.Abs(r.Min.X-all.Min.X)+math.Abs(r.Max.X-all.Max.X) > 1e-9 {
		t.Error("the outermost two have moved")
	}
}

func TestTurnAndFlip_TwiceIsAsBefore(t *testing.T) {
	j := sample()
	ids := []LayerID{1, 2, 7}
	r := BoundsOf(j, ids)
	for name, twice := range map[string]func(Job) (Job, error){
		"half turn": func(j Job) (Job, error) { return Turn(j, ids, math.Pi) },
		"sides":     func(j Job) (Job, error) { return Flip(j, ids, false) },
		"upright":   func(j Job) (Job, error) { return Flip(j, ids, true) },
	} {
		k, err := twice(j)
		if err == nil {
			k, err = twice(k)
		}
		if err != nil {
			t.Fatal(err)
		}
		if got := BoundsOf(k, ids); got.Min.Sub(r.Min).Len()+got.Max.Sub(r.Max).Len() > 1e-9 {
			t.Errorf("%s: %v, want %v", name, got, r)
		}
	}
	quarter, _ := Turn(j, ids, math.Pi/2)
	if got := BoundsOf(quarter, ids); math.Abs(got.Width()-r.Height()) > 1e-9 {
		t.Error("a quarter turn does not swap width and height")
	}
}

func TestArrangements_RefuseLockedLayers(t *testing.T) {
	j, _ := SetLocked(sample(), []LayerID{2}, true)
	for name, edit := range map[string]func() (Job, error){
		"arrange": func() (Job, error) { return Arrange(j, []LayerID{2}, Up) },
		"align":   func() (Job, error) { return Align(j, []LayerID{1, 2}, AlignLeft, geometry.RectXYWH(0, 0, 1, 1)) },
		"turn":    func() (Job, error) { return Turn(j, []LayerID{2}, 1) },
	} {
		if _, err := edit(); err == nil {
			t.Errorf("%s moves a locked layer", name)
		}
	}
}
