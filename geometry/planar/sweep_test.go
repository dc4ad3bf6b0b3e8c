package planar

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"

	"abut/geometry"
)

// newDeltas returns a table for so many terms.
func newDeltas(terms int) *deltaTable {
	d := new(deltaTable)
	d.reset(terms)
	return d
}

// unsnapped is the arrangement of the layers' segments as they are, cut nowhere.
func unsnapped(t *testing.T, layers ...Layer) (*arrangement, *input) {
	t.Helper()
	in, err := quantise(context.Background(), layers, defaultSagittaMM, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	_, lo, hi := linesOf(in)
	arr := &arrangement{segs: in.segments, origins: in.origins, deltas: newDeltas(len(in.terms))}
	if arr.whole, err = arr.number(unhurried(context.Background()), in, lo, hi, new(scratch)); err != nil {
		t.Fatal(err)
	}
	return arr, in
}

func sweep(arr *arrangement, in *input) error {
	pl := &plane{limit: maxWindings}
	if err := pl.take(context.Background(), arr, new(scratch)); err != nil {
		return err
	}
	_, err := pl.sweep(context.Background(), arr.deltas, new(scratch))
	return err
}

// Whatever the stages before might get wrong, a map with crossing edges is never
// made: the sweep checks neighbours as it goes.
func TestSweep_NoticesWhatIsNotPlanar(t *testing.T) {
	square := rect(0, 0, 10, 10)
	triangle := func(xy ...float64) Layer { return layer(geometry.NonZero, geometry.Path{poly(xy...)}) }
	for name, upper := range map[string]Layer{
		"squares that overlap":            rect(5, 5, 10, 10),
		"a tip through a side":            triangle(-5, 3, 4, 5, -5, 7),
		"a leftmost tip on a side":        triangle(5, 0, 9, -4, 9, -3),
		"a rightmost tip on a side":       triangle(-4, 3, 0, 5, -4, 7),
		"a tip from within on a side":     triangle(4, 4, 10, 5, 4, 6),
		"a long side along part of a one": triangle(2, 0, 20, 0, 11, -4),
	} {
		if err := sweep(unsnapped(t, square, upper)); !errors.Is(err, errNotPlanar) {
			t.Errorf("%s: %v, want %v", name, err, errNotPlanar)
		}
	}
	arr, in := unsnapped(t, square, rect(2, 2, 3, 3))
	if err := sweep(arr, in); err != nil {
		t.Errorf("squares apart: %v", err)
	}
	for i := range arr.whole {
		arr.whole[i].delta = arr.deltas.negative(arr.whole[i].delta)
		if err := sweep(arr, in); !errors.Is(err, errNotPlanar) {
			t.Errorf("with fragment %d run backwards: %v, want %v", i, err, errNotPlanar)
		}
		arr.whole[i].delta = arr.deltas.negative(arr.whole[i].delta)
	}
}

// Two triangles at random: the sweep notices if and only if some sides cross or
// some corner lies on a side.
func TestSweep_NoticesEveryCrossing(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 21))
	counts := map[bool]int{}
	for range rounds(2000, 20_000) {
		reach := []int{6, 40, 2_000_000}[rng.IntN(3)]
		var layers []Layer
		for range 2 {
			var pts []geometry.Point
			for range 3 {
				pts = append(pts, Point{int32(rng.IntN(reach)), int32(rng.IntN(reach))}.MM())
			}
			layers = append(layers, layer(geometry.NonZero, geometry.Path{geometry.Polygon(pts...)}))
		}
		if in, err := quantise(context.Background(), layers, defaultSagittaMM, new(scratch)); err != nil || len(in.segments) != 6 {
			continue
		}
		arr, in := unsnapped(t, layers...)
		planar := true
		for i, s := range in.segments {
			for _, o := range in.segments[:i] {
				_, cross := crossing(s.a, s.b, o.a, o.b)
				for _, on := range [][3]Point{{s.a, s.b, o.a}, {s.a, s.b, o.b}, {o.a, o.b, s.a}, {o.a, o.b, s.b}} {
					cross = cross || onOpenSegment(on[0], on[1], on[2])
				}
				planar = planar && !cross
			}
		}
		if err := sweep(arr, in); (err == nil) != planar {
			t.Fatalf("%v: %v; planar: %v", layers, err, planar)
		}
		counts[planar]++
	}
	if counts[true] < 100 || counts[false] < 100 {
		t.Errorf("planar or not: %v", counts)
	}
}
