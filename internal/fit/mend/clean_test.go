package mend

import (
	"testing"

	"abut/geometry/weak"
	"abut/internal/job"
)

// The rim of a hat that was drawn broader, and is not broad enough before the blank beside it, grows the rest of the way to
// both sides. A space beside it, or a rim of which either side would move by more, does not.
func TestStaysClean_WhatIsMoreThanHalfBroadGrowsEvenly(t *testing.T) {
	s := &settler{mending: &mending{known: new(asDrawn)}}
	w := s.settings.Narrowest()
	even := job.Mend{Do: job.Widen}
	for name, c := range map[string]struct {
		kind  weak.Kind
		width float64
		mend  job.Mend
		want  bool
	}{
		"rim":               {weak.Sliver, 0.6, even, true},
		"waist":             {weak.Neck, 0.6, even, true},
		"thin rim":          {weak.Sliver, 0.4, even, false},
		"space":             {weak.Gap, 0.6, even, false},
		"smooth":            {weak.Sliver, 0.6, job.Mend{Do: job.Widen, Smooth: true}, false},
		"more than it must": {weak.Sliver, 0.6, job.Mend{Do: job.Widen, WidthMM: 1.2}, false},
		"given":             {weak.Sliver, 0.6, job.Mend{Do: job.Give}, false},
	} {
		p := &Spot{Spot: weak.Spot{Kind: c.kind, WidthMM: c.width * w}, Of: sheet("red")}
		if got := s.staysClean(p, c.mend); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
