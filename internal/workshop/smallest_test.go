package workshop

import (
	"context"
	"math"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
)

// smallestOf finds from which width on a drawing of 60 × 40 units can be cut that is 60 mm wide.
func smallestOf(t *testing.T, shapes string) Smallest {
	t.Helper()
	ctx := context.Background()
	j, err := OpenSVG(ctx, "card.svg", strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 40">`+shapes+`</svg>`))
	if err == nil {
		j, err = Size(ctx, j, 60, 0)
	}
	if err == nil {
		j, err = job.KnockOutAll(j)
	}
	if err != nil {
		t.Fatal(err)
	}
	p, err := fit.Compute(ctx, j)
	if err != nil {
		t.Fatal(err)
	}
	s, err := FindSmallest(ctx, p, j)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A line of 0.5 mm in a picture of 60 mm can be cut from 120 mm on, where 1 mm can.
func TestFindSmallest_IsWhereTheThinnestLineCanBeCut(t *testing.T) {
	s := smallestOf(t, `<path fill="#28a" d="M0 0h60v40H0z"/><path fill="#fa0" d="M5 20h50v.5H5z"/>`)
	if math.Abs(s.WidthMM-120) > 3 || s.ThreeQuarters != 1 || s.Half != 1 {
		t.Errorf("%+v", s)
	}
}

// Where nothing is thin there is no size from which it is not: that is said, and no bound of the search.
func TestFindSmallest_OfWhatIsThinNowhereSaysNoSize(t *testing.T) {
	s := smallestOf(t, `<path fill="#28a" d="M0 0h60v40H0z"/>`)
	if m, ok := s.Message(); !ok || m.ID != "smallest-none" || math.Abs(float64(m.Values["width"].(message.MM))-7.5) > 0.3 {
		t.Errorf("%+v, %+v", s, m)
	}
}
