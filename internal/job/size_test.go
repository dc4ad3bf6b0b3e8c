package job

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
)

func extentOf(j Job) geometry.Rect { return BoundsOf(j, j.LayerIDs()) }

func TestResize_GivesTheArtTheSizeAndKeepsItsCorner(t *testing.T) {
	j := sample()
	all := extentOf(j)
	for _, size := range [][2]float64{{100, 0}, {0, 33.3}} {
		k, err := Resize(j, all, size[0], size[1])
		if err != nil {
			t.Fatal(err)
		}
		r := extentOf(k)
		got := r.Width()
		if size[0] == 0 {
			got = r.Height()
		}
		if math.Abs(got-size[0]-size[1]) > 1e-9 || r.Min.Sub(all.Min).Len() > 1e-9 {
			t.Errorf("%v: %v", size, r)
		}
		if math.Abs(r.Width()/r.Height()-all.Width()/all.Height()) > 1e-9 {
			t.Errorf("proportions changed: %v from %v", r, all)
		}
	}
}

func onBlank(t testing.TB, j Job, b Blank) Job {
	t.Helper()
	j, err := SetBlankShape(j, &b)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestFillBlank_FillsTheSafeArea(t *testing.T) {
	for _, round := range []bool{false, true} {
		for _, h := range []float64{20, 80, 500} {
			b := Blank{WidthMM: 120, HeightMM: h, SafeMM: 5, Round: round, At: geometry.Pt(7, 9)}
			j := onBlank(t, sample(), b)
			was := extentOf(j)
			k, err := FillBlank(j, was)
			if err != nil {
				t.Fatal(err)
			}
			got := extentOf(k)
			if !b.Holds(got.Path(), b.SafeMM) || b.Holds(got.Grow(0.1).Path(), b.SafeMM) || got.Centre().Sub(b.At).Len() > 1e-9 {
				t.Errorf("round %v, %g high: %v is not the most that fits", round, h, got)
			}
			if math.Abs(got.Width()/got.Height()-was.Width()/was.Height()) > 1e-9 {
				t.Errorf("proportions changed: %v from %v", got, was)
			}
		}
	}
}

// Jobs of two pictures with a dot far to the right, in which surrounds are around
// one thing, around both pictures, around a surround, and around the dot alone.
func surrounded(t *testing.T) map[string]Job {
	t.Helper()
	plain := sample()
	dot := Outlines{Shapes: []Shape{{Path: geometry.RectXYWH(61, 3, 1, 1).Path()}}}
	plain.Items[0].Layers = append(plain.Items[0].Layers, Layer{ID: 20, Content: dot, Alpha: 1, Transform: geometry.Identity()})
	around := func(j Job, mm float64, ids ...LayerID) (Job, LayerID) {
		j, made, err := AddSurround(j, ids, Surround{WidthMM: mm}, "Band", colour.White)
		if err != nil {
			t.Fatal(err)
		}
		return j, made
	}
	out := map[string]Job{"none": plain}
	out["one"], _ = around(plain, 10, 1)
	out["both"], _ = around(plain, 10, plain.LayerIDs()...)
	j, inner := around(plain, 4, 20, 8)
	out["a surround"], _ = around(j, 7, inner, 1)
	out["the dot"], _ = around(plain, 40, 20)
	j, _ = around(plain, 3, 7)
	j, err := SetUse(j, []LayerID{7}, LeftOut)
	if err != nil {
		t.Fatal(err)
	}
	out["nothing any more"] = j
	return out
}

// A surround does not grow with the art, wherever it reaches to; what is asked
// for is the size of both.
func TestResize_SurroundsKeepTheirWidths(t *testing.T) {
	extentOf := func(j Job) geometry.Rect {
		var ids []LayerID
		for _, it := range j.Items {
			for _, l := range it.Layers {
				if l.Use != LeftOut {
					ids = append(ids, l.ID)
				}
			}
		}
		return BoundsOf(j, ids)
	}
	for name, j := range surrounded(t) {
		rapid.Check(t, func(t *rapid.T) {
			size := rapid.Float64Range(130, 2000).Draw(t, "size")
			at := geometry.Pt(rapid.Float64Range(-99, 99).Draw(t, "x"), 5)
			wide := rapid.Bool().Draw(t, "wide")
			w, h := 0.0, size
			if wide {
				w, h = size, 0
			}
			was := extentOf(j)
			k, err := Resize(j, was, w, h)
			if err != nil {
				t.Fatal(err)
			}
			got := extentOf(k)
			if is := map[bool]float64{true: got.Width(), false: got.Height()}[wide]; math.Abs(is-size) > 1e-6 || got.Min.Sub(was.Min).Len() > 1e-6 {
				t.Fatalf("around %s: %v, want %g at %v", name, got, size, was.Min)
			}
			b := Blank{WidthMM: size, HeightMM: rapid.Float64Range(130, 2000).Draw(t, "height"), Round: wide, At: at}
			j.Settings.BlankShape = &b
			if k, err = FillBlank(j, extentOf(j)); err != nil {
				t.Fatal(err)
			}
			got = extentOf(k)
			if !b.Holds(got.Path(), 0) || b.Holds(got.Grow(0.03).Path(), 0) || got.Centre().Sub(at).Len() > 1e-6 {
				t.Fatalf("around %s: %v in %+v", name, got, b)
			}
		})
	}
	both := surrounded(t)["both"]
	for _, w := range []float64{20, 7} {
		if _, err := Resize(both, extentOf(both), w, 0); err == nil {
			t.Errorf("a width of %g, which the band alone takes up, was accepted", w)
		}
	}
}

// What the bounds of curves do not tell, such as the tips of sharp corners, is
// counted as it is.
func TestResize_CountsWhatReachesBeyondTheBounds(t *testing.T) {
	j := surrounded(t)["both"]
	extent := extentOf(j)
	extent.Max.X += 2.5
	k, err := Resize(j, extent, 300, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := extentOf(k); math.Abs(got.Width()-297.5) > 1e-6 || got.Min.Sub(extent.Min).Len() > 1e-6 {
		t.Errorf("%v", got)
	}
}

// Art without a height fits by its width alone, and so does what surrounds it.
func TestFillBlank_OfALineGoesByItsWidth(t *testing.T) {
	line := Layer{ID: 1, Alpha: 1, Transform: geometry.Identity(), Content: Outlines{Shapes: []Shape{{Path: geometry.RectXYWH(0, 0, 10, 0).Path()}}}}
	j := Job{Items: []Item{{ID: 1, Placement: geometry.Identity(), Layers: []Layer{line}}}}
	around, _, err := AddSurround(j, []LayerID{1}, Surround{WidthMM: 3}, "Band", colour.White)
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range []Job{j, around} {
		k, err := FillBlank(onBlank(t, j, Blank{WidthMM: 50, HeightMM: 20}), extentOf(j))
		if err != nil || math.Abs(extentOf(k).Width()-50) > 1e-6 {
			t.Errorf("%v, %v", extentOf(k), err)
		}
	}
	if _, err := FillBlank(onBlank(t, around, Blank{WidthMM: 50, HeightMM: 5}), extentOf(around)); err == nil {
		t.Error("a band of 6 mm fits into 5")
	}
	if _, err := Resize(around, extentOf(around), 0, 10); err == nil {
		t.Error("a line was made 10 mm high")
	}
}

// Surrounds of surrounds, each around all that was there before: the ways from
// the outermost to the art are 2⁴⁰.
func TestBounds_OfManyNestedSurroundsAreWorkedOutOnce(t *testing.T) {
	j := sample()
	want := extentOf(j)
	for range 40 {
		var err error
		if j, _, err = AddSurround(j, j.LayerIDs(), Surround{WidthMM: 1}, "Band", colour.White); err != nil {
			t.Fatal(err)
		}
	}
	if got := extentOf(j); got.Min.Sub(want.Grow(40).Min).Len()+got.Max.Sub(want.Grow(40).Max).Len() > 1e-9 {
		t.Errorf("%v, want %v", got, want.Grow(40))
	}
}
