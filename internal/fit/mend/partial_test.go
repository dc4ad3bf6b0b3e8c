package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// stepped returns a settler that has a band of a layer stepped by mends at some places, one leading to the
// next, with a spot left to do beside them or not.
func stepped(t *testing.T, left bool) (*settler, *drawnSo) {
	t.Helper()
	j := sketch.Art(t, "green rect 0 0 60 30 knock", "blue rect 0 14.6 60 0.8 knock")
	m, err := start(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	s := &settler{mending: m, settings: j.Settings}
	spots, err := m.spots(t.Context(), j.Settings, nil)
	if err != nil || len(spots) != 1 {
		t.Fatal(err, spots)
	}
	s.open = []*openSpot{{Spot: spots[0]}}
	was, err := s.remember(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		x := 10 + 2*float64(i)
		s.had = append(s.had, Made{Mend: job.Mend{Layer: 2, At: geometry.Pt(x, 15), Do: job.Widen}, Of: sheet("blue")})
		s.layers = append(s.layers, layer{path: geometry.RectXYWH(x, 14, 1.2, 2).Path(), from: taker{everyone: true}, to: sheet("blue"), mend: i})
	}
	if err := s.lay(t.Context()); err != nil {
		t.Fatal(err)
	}
	if !left {
		s.open = nil
	}
	return s, was
}

// Three steps in a band that stays thin are taken back all together; in one of which nothing is left
// they stay, and so does what the job had before.
func TestPartly_IsARowOfStepsInWhatStaysThin(t *testing.T) {
	for _, left := range []bool{true, false} {
		s, was := stepped(t, left)
		back, err := s.partly(t.Context(), job.Job{}, was)
		if err != nil || len(back) != map[bool]int{true: 3, false: 0}[left] {
			t.Errorf("left %t: %v, %v", left, err, back)
		}
	}
	// So are they where only a crumb of it stays thin: that outlines turn twice as much as ruins a thing is not worth it.
	s, was := stepped(t, true)
	s.open[0].AreaMM2 = 0.3
	if left, before := s.toDo(&s.open[0].Spot, s.settings), s.toDo(&was.spots[0], s.settings); left > partialShare*before {
		t.Fatalf("%g of %g mm² are left", left, before)
	}
	if back, err := s.partly(t.Context(), job.Job{}, was); err != nil || len(back) != 3 {
		t.Errorf("a crumb is left: %v, %v", err, back)
	}
	s, was = stepped(t, true)
	asked := job.Job{Items: []job.Item{{Mends: []job.Mend{s.had[0].Mend, s.had[1].Mend, s.had[2].Mend}}}}
	if back, err := s.partly(t.Context(), asked, was); err != nil || len(back) > 0 {
		t.Errorf("of what was asked for: %v, %v", err, back)
	}
}

// Two mends 0.8 mm apart belong together where each reaches half a millimetre further, a third one
// 5 mm away does not.
func TestSideBySide_JoinsWhatLeadsToTheNext(t *testing.T) {
	var mends []mendGroup
	for _, x := range []float64{0, 9, 1.8, 3.6} {
		mends = append(mends, mendGroup{mends: []Made{{SpotMM: x}}, areas: []geometry.Rect{geometry.RectXYWH(x, 0, 1, 1)}})
	}
	var got []int
	for _, g := range sideBySide(mends, 0.5) {
		got = append(got, len(g.mends))
	}
	if slices.Sort(got); !slices.Equal(got, []int{1, 3}) {
		t.Errorf("groups of %v", got)
	}
}
