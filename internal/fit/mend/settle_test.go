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
	for _, spent := range []int{0, comparing / 2, thorough - 100, thorough, most - 10, most + 1} {
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

// Vanes that were drawn to abut a post, with 0.0013 mm between them on the left and over each other by as much on the right,
// become one with it, and one side as the other: that one sees no slit, nor that what ended at it was thin. Their points were made broad first.
func TestAll_ASlitBetweenWhatWasDrawnToAbutGoesFirst(t *testing.T) {
	const by = 0.0013
	j := sketch.Art(t, "#deeeff circle 30 30 30 knock", "#2e3ecd rect 21 12 18 36 knock", "#2e3ecd rect 0 0 1 1 knock")
	var vanes []job.Shape
	for _, y := range []float64{15, 26, 37} {
		for _, at := range [][2]float64{{21 - by, 16}, {39 - by, 44}} {
			vanes = append(vanes, job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(at[0], y), geometry.Pt(at[0], y+9), geometry.Pt(at[1], y+3), geometry.Pt(at[1], y))}})
		}
	}
	j.Items[0].Layers[2].Content = job.Outlines{Shapes: vanes}
	laid, spots := allMended(t, j)
	blue := laid.Separations[slices.IndexFunc(laid.Materials, func(m own.Material) bool { return m.Colour == rgbOf(t, "#2e3ecd") })]
	if len(spots) > 0 || len(blue.Pieces) != 1 {
		t.Errorf("left: %v; %d pieces", spots, len(blue.Pieces))
	}
}
