package mend

import (
	"context"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// waist is a picture of two squares that a bar of 0.3 × 3 mm joins.
func waist(t *testing.T) job.Job {
	return sketch.Art(t, "green rect 0 0 40 30 knock", "blue rect 5 5 10 10 + rect 15 9.85 3 0.3 + rect 18 5 10 10 knock")
}

// A bar of discs sticks out of the corners that it comes from; in hollows the outline turns less.
func TestBroadened_RunsSmoothlyIntoItsPiece(t *testing.T) {
	turns := map[bool]float64{}
	for _, smooth := range []bool{false, true} {
		j := waist(t)
		m, spot := spotOf(t, j)
		given(t, m, &spot, job.Mend{Spot: job.SpotKind(spot.Kind), Do: job.Widen, Smooth: smooth}, j.Settings)
		outlines, err := m.outlines(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		turns[smooth] = turning(outlines, func(geometry.Point) bool { return true })
		if spots, err := m.spots(context.Background(), j.Settings, nil); err != nil || len(spots) != 0 {
			t.Errorf("smooth %v: %v, %d spots are left", smooth, err, len(spots))
		}
	}
	if turns[true] > turns[false]+1e-9 {
		t.Errorf("outlines turn %.2f in hollows, %.2f without", turns[true], turns[false])
	}
}

// Nothing is added but in hollows, and these reach no further than they may.
func TestSmooth_StaysBesideWhatItAdds(t *testing.T) {
	m, spot := spotOf(t, waist(t))
	strokes, err := m.inwards(&spot, 1).Widened(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	got, err := spot.smooth(context.Background(), strokes, 1)
	if err != nil || !strokes.Bounds().Grow(hollowReach).Encloses(got.Bounds()) {
		t.Errorf("%v: %v beside %v", err, got.Bounds(), strokes.Bounds())
	}
	if got.SignedArea() <= 0 {
		t.Error("nothing is added")
	}
}

// A speck of 0.6 × 1 mm becomes a piece 2 mm long and 1 mm broad, along its longer way.
func TestBroadened_ASpeckBecomesAsLongAsTheSmallestPiece(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 30 knock", "blue rect 10 10 0.6 1 knock")
	m, spot := spotOf(t, j)
	if spot.Kind != weak.Speck {
		t.Fatal(spot.Kind)
	}
	given(t, m, &spot, job.Mend{Spot: job.SpotKind(spot.Kind), Do: job.Widen}, j.Settings)
	if b := m.Separations[slices.Index(m.Materials, sheet("blue"))].Outline.Bounds(); b.Height() < 2 || b.Height() > 2.1 || b.Width() > 1.8 {
		t.Errorf("%v", b)
	}
	if spots, err := m.spots(context.Background(), j.Settings, nil); err != nil || len(spots) != 0 {
		t.Errorf("%v, %d spots are left", err, len(spots))
	}
}
