package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// settling looks at what is thin of a comb of teeth, each broader than the one before.
func settling(t *testing.T) *settler {
	t.Helper()
	j := sketch.Art(t, "red rect 0 0 120 30 knock", "green rect 0 0 1 1 knock")
	corners := []geometry.Point{geometry.Pt(5, 25)}
	for x, width := 5.0, 0.3; x < 110; x, width = x+width+2.5, width+0.1 {
		corners = append(corners, geometry.Pt(x, 20), geometry.Pt(x+width/2, 8), geometry.Pt(x+width, 20))
	}
	corners = append(corners, geometry.Pt(115, 20), geometry.Pt(115, 25))
	j = shaped(j, 1, corners...)
	laid, err := layOut(t.Context(), j, &memory{surrounds: new(own.Surrounds)})
	if err != nil {
		t.Fatal(err)
	}
	s, err := startSettling(t.Context(), &j, laid)
	if err != nil {
		t.Fatal(err)
	}
	s.spent, s.apart = new(int), new(bool)
	s.sortOpen()
	return s
}

func TestSolveAhead_FindsWhatIsFoundOneAfterTheOther(t *testing.T) {
	s, one := settling(t), settling(t)
	if len(s.open) <= atOnce {
		t.Fatalf("%d spots are solved at once", len(s.open))
	}
	known, err := s.solveAhead(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	mends := func(o *openSpot) []job.Mend {
		if o.solved == nil {
			return nil
		}
		return o.solved.mends
	}
	some := 0
	for i, o := range one.open {
		if err := one.solveOnce(t.Context(), o, one.areaOf(o)); err != nil {
			t.Fatal(err)
		}
		some += len(mends(o))
		if got := s.open[i]; !known[got] || !slices.Equal(mends(got), mends(o)) {
			t.Errorf("%v: %+v, one after the other %+v", o.At, mends(got), mends(o))
		}
	}
	if some == 0 || *s.spent != *one.spent {
		t.Errorf("%d mends, %d edges were laid, one after the other %d", some, *s.spent, *one.spent)
	}
}

// Beyond, what is tried about a spot hangs on what those before it took.
func TestSolveAhead_EndsWhereTimeIsShort(t *testing.T) {
	s := settling(t)
	*s.spent = s.comparing() - 10
	known, err := s.solveAhead(t.Context())
	if err != nil || len(known) > 0 || *s.spent != s.comparing()-10 {
		t.Errorf("%d spots, %d edges, %v", len(known), *s.spent, err)
	}
	if i := slices.IndexFunc(s.open, func(o *openSpot) bool { return o.solved != nil }); i >= 0 {
		t.Errorf("spot %d is solved", i)
	}
}
