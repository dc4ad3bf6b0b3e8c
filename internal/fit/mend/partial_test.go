package mend

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// stepped returns a settler that has a band of a layer stepped by n mends from a place on, one leading to the
// next, with a spot left to do beside them or not.
func stepped(t *testing.T, from float64, n int, left bool) (*settler, *drawnSo) {
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
	for i := range n {
		x := from + 2*float64(i)
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

// Three steps in a band are a lump, and are taken back all together, as is one in what stays thin; one of which
// nothing is left stays, and so does what the job had before.
func TestPartly_IsARowOfStepsOrOneInWhatStaysThin(t *testing.T) {
	for _, c := range []struct {
		steps, back int
		left        bool
	}{{3, 3, true}, {3, 3, false}, {1, 1, true}, {1, 0, false}} {
		s, was := stepped(t, 29.4, c.steps, c.left) // one alone lies in the middle
		if back, err := s.partly(t.Context(), job.Job{}, was); err != nil || len(back) != c.back {
			t.Errorf("%+v: %v, %v", c, err, back)
		}
	}
	s, was := stepped(t, 10, 3, true)
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

// A comb whose twelve gaps of half a millimetre were closed is a comb no more; one of which a single gap was closed is.
func TestPartly_IsWhatBecameABlot(t *testing.T) {
	for closed, want := range map[int]int{12: 12, 1: 0} {
		j := sketch.Art(t, "green rect 0 0 60 30 knock", "blue rect 10 10 19 2 + rect 10 12 1 3 + rect 11.5 12 1 3 + rect 13 12 1 3 + rect 14.5 12 1 3 + rect 16 12 1 3 + rect 17.5 12 1 3 + rect 19 12 1 3 + rect 20.5 12 1 3 + rect 22 12 1 3 + rect 23.5 12 1 3 + rect 25 12 1 3 + rect 26.5 12 1 3 + rect 28 12 1 3 knock")
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		s := &settler{mending: m, settings: j.Settings}
		was, err := s.remember(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for i := range closed {
			x := 11 + 1.5*float64(i)
			s.had = append(s.had, Made{Mend: job.Mend{Layer: 1, At: geometry.Pt(x, 13), Do: job.Give}, Of: sheet("green")})
			s.layers = append(s.layers, layer{path: geometry.RectXYWH(x, 12, 0.5, 3).Path(), from: taker{of: sheet("green")}, to: sheet("blue"), mend: i})
		}
		if err := s.lay(t.Context()); err != nil {
			t.Fatal(err)
		}
		if back, err := s.partly(t.Context(), job.Job{}, was); err != nil || len(back) != want {
			t.Errorf("%d closed: %v, %v", closed, err, back)
		}
	}
}

// Several mends that took corners away show where a good part of what they were for is left: the net that they made
// lumps of is listed all the same. One blunted corner beside what is listed does not, nor do several of which nothing is left.
func TestShows_IsWhatBecameLumpsAndIsListedAllTheSame(t *testing.T) {
	for _, c := range []struct {
		steps int
		left  bool
		turns float64
		want  bool
	}{{2, true, -1.2 * math.Pi, true}, {2, true, -0.8 * math.Pi, false}, {2, false, -1.2 * math.Pi, false}, {1, true, -1.2 * math.Pi, false}} {
		s, was := stepped(t, 30.4-float64(c.steps), c.steps, c.left) // in the middle, or the picture would be lopsided
		g := sideBySide(s.laidSince(job.Job{}), 2)[0]
		if g.turns = c.turns; len(g.mends) != c.steps {
			t.Fatalf("%d mends are side by side", len(g.mends))
		}
		if got := s.shows(&g, was); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
		// One of several points of which a half takes the tip is done as the others are, whatever is left beside it.
		g.mends[0].Spot, g.mends[0].Do, g.mends[0].WidthMM = job.Tip, job.Give, halfCut*s.settings.Narrowest()
		if s.shows(&g, was) {
			t.Errorf("%+v: so does a half that took a tip", c)
		}
	}
}

// What does not show any more comes back by taking the mends back that lie over it, wherever their spots are: a scrap
// in the corner of a picture was hidden by the far end of a line that became broad, and stayed so.
func TestWithout_TakesBackWhatLiesOverWhatIsHidden(t *testing.T) {
	for name, c := range map[string]struct {
		at   []geometry.Point
		left []float64 // where the spots are of what stays
	}{
		"under one":   {[]geometry.Point{geometry.Pt(12.6, 14.2)}, []float64{10, 14}},
		"beside them": {[]geometry.Point{geometry.Pt(11.5, 14.2), geometry.Pt(12.6, 16.2)}, []float64{10, 12, 14}},
		"nothing":     {nil, []float64{10, 12, 14}},
	} {
		s, _ := stepped(t, 10, 3, true)
		var j job.Job
		j.Items = []job.Item{{}}
		for i := range s.had {
			s.had[i].At = geometry.Pt(50, 5)
			j.Items[0].Mends = append(j.Items[0].Mends, s.had[i].Mend)
		}
		s.hidden = c.at
		out, err := s.without(j, job.Job{}, nil)
		if err != nil {
			t.Fatal(err)
		}
		var left []float64
		for _, m := range out.Items[0].Mends {
			left = append(left, m.At.X)
		}
		if !slices.Equal(left, c.left) {
			t.Errorf("%s: at %v, want %v", name, left, c.left)
		}
	}
}
