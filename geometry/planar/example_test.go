package planar_test

import (
	"context"
	"fmt"

	"abut/geometry"
	"abut/geometry/planar"
)

// square returns a layer of one square.
func square(x, y, side float64) planar.Layer {
	return planar.Layer{Figures: []planar.Figure{{Path: geometry.RectXYWH(x, y, side, side).Path()}}}
}

// Two squares overlap. Where both lie the upper one shall own the place, so
// that the lower one is cut to fit; the stacked area is what both cover.
func Example() {
	m, err := planar.Build(context.Background(), []planar.Layer{
		square(0, 0, 10), // beneath
		square(6, 6, 10), // on top
	}, planar.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	owners := m.Label(func(cover []int32) int32 { // bottom first
		if len(cover) == 0 {
			return planar.None
		}
		return cover[len(cover)-1]
	})
	stacked := 0.0
	for f := range owners {
		if len(m.Cover(planar.FaceID(f))) > 1 {
			stacked += m.AreaMM2(planar.FaceID(f))
		}
	}
	d, err := m.Divide(context.Background(), owners)
	if err != nil {
		panic(err)
	}
	for _, p := range d.Pieces {
		fmt.Printf("layer %d: %g mm²\n", p.Label, p.AreaMM2())
	}
	for _, s := range d.Seams {
		if s.Left != planar.None && s.Right != planar.None {
			fmt.Printf("pieces %d and %d share %g mm\n", min(s.Left, s.Right), max(s.Left, s.Right), s.LengthMM)
		}
	}
	fmt.Printf("stacked before: %g mm²\n", stacked)
	// Output:
	// layer 0: 84 mm²
	// layer 1: 100 mm²
	// pieces 0 and 1 share 8 mm
	// stacked before: 16 mm²
}

// A square with a hole: its outline has the inner contour
// first, as a cutter wants it.
func ExampleDivision_Outline() {
	m, err := planar.Build(context.Background(), []planar.Layer{square(0, 0, 10), square(4, 4, 2)}, planar.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	owners := m.Label(func(cover []int32) int32 {
		if len(cover) == 1 {
			return cover[0] // what only the large square covers
		}
		return planar.None
	})
	d, err := m.Divide(context.Background(), owners)
	if err != nil {
		panic(err)
	}
	for _, c := range d.Outline(0) {
		fmt.Print(c.Start)
		for _, s := range c.Segments {
			fmt.Print(" ", s.End)
		}
		fmt.Println()
	}
	fmt.Printf("%g mm to cut\n", d.CutLengthMM(0))
	// Output:
	// {4 4} {4 6} {6 6} {6 4}
	// {0 0} {10 0} {10 10} {0 10}
	// 48 mm to cut
}

// Which layers lie at a place?
func ExampleMap_Locate() {
	m, err := planar.Build(context.Background(), []planar.Layer{square(0, 0, 10), square(6, 6, 10)}, planar.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range []geometry.Point{{X: 1, Y: 1}, {X: 8, Y: 8}, {X: 15, Y: 15}, {X: 15, Y: 1}} {
		fmt.Println(p, m.Cover(m.Locate(p)))
	}
	// Output:
	// {1 1} [0]
	// {8 8} [0 1]
	// {15 15} [1]
	// {15 1} []
}
