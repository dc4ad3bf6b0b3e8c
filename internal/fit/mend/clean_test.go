package mend

import (
	"testing"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// The rim of a hat that was drawn broader, and is not broad enough before the blank beside it, grows the rest of the way to
// both sides. A space or a waist, a rim of which either side would move by more, or one between two others does not.
func TestStaysClean_WhatIsMoreThanHalfBroadGrowsEvenly(t *testing.T) {
	s := &settler{mending: &mending{known: new(asDrawn)}}
	w := s.settings.Narrowest()
	even, blank, sky := job.Mend{Do: job.Widen}, own.Bare, sheet("blue")
	for name, c := range map[string]struct {
		kind   weak.Kind
		beside own.Material
		width  float64
		mend   job.Mend
		want   bool
	}{
		"rim":               {weak.Sliver, blank, 0.6, even, true},
		"waist":             {weak.Neck, blank, 0.6, even, false},
		"between":           {weak.Sliver, sky, 0.6, even, false},
		"thin rim":          {weak.Sliver, blank, 0.4, even, false},
		"space":             {weak.Gap, blank, 0.6, even, false},
		"smooth":            {weak.Sliver, blank, 0.6, job.Mend{Do: job.Widen, Smooth: true}, false},
		"more than it must": {weak.Sliver, blank, 0.6, job.Mend{Do: job.Widen, WidthMM: 1.2}, false},
		"given":             {weak.Sliver, blank, 0.6, job.Mend{Do: job.Give}, false},
	} {
		p := &Spot{Spot: weak.Spot{Kind: c.kind, WidthMM: c.width * w}, Of: sheet("red"), Neighbours: []Neighbour{{sheet("green"), 5}, {c.beside, 5}}}
		if got := s.staysClean(p, c.mend); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
