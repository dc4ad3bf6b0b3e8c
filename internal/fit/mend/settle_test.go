package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/parallel"
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

// What is tried hangs on what was spent before: each is judged by what it is in its turn.
func TestSolveNext_FindsWhatIsFoundOneAfterTheOther(t *testing.T) {
	mends := func(o *openSpot) []job.Mend {
		if o.solved == nil {
			return nil
		}
		return o.solved.mends
	}
	all := 0
	for _, spent := range []int{0, comparing / 2, thorough - 100, thorough, most - 100, most + 1} {
		s, one := settling(t), settling(t)
		*s.spent, *one.spent = spent, spent
		known, redone := map[*openSpot]ahead{}, 0
		for i, o := range one.open {
			if err := one.solveOnce(t.Context(), o, one.areaOf(o)); err != nil {
				t.Fatal(err)
			}
			got, before := s.open[i], *s.spent
			if err := s.solveNext(t.Context(), s.open[i:], nil, known); err != nil {
				t.Fatal(err)
			}
			if !known[got].holds(before) {
				redone++
			}
			if !slices.Equal(mends(got), mends(o)) || *s.spent != *one.spent {
				t.Errorf("%v, from %d: %+v at %d, one after the other %+v at %d", o.At, spent, mends(got), *s.spent, mends(o), *one.spent)
			}
			all += len(mends(o))
		}
		if len(known) != len(s.open) {
			t.Errorf("from %d: %d of %d spots were solved ahead", spent, len(known), len(s.open))
		}
		if short := spent >= thorough-100 && spent <= most; short != (redone > 0) {
			t.Errorf("from %d: %d of %d were solved again", spent, redone, len(s.open))
		}
	}
	if all == 0 {
		t.Error("nothing was mended")
	}
}

// Beyond comparing, what lies beside something that was found waits for it.
func TestNextFew_TakesNothingThatWillWait(t *testing.T) {
	s := settling(t)
	if few := s.nextFew(s.open, nil, nil); len(few) != parallel.Workers || few[0] != s.open[0] {
		t.Fatalf("%d of %d", len(few), len(s.open))
	}
	*s.spent = s.comparing()
	for _, few := range [][]*openSpot{s.nextFew(s.open, nil, nil), s.nextFew([]*openSpot{s.open[0], s.open[0], s.open[1]}, nil, nil)} {
		for i, o := range few[1:] {
			if !s.areaOf(few[i]).Intersect(s.areaOf(o)).Empty() {
				t.Errorf("%v is solved with %v", o.At, few[i].At)
			}
		}
	}
	*s.spent++
	found := []solution{{area: s.areaOf(s.open[1])}}
	if few := s.nextFew(s.open, found, nil); slices.Contains(few, s.open[1]) {
		t.Error("what waits is solved")
	}
}
