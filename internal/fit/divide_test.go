package fit

import (
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// Squares that touch at corners only are pieces of their own; a ring that
// touches itself is parted into simple rings.
func TestCompute_AtNodesWhereBordersMeet(t *testing.T) {
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
	if len(p.Separations) != n || p.NumPieces() != n || len(p.Stacked.Places) != 1 || len(p.Stacked.Places[0].Layers) != n {
		t.Fatal(len(p.Separations), p.NumPieces(), len(p.Stacked.Places))
	}
	for i, s := range p.Separations {
		if len(s.Outline) != 1 || !near(s.Bounds.Width(), 200-0.2*float64(i), 1e-9) {
			t.Fatal(i, len(s.Outline), s.Bounds)
		}
	}
}
