package mend

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// What is given to another shade of its colour is there all the same if it is but a crumb; in
// another colour it is lost, and so is what one would see.
func TestLost_ACrumbMayTakeAnotherShadeOfItsColour(t *testing.T) {
	for _, c := range []struct {
		around string
		side   float64
		lost   int
	}{{"#dfe7ec", 0.9, 0}, {"red", 0.9, 1}, {"#dfe7ec", 1.9, 1}} {
		j := sketch.Art(t, c.around+" rect 0 0 40 30 knock", "#f4f7f9 rect 10 10 1 1 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(10, 10, c.side, c.side).Path()}}}
		m, spot := spotOf(t, j)
		given(t, m, &spot, job.Mend{Spot: job.SpotKind(spot.Kind), Do: job.Give}, j.Settings)
		lost, err := m.lost(context.Background(), everywhere, j.Settings)
		if err != nil || len(lost) != c.lost {
			t.Errorf("%g mm on %s: %v, %d are lost", c.side, c.around, err, len(lost))
		}
	}
}

// A strip of 0.03 mm is missed by nobody, and one that a pen may have drawn is, as a dot of its area.
func TestLost_AHairlineIsMissedByNobody(t *testing.T) {
	for _, c := range []struct {
		long, broad float64
		want        bool
	}{{20, 0.03, false}, {20, 0.1, true}, {0.8, 0.75, true}} {
		p := part{area: c.long * c.broad, bounds: geometry.RectXYWH(3, 4, c.long, c.broad)}
		if got := p.lost(1, 1); got != c.want {
			t.Errorf("%g × %g mm: %t", c.long, c.broad, got)
		}
	}
}

// In a picture of some millimetres dots are no crumbs: how large something is at least that somebody
// drew goes by the picture, up to the size that people usually make it.
func TestLost_SmallPicturesHaveSmallThings(t *testing.T) {
	for _, c := range []struct {
		picture, side float64
		want          bool
	}{{60, 0.5, true}, {60, 0.4, false}, {40, 0.4, false}, {20, 0.4, true}, {20, 0.2, false}, {5, 0.08, true}, {5, 0.04, false}} {
		m := &mending{page: geometry.RectXYWH(0, 0, c.picture, c.picture/2)}
		p := part{area: c.side * c.side, bounds: geometry.RectXYWH(1, 1, c.side, c.side)}
		if got := p.lost(1, m.scale()); got != c.want {
			t.Errorf("%g mm in a picture of %g mm: %t", c.side, c.picture, got)
		}
	}
	if (&mending{}).scale() != 1 {
		t.Error("what is of no size is as usual")
	}
}
