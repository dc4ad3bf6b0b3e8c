package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

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
