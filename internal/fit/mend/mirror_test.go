package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Of two squares on the halves of a picture a corner is cut off one, by 0.2 mm or by one: that shows, unless the
// other loses the same; in a picture that is not symmetric elsewhere the larger one does, and neither where the squares
// are no mirror images.
func TestPartly_IsWhatMakesHalvesDiffer(t *testing.T) {
	const both = "blue rect 10 10 5 5 + rect 45 10 5 5 knock"
	for _, c := range []struct {
		drawn         string
		left, right   float64 // how large corners are cut off
		symmetric     bool
		lopsidedMends int
	}{
		{both, 1, 0, true, 1},
		{both, 0.2, 0, true, 1},
		{both, 1, 0.8, true, 1}, // and without it the other one
		{both, 1, 1, true, 0},
		{both + " + rect 20 20 5 5", 1, 0, false, 1},
		{both + " + rect 20 20 5 5", 0.2, 0, false, 0},
		{"blue rect 10 10 5 5 + rect 45 10 5 7 + rect 49 9 3 3 knock", 1, 0, false, 0},
	} {
		j := sketch.Art(t, "green rect 0 0 60 30 knock", c.drawn)
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		s := &settler{mending: m, settings: j.Settings}
		was, err := s.remember(t.Context())
		if err != nil || was.isSymmetric(s) != c.symmetric {
			t.Fatalf("%+v: symmetric %t, %v", c, was.symmetric, err)
		}
		cut := func(x, size float64) {
			if size > 0 {
				s.layers = append(s.layers, layer{path: geometry.RectXYWH(x, 10, size, size).Path(), from: taker{of: sheet("blue")}, to: sheet("green"), mend: len(s.had)})
				s.had = append(s.had, Made{Mend: job.Mend{Layer: 2, At: geometry.Pt(x, 10), Do: job.Give}, Of: sheet("blue")})
			}
		}
		cut(10, c.left)
		cut(50-c.right, c.right)
		if err := s.lay(t.Context()); err != nil {
			t.Fatal(err)
		}
		if back, err := s.partly(t.Context(), job.Job{}, was); err != nil || len(back) != c.lopsidedMends {
			t.Errorf("%+v: %v, %v", c, err, back)
		}
	}
}

// horned looks at what is thin of a box with a horn on each side, of which the right one reaches some mm further.
func horned(t *testing.T, further float64) (_ *settler, left, right *openSpot) {
	t.Helper()
	j := shaped(sketch.Art(t, "green rect 0 0 60 30 knock", "blue rect 0 0 1 1 knock"), 1,
		geometry.Pt(20, 10), geometry.Pt(40, 10), geometry.Pt(40, 14.2), geometry.Pt(46+further, 15), geometry.Pt(40, 15.8), geometry.Pt(40, 20),
		geometry.Pt(20, 20), geometry.Pt(20, 15.8), geometry.Pt(14, 15), geometry.Pt(20, 14.2))
	laid, err := layOut(t.Context(), j, &memory{surrounds: new(own.Surrounds)})
	if err != nil {
		t.Fatal(err)
	}
	s, err := startSettling(t.Context(), &j, laid)
	if err != nil || len(s.open) != 2 {
		t.Fatal(err, len(s.open))
	}
	s.spent, s.apart = new(int), new(bool)
	left, right = s.open[0], s.open[1]
	if left.At.X > right.At.X {
		left, right = right, left
	}
	return s, left, right
}

// What was done about one horn of two is done about the other, though by itself that would get something else; unless
// it was drawn otherwise.
func TestSolve_DoesOnBothHalvesAlike(t *testing.T) {
	for _, c := range []struct {
		further float64
		alike   bool
	}{{0, true}, {2, false}} {
		s, left, right := horned(t, c.further)
		alone, ok, err := s.solve(t.Context(), left, s.areaOf(left))
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		other := s.about(&right.Spot, 0)
		other.Do, other.To, other.Chosen = job.Give, sheet("green").Colour, true
		if does(alone.mends[0], other) {
			t.Fatalf("%+v is done anyway", other)
		}
		s.made, s.areas = []job.Mend{other}, []geometry.Rect{right.Bounds}
		got, ok, err := s.solve(t.Context(), left, s.areaOf(left))
		if err != nil || !ok || does(got.mends[0], other) != c.alike || got.mends[0].At == other.At {
			t.Errorf("%+v: %t, %v, %+v", c, ok, err, got.mends)
		}
	}
}

// Of mirror images for which different things were found one waits for the other, and nothing beside it is done instead;
// those that were drawn otherwise do not.
func TestSolutions_AreAlikeOnBothHalves(t *testing.T) {
	for _, c := range []struct {
		further float64
		differ  bool
		cases   int
	}{{0, true, 1}, {0, false, 2}, {2, true, 2}} {
		s, left, right := horned(t, c.further)
		for _, o := range s.open {
			if err := s.solveOnce(t.Context(), o, s.areaOf(o)); err != nil || o.solved == nil {
				t.Fatal(err)
			}
		}
		left.solved.mends[0].Chosen = c.differ
		if c.differ == slices.EqualFunc(left.solved.mends, right.solved.mends, does) {
			t.Fatalf("%+v, %+v", left.solved.mends, right.solved.mends)
		}
		left.solved.bends = right.solved.bends + 0.01
		beside, next := *left, *left.solved
		beside.At = beside.At.Add(geometry.Pt(0.5, 0))
		next.spot, next.bends, beside.solved = &beside, right.solved.bends+0.02, &next
		s.open = append(s.open, &beside)
		if cases, err := s.solutions(t.Context()); err != nil || len(cases) != c.cases {
			t.Errorf("%+v: %v, %d cases", c, err, len(cases))
		}
	}
}
