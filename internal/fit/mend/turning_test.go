package mend

import (
	"math"
	"testing"

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
