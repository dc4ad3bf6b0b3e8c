package planar

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"

	"pgregory.net/rapid"
)

// rect returns a layer of one rectangle, in millimetres.
func rect(x, y, w, h float64) Layer {
	return layer(geometry.NonZero, geometry.RectXYWH(x, y, w, h).Path())
}

func layer(rule geometry.FillRule, p geometry.Path) Layer {
	return Layer{Figures: []Figure{{Path: p, Rule: rule}}}
}

func build(t testing.TB, layers ...Layer) *Map {
	t.Helper()
	m, err := Build(context.Background(), layers, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// topmost labels each face with the layer on top.
func topmost(m *Map) []int32 {
	return m.Label(func(cover []int32) int32 {
		if len(cover) == 0 {
			return None
		}
		return cover[len(cover)-1]
	})
}

// divided and healed are Divide and Heal with nobody to stop them.
func divided(m *Map, labels []int32) *Division {
	d, err := m.Divide(context.Background(), labels)
	if err != nil {
		panic(err)
	}
	return d
}

func healed(m *Map, labels []int32) Healed {
	h, err := m.Heal(context.Background(), labels, 0.02)
	if err != nil {
		panic(err)
	}
	return h
}

// ownedBy sums the areas of the pieces with a label, in mm².
func ownedBy(d *Division, label int32) float64 {
	sum := 0.0
	for _, p := range d.Pieces {
		if p.Label == label {
			sum += p.AreaMM2()
		}
	}
	return sum
}

func TestBuild_UpperCutsItsExactHole(t *testing.T) {
	m := build(t, rect(0, 0, 10, 10), rect(2, 2, 3, 3), rect(6, 6, 2, 2))
	d := divided(m, topmost(m))
	for label, want := range []float64{100 - 9 - 4, 9, 4} {
		if got := ownedBy(d, int32(label)); got != want {
			t.Errorf("layer %d owns %v mm², want %v", label, got, want)
		}
	}
	if len(d.Pieces) != 3 || len(d.Pieces[0].Rings) != 3 {
		t.Errorf("%d pieces, the lower one with %d rings, want 3 and 3", len(d.Pieces), len(d.Pieces[0].Rings))
	}
	if len(d.Seams) != 3 {
		t.Errorf("%d seams, want 3: each is shared", len(d.Seams))
	}
}

func TestDivide_SeamsSayWhoTouchesWhomAndHowLong(t *testing.T) {
	// A square with a smaller one over its right half's middle, and a third that
	// touches the first at a corner only.
	d := build(t, rect(0, 0, 10, 10), rect(6, 3, 8, 4), rect(10, 10, 2, 2))
	div := divided(d, topmost(d))
	want := map[[2]int32]float64{{None, 0}: 40 - 4, {None, 1}: 4 + 4 + 4, {None, 2}: 8, {0, 1}: 4 + 4 + 4}
	got := map[[2]int32]float64{}
	for _, s := range div.Seams {
		got[[2]int32{min(s.Left, s.Right), max(s.Left, s.Right)}] += s.LengthMM
	}
	for pair, length := range got {
		if math.Abs(length-want[pair]) > 1e-9 {
			t.Errorf("pieces %v share %v mm, want %v", pair, length, want[pair])
		}
	}
	if len(got) != len(want) {
		t.Errorf("%v touch, want %v", got, want)
	}
}

func TestBuild_PiecesThatTouchAtAPointAreTwo(t *testing.T) {
	m := build(t, Layer{Figures: []Figure{
		{Path: geometry.RectXYWH(0, 0, 1, 1).Path()}, {Path: geometry.RectXYWH(1, 1, 1, 1).Path()},
	}})
	if d := divided(m, topmost(m)); len(d.Pieces) != 2 {
		t.Errorf("%d pieces, want 2", len(d.Pieces))
	}
}

func TestDivide_RingsArePartedWhereTheyTouchThemselves(t *testing.T) {
	// A square whose square hole touches its side at a corner.
	hole := geometry.Path{geometry.Polygon(geometry.Pt(0, 5), geometry.Pt(3, 3), geometry.Pt(6, 5), geometry.Pt(3, 7))}
	m := build(t, rect(0, 0, 10, 10), layer(geometry.NonZero, hole))
	d := divided(m, topmost(m))
	if n := len(d.Pieces[0].Rings); n != 2 {
		t.Fatalf("%d rings, want the outer one and the hole", n)
	}
	if a := d.Pieces[0].Rings[1].Area2; a >= 0 {
		t.Errorf("the second ring has twice-area %d, want a hole's negative one", a)
	}
}

func TestBuild_ClipsAreIntersected(t *testing.T) {
	clip := &Clip{Figures: []Figure{{Path: geometry.RectXYWH(0, 0, 2, 10).Path()}, {Path: geometry.RectXYWH(5, 0, 1, 10).Path()}}}
	inner := &Clip{Figures: []Figure{{Path: geometry.RectXYWH(0, 0, 10, 4).Path(), Clips: []*Clip{clip}}}}
	m := build(t, Layer{Figures: []Figure{{Path: geometry.RectXYWH(1, 1, 9, 9).Path(), Clips: []*Clip{inner}}}})
	if got := ownedBy(divided(m, topmost(m)), 0); got != 3+3 {
		t.Errorf("clipped area %v mm², want 6", got)
	}
}

// SVG 2, 13.4.2 'fill-rule': the star and the rings of the worked example; areas
// in square user units recomputed from the formulas of polygon and circle.
func TestBuild_FillRulesOfTheSVGExample(t *testing.T) {
	star := geometry.Path{geometry.Polygon(geometry.Pt(250, 75), geometry.Pt(323, 301), geometry.Pt(131, 161), geometry.Pt(369, 161), geometry.Pt(177, 301))}
	rings := geometry.Path{geometry.Ellipse(geometry.Pt(200, 200), 107, 107), geometry.Ellipse(geometry.Pt(200, 200), 49, 49)}
	opposite := append(geometry.Path{rings[0]}, rings[1:].Reverse()...)
	const step = 1.0 / StepsPerMM
	for _, c := range []struct {
		name  string
		path  geometry.Path
		rule  geometry.FillRule
		want  float64
		bound float64
	}{
		{"star nonzero", star, geometry.NonZero, 17523.2308548, step * 1300 / 2},
		{"star evenodd", star, geometry.EvenOdd, 12108.4617097, step * 1300 / 2},
		{"rings nonzero", rings, geometry.NonZero, 35968.0943, 2.0 / 3 * 0.01 * 673},
		{"rings evenodd", rings, geometry.EvenOdd, 28425.1303, 2.0 / 3 * 0.01 * 981},
		{"opposite rings nonzero", opposite, geometry.NonZero, 28425.1303, 2.0 / 3 * 0.01 * 981},
		{"opposite rings evenodd", opposite, geometry.EvenOdd, 28425.1303, 2.0 / 3 * 0.01 * 981},
	} {
		m := build(t, layer(c.rule, c.path))
		if got := ownedBy(divided(m, topmost(m)), 0); math.Abs(got-c.want) > c.bound {
			t.Errorf("%s: area %.6f, want %.6f ± %.6f", c.name, got, c.want, c.bound)
		}
	}
}

// anyLayers draws layers of random contours: some of few distinct coordinates,
// so that edges coincide and vertices touch, some of curves.
func anyLayers(t *rapid.T) []Layer {
	reach := rapid.SampledFrom([]int{4, 30, 100000}).Draw(t, "reach")
	coordinate := rapid.Custom(func(t *rapid.T) geometry.Point {
		unit := rapid.SampledFrom([]float64{1, 1.0 / StepsPerMM}).Draw(t, "unit")
		return geometry.Pt(
			float64(rapid.IntRange(-reach, reach).Draw(t, "x"))*unit*10/float64(reach),
			float64(rapid.IntRange(-reach, reach).Draw(t, "y"))*unit*10/float64(reach))
	})
	contour := rapid.Custom(func(t *rapid.T) geometry.Contour {
		pts := rapid.SliceOfN(coordinate, 1, 9).Draw(t, "points")
		if len(pts) > 3 && rapid.Bool().Draw(t, "curved") {
			c := geometry.Contour{Start: pts[0]}
			for i := 1; i+2 < len(pts); i += 3 {
				c.Segments = append(c.Segments, geometry.CubicTo(pts[i], pts[i+1], pts[i+2]))
			}
			return c
		}
		return geometry.Polygon(pts...)
	})
	figure := rapid.Custom(func(t *rapid.T) Figure {
		f := Figure{
			Path: rapid.SliceOfN(contour, 1, 3).Draw(t, "contours"),
			Rule: geometry.FillRule(rapid.IntRange(0, 1).Draw(t, "rule")),
		}
		if rapid.IntRange(0, 4).Draw(t, "clipped") == 0 {
			f.Clips = []*Clip{{Figures: []Figure{{Path: rapid.SliceOfN(contour, 1, 2).Draw(t, "clip")}}}}
		}
		return f
	})
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Layer {
		return Layer{Figures: rapid.SliceOfN(figure, 1, 2).Draw(t, "figures")}
	}), 1, 5).Draw(t, "layers")
}

func TestTag_NamesTheCurveAndWhere(t *testing.T) {
	disc := geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 10, 10)}
	m := build(t, layer(geometry.NonZero, disc), rect(-5, -20, 10, 40))
	seen := map[int32]float64{}
	for e := range m.NumEdges() {
		if tag := m.Tag(EdgeID(e)); tag.Layer == 0 {
			seen[tag.Segment] += math.Abs(tag.T1 - tag.T0)
		}
	}
	for k := range int32(len(disc[0].Segments)) {
		if math.Abs(seen[k]-1) > 1e-12 {
			t.Errorf("the edges along curve %d add up to %v of it, want all", k, seen[k])
		}
	}
}

func TestHeal_GivesSliversToTheLongestNeighbour(t *testing.T) {
	// Two squares drawn to abut overlap by 0.01 mm, a third leaves 0.01 mm.
	m := build(t, rect(0, 0, 10, 10), rect(9.99, 0, 10, 10), rect(20, 0, 10, 10))
	stacked := make([]int32, m.NumFaces())
	for f := range stacked {
		stacked[f] = int32(len(m.Cover(FaceID(f)))) - 1
	}
	if h := healed(m, stacked); h.Faces != 1 || math.Abs(h.AreaMM2-0.1) > 1e-9 {
		// The gap is open at both ends: part of the outside, no face.
		t.Errorf("healed %+v, want the overlap of 0.1 mm²", h)
	}
	for f, l := range stacked {
		if l > 0 {
			t.Errorf("face %d still counts as stacked", f)
		}
	}
}

// What a round of healing says of regions is what they are, whatever came to lie beside its like.
func TestHealOnce_RegionsAreThoseOfTheLabels(t *testing.T) {
	ctx := context.Background()
	rng := rand.New(rand.NewPCG(3, 5))
	changes := 0
	for range 20 {
		var layers []Layer
		for range 12 { // bars that leave slivers of each other, in a row or across
			x, y, w, h := rng.Float64()*3, rng.Float64()*3, 0.05+rng.Float64()*3, 0.05+rng.Float64()*3
			layers = append(layers, layer(geometry.NonZero, geometry.Path{geometry.Polygon(
				geometry.Pt(x, y), geometry.Pt(x+w, y+h/9), geometry.Pt(x+w, y+h), geometry.Pt(x, y+h))}))
		}
		m := build(t, layers...)
		labels := topmost(m)
		for f := range labels {
			labels[f] %= 3
		}
		length, err := m.lengths(ctx)
		if err != nil {
			t.Fatal(err)
		}
		region, err := m.regions(ctx, labels, nil)
		for round := 0; err == nil && round < 16; round++ {
			var changed bool
			if changed, err = m.healOnce(ctx, labels, region, length, 0.3); !changed {
				break
			}
			changes++
			if want, _ := m.regions(ctx, labels, nil); !slices.Equal(region, want) {
				t.Fatalf("round %d: regions %v, want %v", round, region, want)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if changes < 20 {
		t.Errorf("only %d rounds changed anything", changes)
	}
}
