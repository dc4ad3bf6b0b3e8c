package job

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"abut/geometry"
)

func TestForgetMends_TakesNoOthersAlong(t *testing.T) {
	first := Mend{Layer: 1, At: geometry.Pt(1, 2), Spot: Neck, Do: Give}
	later := Mend{Layer: 1, At: geometry.Pt(3, 4), Spot: Speck, Do: Widen, Round: 1}
	j := Job{Items: []Item{{ID: 1, Mends: []Mend{first, later}}}}
	k, err := ForgetMends(j, []Mend{first})
	if err != nil || len(k.Items[0].Mends) != 1 || k.Items[0].Mends[0] != later || len(j.Items[0].Mends) != 2 {
		t.Error(k, err)
	}
	if k, _ = ForgetMends(k, []Mend{later}); k.Items[0].Mends != nil {
		t.Error("an empty list is none")
	}
}

func TestKeepHandMends_TakesAllOthersAway(t *testing.T) {
	hand := Mend{Layer: 1, At: geometry.Pt(1, 2), Spot: Neck, Do: Give, Round: 3, ByHand: true}
	j := Job{Items: []Item{{ID: 1, Mends: []Mend{{Layer: 1, Spot: Speck, Do: Widen}, hand}}, {ID: 2, Mends: []Mend{{Layer: 2, Spot: Speck}}}}}
	k, err := KeepHandMends(j)
	hand.Round = 0
	if err != nil || len(k.Items[0].Mends) != 1 || k.Items[0].Mends[0] != hand || k.Items[1].Mends != nil || len(j.Items[0].Mends) != 2 {
		t.Error(k, err)
	}
}

func TestMends_AreAddedReplacedAndTakenAway(t *testing.T) {
	j := Job{Items: []Item{{ID: 1, Layers: []Layer{{ID: 1, Alpha: 1}}}, {ID: 2, Layers: []Layer{{ID: 2, Alpha: 1}}}}}
	first := Mend{Layer: 1, At: geometry.Pt(1, 2), Spot: Neck, Do: Give}
	second := Mend{Layer: 2, At: geometry.Pt(3, 4), Spot: Speck, Do: Widen, Round: 1}
	a, err := AddMend(j, first)
	if err != nil {
		t.Fatal(err)
	}
	a, err = AddMend(a, second)
	if err != nil || len(a.Items[0].Mends) != 1 || len(a.Items[1].Mends) != 1 || j.Items[0].Mends != nil {
		t.Fatal(a, err)
	}
	other := first
	other.Do = Drop
	if b, _ := AddMend(a, other); len(b.Items[0].Mends) != 1 || b.Items[0].Mends[0].Do != Drop || a.Items[0].Mends[0].Do != Give {
		t.Error("a mend of the same spot takes the place of the first")
	}
	if b, _ := RemoveMend(a, second); len(b.Items[0].Mends) != 1 || b.Items[1].Mends != nil {
		t.Error("a later round goes alone")
	}
	if b, _ := RemoveMend(a, first); !reflect.DeepEqual(b, j) {
		t.Error("later rounds go with what they rest on")
	}
	if _, err := AddMend(j, Mend{Layer: 9}); err == nil {
		t.Error("no such layer, and no error")
	}
}

func TestAddItems_MendsFollowTheirLayers(t *testing.T) {
	j := Job{Items: []Item{{ID: 1, Layers: []Layer{{ID: 1, Alpha: 1}}, Mends: []Mend{{Layer: 1}}}}}
	k, _ := addItems(j, j)
	if k.Items[1].Mends[0].Layer != k.Items[1].Layers[0].ID || j.Items[0].Mends[0].Layer != 1 {
		t.Errorf("%+v", k.Items)
	}
}

func TestSetNarrowest_RefusesWhatIsOutOfReason(t *testing.T) {
	for _, v := range []float64{-1, 51} {
		if _, err := SetNarrowest(Job{}, v, 0); err == nil {
			t.Errorf("%g mm is taken", v)
		}
	}
	j, err := SetNarrowest(Job{}, 3, 0)
	if err != nil || j.Settings.Narrowest() != 3 || j.Settings.Speck() != 3 || (Settings{}).Narrowest() != 1 || (Settings{}).Speck() != 2 {
		t.Error(j.Settings, err)
	}
}

func TestAddMends_IsAddMendOneAfterTheOther(t *testing.T) {
	const seed = 31
	rng := rand.New(rand.NewPCG(seed, 0))
	replaced := 0
	for run := range 200 {
		some := func() (out []Mend) {
			for range rng.IntN(12) {
				out = append(out, Mend{
					Layer: LayerID(1 + rng.IntN(2)), At: geometry.Pt(float64(rng.IntN(2)), 0), Spot: SpotKind(rng.IntN(2)),
					Do: MendKind(rng.IntN(len(mendIDs))), Round: uint8(rng.IntN(2)), WidthMM: rng.Float64(),
				})
			}
			return out
		}
		j := Job{Items: []Item{{ID: 1, Layers: []Layer{{ID: 1, Alpha: 1}}}, {ID: 2, Layers: []Layer{{ID: 2, Alpha: 1}}}}}
		for _, part := range [][]Mend{some(), some()} {
			want, n := j, 0
			for _, m := range part {
				var err error
				if want, err = AddMend(want, m); err != nil {
					t.Fatal(err)
				}
			}
			got, err := AddMends(j, part)
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Fatalf("seed %d, run %d: %v %v, one after the other %v", seed, run, got.Items, err, want.Items)
			}
			for i := range j.Items {
				n += len(j.Items[i].Mends) - len(want.Items[i].Mends)
			}
			replaced += n + len(part)
			j = want
		}
	}
	if replaced < 100 {
		t.Errorf("%d were replaced: too few to tell", replaced)
	}
	if _, err := AddMends(Job{}, []Mend{{Layer: 9}}); err == nil {
		t.Error("no such layer, and no error")
	}
}
