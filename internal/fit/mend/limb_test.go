package mend

import (
	"testing"

	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// What sticks out into the blank and runs out to a tip that one does not see is a spike. A rod is none, nor what lies between
// two others, nor a piece of its own.
func TestSpike_RunsOutToNothing(t *testing.T) {
	bare := []Neighbour{{own.Bare, 5}}
	for name, c := range map[string]struct {
		spot Spot
		want bool
	}{
		"a spike":          {Spot{Spot: weak.Spot{Kind: weak.Sliver, WidthMM: 0.02, LengthMM: 2.4, AreaMM2: 0.95}, Neighbours: bare}, true},
		"a rod":            {Spot{Spot: weak.Spot{Kind: weak.Sliver, WidthMM: 0.5, LengthMM: 2.4, AreaMM2: 1.2}, Neighbours: bare}, false},
		"a hair":           {Spot{Spot: weak.Spot{Kind: weak.Sliver, WidthMM: 0.05, LengthMM: 2.4, AreaMM2: 0.12}, Neighbours: bare}, false},
		"between two":      {Spot{Spot: weak.Spot{Kind: weak.Sliver, WidthMM: 0.02, LengthMM: 2.4, AreaMM2: 0.95}, Neighbours: []Neighbour{{sheet("red"), 3}, {own.Bare, 2}}}, false},
		"a piece":          {Spot{Spot: weak.Spot{Kind: weak.Sliver, WidthMM: 0.02, LengthMM: 2.4, AreaMM2: 0.95, Whole: true}, Neighbours: bare}, false},
		"a point, blunted": {Spot{Spot: weak.Spot{Kind: weak.Point, WidthMM: 0.02, LengthMM: 2.4, AreaMM2: 0.95}, Neighbours: bare}, false},
	} {
		if got := spike(&c.spot); got != c.want {
			t.Errorf("%s: %t", name, got)
		}
	}
}
