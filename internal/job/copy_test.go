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

// The second picture on a mug is no higher than the mug either.
func TestAddBeside_FitsTheBlank(t *testing.T) {
	a, b := sample(), sample()
	a.Items, b.Items = a.Items[:1], b.Items[:1]
	a.Items[0].Canvas, b.Items[0].Canvas = geometry.RectXYWH(0, 0, 10, 10), geometry.RectXYWH(0, 0, 50, 40)
	a, _ = SetBlankShape(a, &Blank{WidthMM: 200, HeightMM: 46, SafeMM: 3})
	j, _ := AddBeside(a, b)
	got, first := j.Items[1].Placement.MapRect(j.Items[1].Canvas), Pages(a)
	if want := geometry.RectXYWH(first.Max.X+gapMM, first.Min.Y, 50, 40); got.Min.Sub(want.Min).Len()+got.Max.Sub(want.Max).Len() > 1e-9 {
		t.Errorf("it lies at %v, want %v", got, want)
	}
	a, _ = SetBlankShape(a, &Blank{WidthMM: 300, HeightMM: 206, SafeMM: 3})
	if j, _ = AddBeside(a, b); j.Items[1].Placement.MapRect(j.Items[1].Canvas).Width() != 100 {
		t.Error("what fits changes its size")
	}
}

func TestAddAt_LiesThereAndFitsTheBlank(t *testing.T) {
	a, b := sample(), sample()
	for i := range b.Items {
		b.Items[i].Canvas = geometry.RectXYWH(0, 0, 20, 10)
	}
	size := Pages(b)
	at := geometry.Pt(-30, 70)
	added := func(j Job) geometry.Rect {
		j, _ = AddAt(j, b, at)
		r := geometry.EmptyRect()
		for _, it := range j.Items[len(a.Items):] {
			r = r.Union(it.Placement.MapRect(it.Canvas))
		}
		return r
	}
	if r := added(a); r.Centre().Sub(at).Len() > 1e-9 || math.Abs(r.Width()-size.Width()) > 1e-9 {
		t.Errorf("%v, want %g wide about %v", r, size.Width(), at)
	}
	// On a blank with room for it, it keeps its size; on a smaller one it loses some.
	for _, round := range []bool{false, true} {
		for _, k := range []float64{3, 0.5} {
			blank := Blank{Name: "tile", WidthMM: size.Width() * k, HeightMM: size.Width() * k, SafeMM: size.Width() * k / 10, Round: round}
			j, err := SetBlankShape(a, &blank)
			if err != nil {
				t.Fatal(err)
			}
			r := added(j)
			blank.At = at
			if want := min(size.Width(), blank.Room(size.Width()/size.Height()).Width()); r.Centre().Sub(at).Len() > 1e-9 ||
				math.Abs(r.Width()-want) > 1e-9 || math.Abs(r.Width()/r.Height()-size.Width()/size.Height()) > 1e-9 || !blank.Holds(r.Path(), blank.SafeMM) {
				t.Errorf("round %v, blank of %g: %v, want %g wide", round, blank.WidthMM, r, want)
			}
		}
	}
	if Pages(b) != size {
		t.Error("the job that was added has changed")
	}
}
