package mend

import (
	"testing"

	"abut/geometry"
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
		if err != nil || was.symmetric != c.symmetric {
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
