package job

import (
	"math"
	"testing"

	"abut/geometry"
)

func TestAddBeside_KeepsIDsApartAndPagesBesideEachOther(t *testing.T) {
	a, b := sample(), sample()
	for i := range a.Items {
		a.Items[i].Canvas = geometry.RectXYWH(0, 0, 20, 20)
		b.Items[i].Canvas = geometry.RectXYWH(0, 0, 20, 20)
	}
	j, made := AddBeside(a, b)
	if len(made) != 5 || len(j.Items) != 4 {
		t.Fatalf("%d layers, %d items", len(made), len(j.Items))
	}
	seen := map[LayerID]bool{}
	for _, id := range j.LayerIDs() {
		if seen[id] {
			t.Errorf("id %d is there twice", id)
		}
		seen[id] = true
	}
	first, rest := Pages(a), geometry.EmptyRect()
	for _, it := range j.Items[2:] {
		rest = rest.Union(it.Placement.MapRect(it.Canvas))
	}
	if rest.Min.X < first.Max.X+gapMM-1e-9 || math.Abs(rest.Min.Y-first.Min.Y) > 1e-9 {
		t.Errorf("%v beside %v", rest, first)
	}
	if Pages(b).Min.X > first.Max.X {
		t.Error("the job that was added has changed")
	}
}

func TestResizeAll_ScalesEverythingTogether(t *testing.T) {
	j := sample()
	all := BoundsOf(j, j.LayerIDs())
	k, err := ResizeAll(j, all, all.Width()*1.5, 0)
	if err != nil {
		t.Fatal(err)
	}
	got := BoundsOf(k, k.LayerIDs())
	if math.Abs(got.Width()-1.5*all.Width())+math.Abs(got.Height()-1.5*all.Height())+got.Min.Sub(all.Min).Len() > 1e-9 {
		t.Errorf("%v from %v", got, all)
	}
}

func TestFitItems_FillsTheTarget(t *testing.T) {
	j := sample()
	target := geometry.RectXYWH(-20, 5, 300, 40)
	k, err := FitItems(j, BoundsOf(j, j.LayerIDs()), target)
	if err != nil {
		t.Fatal(err)
	}
	got := BoundsOf(k, k.LayerIDs())
	if math.Abs(got.Height()-40) > 1e-9 || got.Centre().Sub(target.Centre()).Len() > 1e-9 || got.Width() > 300 {
		t.Errorf("%v", got)
	}
}
