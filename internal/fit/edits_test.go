package fit

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
	"abut/internal/job"
)

// What edits make of the picture.

// A half-opaque group and a copy of it are two: where they lie over each other
// they mix, and count as stacked.
func TestCompute_ACopyOfAGroupMixesWithIt(t *testing.T) {
	j := art(t, "red rect 0 0 20 20 alpha=0.5 group=1", "red rect 5 5 20 20 alpha=0.5 group=1")
	one := mustPlan(t, j)
	if len(one.Separations) != 1 || one.Stacked.AreaMM2 != 0 {
		t.Fatal(summary(one))
	}
	j, _, err := job.Duplicate(j, j.LayerIDs(), 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	// Every place is covered by both: the upper's colour is that over the lower's.
	mixed := palette["red"].Over(palette["red"].Over(colour.White, 0.5), 0.5)
	p := mustPlan(t, j)
	area := 2*400.0 - 15*15
	if got := sheetArea(t, p, mixed); !near(got, area, 1e-6) || !near(p.Stacked.AreaMM2, area, 1e-6) {
		t.Errorf("%v mm² of %v, %v mm² stack, of %v", got, mixed, p.Stacked.AreaMM2, area)
	}
	p = mustPlan(t, knockAll(t, j))
	if len(p.Separations) != 1 || !near(sheetArea(t, p, mixed), area, 1e-6) || p.Stacked.AreaMM2 != 0 {
		t.Error(summary(p))
	}
}

// fading is a job of bars 40 wide and 10 high, each painted from red to blue.
func fading(bars int) job.Job {
	j := job.Job{Items: []job.Item{{ID: 1, Copies: 1, Placement: geometry.Identity()}}}
	for i := range bars {
		g := &gradient.Gradient{
			To: geometry.Pt(40, 0), Map: geometry.Identity(), Mean: colour.RGB{R: 128, B: 128}, MeanAlpha: 1,
			Stops: []gradient.Stop{{At: 0, Colour: colour.RGB{R: 255}, Alpha: 1}, {At: 1, Colour: colour.RGB{B: 255}, Alpha: 1}},
		}
		shape := job.Shape{Path: geometry.RectXYWH(0, float64(20*i), 40, 10).Path(), Gradient: g}
		j.Items[0].Layers = append(j.Items[0].Layers, job.Layer{
			ID: job.LayerID(i + 1), Name: "Sky", Colour: g.Mean, Alpha: 1, Transform: geometry.Identity(), Shown: true,
			Content: job.Outlines{Shapes: []job.Shape{shape}},
		})
	}
	return j
}

// picture is what the job looks like at places on a raster of 1 mm.
func picture(t *testing.T, j job.Job) map[geometry.Point]colour.RGB {
	t.Helper()
	p := mustPlan(t, knockAll(t, j))
	out := map[geometry.Point]colour.RGB{}
	for _, s := range p.Separations {
		for x := -9.5; x < 100; x++ {
			for y := -9.5; y < 60; y++ {
				w := 0
				for _, h := range s.Outline.ScanLine(y) {
					if h.X <= x {
						w += h.Winding
					}
				}
				if geometry.EvenOdd.Encloses(w) {
					out[geometry.Pt(x, y)] = s.Colour
				}
			}
		}
	}
	return out
}

// samePicture compares two jobs place by place. How often a band's colours are
// met by the lines that sample it differs by a hue that nobody sees (ΔE 5, bands
// differ by 15 and more), and its edges by less than a millimetre.
func samePicture(t *testing.T, name string, got, want map[geometry.Point]colour.RGB) {
	t.Helper()
	for _, list := range []map[geometry.Point]colour.RGB{got, want} {
		for p := range list {
			g, painted := got[p]
			_, asked := want[p]
			alike := false
			for _, d := range []geometry.Point{{}, {X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
				w, there := want[p.Add(d)]
				alike = alike || there && g.DeltaE(w) < 5
			}
			if !painted || !asked || !alike {
				t.Errorf("%s: %v is %v (%v), want %v (%v)", name, p, g, painted, want[p], asked)
				return
			}
		}
	}
}

// A gradient goes where its layer goes: merged where it was moved to and shown in
// bands it looks as each alone would, there.
func TestMerge_GradientsComeAlong(t *testing.T) {
	for name, moved := range map[string]geometry.Affine{
		"shifted": geometry.Translate(30, 0), "turned": geometry.Translate(90, 0).Mul(geometry.Rotate(math.Pi / 2)), "larger": geometry.Scale(1.5, 1.5),
	} {
		j := must(t)(job.TransformLayers(fading(2), []job.LayerID{2}, moved))
		want := picture(t, must(t)(job.SetBands(j, j.LayerIDs(), 4)))
		merged, id, err := job.Merge(j, j.LayerIDs(), nil)
		if err != nil {
			t.Fatal(err)
		}
		got := picture(t, must(t)(job.SetBands(merged, []job.LayerID{id}, 4)))
		samePicture(t, name, got, want)
	}
}

// Bands that were merged and set back to one show all of their gradient, moved or
// not, whichever of them were merged.
func TestSetBands_OfMergedBandsLosesNothing(t *testing.T) {
	for _, by := range []float64{0, 7} {
		whole := must(t)(job.MoveLayers(fading(1), []job.LayerID{1}, by, by))
		want := picture(t, whole)
		banded := must(t)(job.SetBands(whole, []job.LayerID{1}, 4))
		ids := banded.LayerIDs()
		for _, some := range [][]job.LayerID{{ids[0], ids[1]}, {ids[1], ids[3]}, ids} {
			merged, id, err := job.Merge(banded, some, nil)
			if err != nil {
				t.Fatal(err)
			}
			one := must(t)(job.SetBands(merged, []job.LayerID{id}, 1))
			if len(one.LayerIDs()) != 1 {
				t.Errorf("%v of %v: %d layers", some, ids, len(one.LayerIDs()))
			}
			samePicture(t, "merged and back", picture(t, one), want)
			again := picture(t, must(t)(job.SetBands(merged, []job.LayerID{id}, 3)))
			samePicture(t, "merged and anew", again, picture(t, must(t)(job.SetBands(whole, []job.LayerID{1}, 3))))
		}
	}
}

// Bands of several gradients that become one layer are no bands any longer: what
// is left of each can be set back, and no place is lost.
func TestSetBands_AfterBandsOfSeveralWereMerged(t *testing.T) {
	for _, by := range []float64{0, 5} {
		j := must(t)(job.MoveLayers(fading(2), []job.LayerID{1, 2}, by, 0))
		covered := picture(t, j)
		j = must(t)(job.SetBands(j, j.LayerIDs(), 3))
		ids := j.LayerIDs()
		for _, some := range [][]job.LayerID{{ids[0], ids[4]}, {ids[1], ids[5]}, {ids[2], ids[3]}, {ids[0], ids[3]}} {
			merged, id, err := job.Merge(j, some, nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range []int{1, 2} {
				for _, which := range [][]job.LayerID{merged.LayerIDs(), {id}} {
					got := picture(t, must(t)(job.SetBands(merged, which, n)))
					for p := range covered {
						if _, ok := got[p]; !ok {
							t.Fatalf("%v merged, %d bands of %v: nothing at %v", some, n, which, p)
						}
					}
				}
			}
		}
	}
}

// Gradients of other colours cannot share bands.
func TestCanBand_NotOfSeveralColourings(t *testing.T) {
	j := fading(2)
	other := *j.Items[0].Layers[1].Content.(job.Outlines).Shapes[0].Gradient
	other.Stops = []gradient.Stop{{At: 0, Colour: colour.RGB{G: 255}, Alpha: 1}, {At: 1, Colour: colour.RGB{R: 255}, Alpha: 1}}
	j.Items[0].Layers[1].Content.(job.Outlines).Shapes[0].Gradient = &other
	merged, id, err := job.Merge(j, j.LayerIDs(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if l, _, _ := merged.Layer(id); job.CanBand(l) {
		t.Error("red to blue and green to red have the same bands")
	}
}

// What a merge makes of a surround in a picture that is scaled lies where the
// surround lay, gradient and all.
func TestMerge_OfASurroundLiesWhereItLay(t *testing.T) {
	j, band := disc(t)
	before := mustPlan(t, j)
	given, err := SurroundShapes(context.Background(), j, band)
	if err != nil {
		t.Fatal(err)
	}
	merged, _, err := job.Merge(j, []job.LayerID{1, band}, map[job.LayerID][]job.Shape{band: given})
	if err != nil {
		t.Fatal(err)
	}
	after := mustPlan(t, merged)
	want := sheetArea(t, before, colour.RGB{R: 200}) + sheetArea(t, before, colour.RGB{B: 200})
	if got := sheetArea(t, after, colour.RGB{R: 200}); !near(got, want, 0.01) || after.Extent.Centre().Sub(before.Extent.Centre()).Len() > 0.001 {
		t.Errorf("%v mm² in %v, before %v in %v", got, after.Extent, want, before.Extent)
	}
}
