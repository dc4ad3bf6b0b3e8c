package fit

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/job"
)

// divideAgain is the slow and obvious way to cut one group out: the map divided
// anew, by whether a face belongs to the group.
func divideAgain(m *planar.Map, labels []int32, belongs func(label int32) bool) *planar.Division {
	own := make([]int32, len(labels))
	for f, l := range labels {
		own[f] = planar.None
		if l >= 0 && belongs(l) {
			own[f] = 0
		}
	}
	return m.Divide(own)
}

// contours writes down what rings enclose, whatever ring or point comes first.
func contours(d *planar.Division, rings []planar.Ring) []string {
	var out []string
	for _, r := range rings {
		pts := d.RingPoints(r)
		start := 0
		for i := range pts {
			if comparePoints(pts[i], pts[start]) < 0 {
				start = i
			}
		}
		out = append(out, fmt.Sprint(r.Area2, slices.Concat(pts[start:], pts[:start])))
	}
	slices.Sort(out)
	return out
}

func TestUnions_AreWhatDividingAnewGives(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := drawArt(t, rt)
		placed, _ := place(j)
		o, err := lay(context.Background(), placed, nil)
		if err != nil {
			rt.Fatal(err)
		}
		r := newRules(j, placed)
		c, err := claim(context.Background(), r, o.m.NumCovers(), o.m.CoverByID)
		if err != nil {
			rt.Fatal(err)
		}
		labels := make([]int32, o.m.NumFaces())
		for f := range labels {
			labels[f] = c.label[o.m.CoverID(int32(f))]
		}
		atoms := o.m.Divide(labels)
		us := unions(atoms, len(r.separations), func(l int32) []int32 { return c.sets[l] })
		all := withPieces(atoms, us)
		for s := range r.separations {
			again := divideAgain(o.m, labels, func(l int32) bool { return slices.Contains(c.sets[l], int32(s)) })
			var got, want []string
			describe := func(d *planar.Division, p *planar.Piece) string {
				return fmt.Sprint(p.Area2, p.Bounds, contours(d, p.Rings))
			}
			for i := range all.Pieces {
				if p := &all.Pieces[i]; p.Label == int32(s) {
					got = append(got, describe(all, p))
					if p.Rings[0].Area2 <= 0 || slices.ContainsFunc(p.Rings[1:], func(r planar.Ring) bool { return r.Area2 >= 0 }) {
						rt.Fatal("the outer ring is not the first, or not the only one")
					}
				}
			}
			for i := range again.Pieces {
				want = append(want, describe(again, &again.Pieces[i]))
			}
			slices.Sort(got)
			slices.Sort(want)
			if !slices.Equal(got, want) {
				rt.Fatalf("separation %d:\n got %v\nwant %v", s, got, want)
			}
		}
		whole := unions(atoms, 1, func(l int32) []int32 {
			if c.stacked(l) {
				return []int32{0}
			}
			return nil
		})
		again := divideAgain(o.m, labels, c.stacked)
		if len(whole) != len(again.Pieces) {
			rt.Fatalf("%d stacked places, want %d", len(whole), len(again.Pieces))
		}
	})
}

// Squares that touch at corners only are pieces of their own; a ring that
// touches itself is parted into simple rings.
func TestUnions_AtNodesWhereBordersMeet(t *testing.T) {
	// Red covers a board of squares, of which blue covers every other one and
	// does not knock out; green lies beside.
	j := art(t, "red rect 0 0 20 20 + rect 20 20 20 20",
		"blue rect 0 0 10 10 + rect 10 10 10 10 + rect 20 20 10 10 + rect 30 30 10 10",
		"green rect 20 0 20 20")
	p := mustPlan(t, j)
	red := separation(t, p, "red")
	if len(red.Pieces) != 2 || red.AreaMM2 != 800 || len(red.Outline) != 2 {
		t.Error(summary(p), len(red.Outline))
	}
	for _, c := range red.Outline {
		if len(c.Segments) != 3 {
			t.Errorf("a square of %d corners", len(c.Segments)+1)
		}
	}
	if blue := separation(t, p, "blue"); len(blue.Pieces) != 4 || len(p.Stacked.Places) != 4 {
		t.Error(summary(p), len(p.Stacked.Places))
	}
	// Knocked out, red is left as four squares.
	p = mustPlan(t, knockAll(t, j))
	if red := separation(t, p, "red"); len(red.Pieces) != 4 || red.AreaMM2 != 400 {
		t.Error(summary(p))
	}
}

func TestAnticlockwiseBefore_OrdersATurnFromAnyDirection(t *testing.T) {
	compass := []direction{{0, -5}, {-1, -1}, {-3, 0}, {-2, 2}, {0, 1}, {7, 7}, {1, 0}, {4, -4}} // anticlockwise on screen
	for i, u := range compass {
		rest := slices.Concat(compass[i+1:], compass[:i])
		sorted := slices.Clone(rest)
		slices.Reverse(sorted)
		slices.SortStableFunc(sorted, func(a, b direction) int {
			return cmp.Compare(btoi(anticlockwiseBefore(u, b, a)), btoi(anticlockwiseBefore(u, a, b)))
		})
		if !slices.Equal(sorted, rest) {
			t.Errorf("from %v: %v, want %v", u, sorted, rest)
		}
	}
}

// A pile of many solids, each in a colour of its own and none knocked out, is
// the worst for who lies over whom: n²/2 claims.
func TestCompute_ADeepPileIsNoTrouble(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	const n = 600
	it := job.Item{ID: 1, Placement: geometry.Identity(), Copies: 1}
	for i := range n {
		inset := float64(i) * 0.1
		it.Layers = append(it.Layers, job.Layer{
			ID: job.LayerID(i + 1), Alpha: 1, Transform: geometry.Identity(), Colour: colour.RGB{R: uint8(i), G: uint8(i >> 8), B: 99},
			Content: job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(inset, inset, 200-2*inset, 200-2*inset).Path()}}},
		})
	}
	p := mustPlan(t, job.Job{Items: []job.Item{it}})
	if len(p.Separations) != n || len(p.Pieces) != n || len(p.Stacked.Places) != 1 || len(p.Stacked.Places[0].Layers) != n {
		t.Fatal(len(p.Separations), len(p.Pieces), len(p.Stacked.Places))
	}
	for i, s := range p.Separations {
		if len(s.Outline) != 1 || !near(s.Bounds.Width(), 200-0.2*float64(i), 1e-9) {
			t.Fatal(i, len(s.Outline), s.Bounds)
		}
	}
}
