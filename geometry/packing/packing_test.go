package packing

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"

	"abut/geometry"
)

// The bounds are those that the published layouts of skyline heuristics keep by
// far; the lengths are multiples of the proved optima.
func TestRectangles_StripsAreNearlyAsShortAsCanBe(t *testing.T) {
	for _, turns := range []bool{true, false} {
		sum, n := 0.0, 0
		for _, in := range instances(t, "C") {
			items, o := in.strip(turns)
			o.Steps = 5000
			p, err := Rectangles(t.Context(), items, o)
			if err != nil {
				t.Fatal(err)
			}
			check(t, p, ones(len(items)), o, func(i int) geometry.Path { return box(items[i].Width, items[i].Height) })
			times := p.Sheets[0].Extent.X / in.optimum
			if times < 1 || times > 1.12 {
				t.Errorf("%s, turned %v: %v times the optimum", in.name, turns, times)
			}
			sum, n = sum+times, n+1
		}
		if mean := sum / float64(n); mean > 1.05 {
			t.Errorf("turned %v: %v times the optimum on average", turns, mean)
		}
	}
}

func TestRectangles_WhatIsWorthMostIsOnTheSheet(t *testing.T) {
	sum, n := 0.0, 0
	for _, in := range instances(t, "ngcut") {
		items, o := in.knapsack()
		o.Steps = 3000
		p, err := Rectangles(t.Context(), items, o)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, ones(len(items)), o, func(i int) geometry.Path { return box(items[i].Width, items[i].Height) })
		share := in.value(p) / in.optimum
		if share > 1 {
			t.Errorf("%s: %v times what is possible", in.name, share)
		}
		sum, n = sum+share, n+1
	}
	if mean := sum / float64(n); mean < 0.97 {
		t.Errorf("%v of the optimum on average", mean)
	}
}

// Densities as published for bottom-left fill: Burke, Hellier, Kendall and Whitwell,
// A new bottom-left-fill heuristic algorithm for the two-dimensional irregular
// packing problem, Operations Research 54 (2006), within a minute. That of a jigsaw is
// only to be a layout: no bottom-left fill puts one together.
func TestShapes_LieAsDenselyAsPublished(t *testing.T) {
	for _, c := range []struct {
		name  string
		steps int
		slab  float64
		least float64
	}{
		{"fu", 40000, 1, 0.85}, {"shapes0", 2000, 1, 0.60}, {"blaz", 800, 0.5, 0.70},
		{"dighe1", 500, 0, 0.5}, {"dighe2", 500, 0, 0.5},
	} {
		shapes, o := nesting(t, c.name)
		o.Steps, o.SlabMM = c.steps, c.slab
		p, err := Shapes(t.Context(), shapes, o)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, counts(shapes), o, func(i int) geometry.Path { return shapes[i].Outline })
		if d := density(shapes, o, p); d < c.least || d > 1 {
			t.Errorf("%s: a density of %.2f %%, at least %v wanted", c.name, 100*d, 100*c.least)
		}
	}
}

func ring(outer, inner float64) geometry.Path {
	in := box(inner, inner).Transform(geometry.Translate((outer-inner)/2, (outer-inner)/2))
	return append(in, box(outer, outer)...)
}

func TestShapes_LieInHolesOfOthers(t *testing.T) {
	shapes := []Shape{{Outline: ring(20, 12)}, {Outline: ring(11, 5)}, {Outline: box(4, 4)}}
	o := Options{Sheets: []Sheet{{Height: 20}}, Steps: 10, GapMM: 0.4, SlabMM: 0.25}
	p, err := Shapes(t.Context(), shapes, o)
	if err != nil {
		t.Fatal(err)
	}
	check(t, p, counts(shapes), o, func(i int) geometry.Path { return shapes[i].Outline })
	if x := p.Sheets[0].Extent.X; x > 20.1 {
		t.Errorf("the roll is %v mm long, although all fits into the largest ring", x)
	}
}

func TestPacking_SheetsAreTakenInTheirOrder(t *testing.T) {
	o := Options{Sheets: []Sheet{{Width: 12, Height: 12, Count: 1}, {Width: 25, Height: 10, Count: 2}}, Steps: 50}
	want := []Used{{0, 0, geometry.Pt(10, 10)}, {1, 0, geometry.Pt(20, 10)}, {1, 1, geometry.Pt(20, 10)}}
	var items []Rectangle
	for range 6 {
		items = append(items, Rectangle{Width: 10, Height: 10})
	}
	r, err := Rectangles(t.Context(), items, o)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Shapes(t.Context(), []Shape{{Outline: box(10, 10), Count: 6}}, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []Packing{r, s} {
		if len(p.Left) != 1 || !reflect.DeepEqual(p.Sheets, want) {
			t.Errorf("left are %v, used %v", p.Left, p.Sheets)
		}
	}
}

// both packs a job that takes a while by both ways.
func both(t *testing.T, ctx context.Context, change func(*Options)) (out [2]Packing, errs [2]error) {
	t.Helper()
	in := instances(t, "C2_2")[0]
	items, o := in.strip(true)
	change(&o)
	out[0], errs[0] = Rectangles(ctx, items, o)
	shapes, o := nesting(t, "fu")
	o.SlabMM = 1
	change(&o)
	out[1], errs[1] = Shapes(ctx, shapes, o)
	return out, errs
}

func TestPacking_TheSameSeedGivesTheSame(t *testing.T) {
	run := func(seed uint64) [2]Packing {
		out, errs := both(t, t.Context(), func(o *Options) { o.Seed, o.Steps = seed, 300 })
		if err := errors.Join(errs[:]...); err != nil {
			t.Fatal(err)
		}
		return out
	}
	if a, b := run(5), run(5); !reflect.DeepEqual(a, b) {
		t.Errorf("the same seed gave %v and %v", a, b)
	}
	if a, b := run(5), run(6); reflect.DeepEqual(a, b) {
		t.Error("another seed changes nothing")
	}
}

func TestPacking_OnlyGetsBetterAndKeepsTheBestWhenStopped(t *testing.T) {
	in := instances(t, "C2_2")[0]
	items, o := in.strip(true)
	shapes, p := nesting(t, "fu")
	p.SlabMM = 1
	for name, pack := range map[string]func(context.Context, func(Packing)) (Packing, error){
		"rectangles": func(ctx context.Context, told func(Packing)) (Packing, error) {
			o.Progress = told
			return Rectangles(ctx, items, o)
		},
		"shapes": func(ctx context.Context, told func(Packing)) (Packing, error) {
			p.Progress = told
			return Shapes(ctx, shapes, p)
		},
	} {
		ctx, stop := context.WithCancel(t.Context())
		defer stop()
		var all []Packing
		got, err := pack(ctx, func(p Packing) { // no steps are given: it goes on until stopped
			if all = append(all, p); len(all) == 3 {
				stop()
			}
		})
		if err != nil || len(all) != 3 || !reflect.DeepEqual(got, all[2]) {
			t.Errorf("%s: %v, told %d times; the best is not what was told last", name, err, len(all))
		}
		for i := 1; i < len(all); i++ {
			if all[i].Sheets[0].Extent.X >= all[i-1].Sheets[0].Extent.X {
				t.Errorf("%s: %v mm after %v mm", name, all[i].Sheets[0].Extent.X, all[i-1].Sheets[0].Extent.X)
			}
		}
	}
}

func TestPacking_WithoutTimeThereIsNone(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, errs := both(t, ctx, func(*Options) {})
	for _, err := range errs {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("the error is %v", err)
		}
	}
}

func TestPacking_OfNothingIsEmpty(t *testing.T) {
	if p, err := Rectangles(t.Context(), nil, Options{}); err != nil || len(p.Sheets) != 0 {
		t.Error(p, err)
	}
	if p, err := Shapes(t.Context(), nil, Options{}); err != nil || len(p.Sheets) != 0 {
		t.Error(p, err)
	}
	if p, err := Shapes(t.Context(), []Shape{{Outline: box(1, 1), Turns: []float64{0, math.Pi}}}, Options{}); err != nil || len(p.Left) != 1 {
		t.Error(p, err)
	}
}
