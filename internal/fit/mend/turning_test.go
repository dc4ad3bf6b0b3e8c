package mend

import (
	"math"
	"testing"

	"abut/geometry/weak"
	"abut/internal/job"
)

// Broad up to its tip a short point is a drip; a long taper is the end of a stroke.
func TestLumpy_AStrokeThatTapersOffMayEndRound(t *testing.T) {
	m := job.Mend{Spot: job.Tip, Do: job.Widen}
	for long, want := range map[float64]bool{3: true, 12: false} {
		if got := lumpy(m, moreTurning, false, long, 0.7*math.Pi); got != want {
			t.Errorf("%g times as long as broad: %v", long, got)
		}
	}
}

// Who drew a stroke that tapers off over a length keeps as much of it as who drew a slender one: it ends round.
func TestMostDrawnTurning_OfWhatTapersOff(t *testing.T) {
	for _, c := range []struct {
		kind weak.Kind
		long float64
		do   job.MendKind
		want float64
	}{
		{weak.Point, 12, job.Widen, taperTurning}, {weak.Point, 3, job.Widen, drawnTurning}, {weak.Point, 12, job.Give, drawnTurning},
		{weak.Sliver, 3, job.Widen, taperTurning}, {weak.Neck, 12, job.Widen, drawnTurning},
	} {
		s := Spot{Spot: weak.Spot{Kind: c.kind, LengthMM: 2 * c.long}}
		if got := mostDrawnTurning(&s, job.Mend{Do: c.do}, 2); got != c.want {
			t.Errorf("%v of %g widths, %v: %g", c.kind, c.long, c.do, got)
		}
	}
}
