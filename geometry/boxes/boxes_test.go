package boxes_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/geometry/boxes"
)

// TestMeeting_IsWhatMeets looks at all rectangles one after the other. Whole numbers make
// many of them touch.
func TestMeeting_IsWhatMeets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := rapid.Custom(func(t *rapid.T) geometry.Rect {
			at := func(of string) float64 { return float64(rapid.IntRange(-20, 20).Draw(t, of)) }
			return geometry.Rect{Min: geometry.Pt(at("left"), at("top")), Max: geometry.Pt(at("right"), at("bottom"))}
		})
		all := rapid.SliceOfN(box, 0, 200).Draw(t, "all")
		x := boxes.New(len(all), func(i int) geometry.Rect { return all[i] })
		r := box.Draw(t, "r")
		var want []int
		for i, b := range all {
			if !r.Empty() && !b.Empty() && !b.Intersect(r).Empty() {
				want = append(want, i)
			}
		}
		if got := x.Meeting(r); !slices.Equal(got, want) {
			t.Fatalf("%v meet %v, want %v", got, r, want)
		}
	})
}

func TestNear_ReachesToEachSide(t *testing.T) {
	x := boxes.New(3, func(i int) geometry.Rect {
		return geometry.Rect{Min: geometry.Pt(float64(10*i), 0), Max: geometry.Pt(float64(10*i+4), 4)}
	})
	for _, c := range []struct {
		at     geometry.Point
		within float64
		want   []int
	}{
		{geometry.Pt(2, 2), 0, []int{0}}, {geometry.Pt(7, 2), 2, nil}, {geometry.Pt(7, 2), 3, []int{0, 1}}, {geometry.Pt(14, 7), 3, []int{1}}, {geometry.Pt(12, 2), 100, []int{0, 1, 2}},
	} {
		if got := x.Near(c.at, c.within); !slices.Equal(got, c.want) {
			t.Errorf("%v are within %g of %v, want %v", got, c.within, c.at, c.want)
		}
	}
}

// TestRuns_HoldWhatMeets goes along a spiral: what meets a rectangle is in the runs that do, in
// order, and most of the rest is not.
func TestRuns_HoldWhatMeets(t *testing.T) {
	var way []geometry.Point
	for i := range 5000 {
		r, a := float64(i)/50, float64(i)/40
		way = append(way, geometry.Pt(r*math.Cos(a), r*math.Sin(a)))
	}
	runs := boxes.NewRuns(way, func(p geometry.Point) geometry.Rect { return geometry.Rect{Min: p, Max: p} })
	for _, rect := range []geometry.Rect{geometry.RectXYWH(-3, -3, 6, 6), geometry.RectXYWH(40, 10, 5, 5), geometry.RectXYWH(300, 0, 5, 5)} {
		var got, want []geometry.Point
		n := 0
		for run := range runs.Meeting(rect) {
			for _, p := range run {
				n++
				if rect.Contains(p) {
					got = append(got, p)
				}
			}
		}
		for _, p := range way {
			if rect.Contains(p) {
				want = append(want, p)
			}
		}
		if !slices.Equal(got, want) || n > len(way)/2 {
			t.Errorf("%v: %d places of %d, among %d", rect, len(got), len(want), n)
		}
	}
}

// BenchmarkIndex files a hundred thousand small rectangles and looks each of them up.
func BenchmarkIndex(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	all := make([]geometry.Rect, 100_000)
	for i := range all {
		at := geometry.Pt(rng.Float64(), rng.Float64()).Mul(300)
		all[i] = geometry.Rect{Min: at, Max: at.Add(geometry.Pt(1, 1))}
	}
	for b.Loop() {
		x := boxes.New(len(all), func(i int) geometry.Rect { return all[i] })
		for _, r := range all {
			x.Meeting(r)
		}
	}
}
