package fit

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/assemble"
	"abut/internal/job"
)

func TestCarry_HasAReason(t *testing.T) {
	base := box(0, 0, 200, 100)
	for _, c := range []struct {
		name   string
		rects  []geometry.Rect
		carry  assemble.Carry
		reason string
		of     int
	}{
		{"one sturdy piece", []geometry.Rect{box(10, 10, 20, 20)}, assemble.ByHand, "carry-hand", 0},
		{"few sturdy pieces", []geometry.Rect{box(10, 10, 20, 20), box(50, 10, 20, 20), box(90, 10, 20, 20)}, assemble.ByHand, "carry-hand", 1},
		{"many sturdy pieces", []geometry.Rect{box(10, 10, 20, 20), box(50, 10, 20, 20), box(90, 10, 20, 20), box(130, 10, 20, 20)}, assemble.WithFilm, "carry-film-many", 1},
		{"one thin piece", []geometry.Rect{box(10, 10, 80, 3)}, assemble.WithFilm, "carry-film-thin", 0},
	} {
		p := roomy(t, func(j *job.Job) {
			var shapes []job.Shape
			for _, r := range c.rects {
				shapes = append(shapes, job.Shape{Path: r.Path()})
			}
			j.Items[0].Layers[1].Content = job.Outlines{Shapes: shapes}
		}, base, box(0, 0, 1, 1))
		if s := p.Separations[1]; s.Carry != c.carry || s.CarryReason.ID != c.reason || p.Separations[0].Carry != assemble.Stays {
			t.Errorf("%s: %s, %v", c.name, s.Carry, s.CarryReason)
		}
		if k, of := p.Number(PieceID{Of: p.Separations[1].Of}); k != 2 || of != c.of {
			t.Errorf("%s: number %d.%d", c.name, k, of)
		}
	}
}

// What a clearance leaves of a piece is what is carried.
func TestCarry_CountsWhatTheClearanceLeaves(t *testing.T) {
	j := job.Settings{ClearanceMM: 1}
	p := roomy(t, nil, box(0, 0, 200, 100), box(20, 20, 60, 5))
	cut, err := Cut(context.Background(), p, j)
	if err != nil {
		t.Fatal(err)
	}
	if before := p.Separations[1]; before.Carry != assemble.ByHand || p.Separations[1].Pieces[0].CutMM != 130 {
		t.Errorf("before: %s, %g", before.Carry, p.Separations[1].Pieces[0].CutMM)
	}
	if after := cut.Separations[1]; after.Carry != assemble.WithFilm || math.Abs(cut.Separations[1].Pieces[0].CutMM-122) > 0.01 {
		t.Errorf("after: %s, %g", after.Carry, cut.Separations[1].Pieces[0].CutMM)
	}
}
