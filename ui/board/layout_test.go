package board

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit"
)

func TestLayout_MirrorsOnceAndKeepsCardsApart(t *testing.T) {
	p := &fit.Plan{}
	p.Page = geometry.RectXYWH(10, 20, 100, 60)
	for _, n := range []int{1, 2, 3, 7, 40} {
		p.Separations = make([]fit.Separation, n)
		l := layoutOf(Sheets, p)
		var seen []geometry.Rect
		for i := range n {
			m := l.at(i)
			if want := map[bool]float64{true: -1, false: -laidScale * laidScale}[i == 0]; math.Abs(m.Det()-want) > 1e-12 {
				t.Errorf("sheet %d of %d: determinant %g, want %g", i, n, m.Det(), want)
			}
			r := m.MapRect(p.Page)
			if !l.sheet(i).Encloses(r) || !l.card(i).Encloses(l.sheet(i)) || !l.extent().Encloses(l.card(i)) {
				t.Errorf("sheet %d of %d: %v lies outside %v, %v, %v", i, n, r, l.sheet(i), l.card(i), l.extent())
			}
			for k, o := range seen {
				if x := o.Intersect(l.card(i)); !x.Empty() {
					t.Errorf("card %d of %d lies over card %d", i, n, k)
				}
			}
			seen = append(seen, l.card(i))
		}
		// Row by row, as they are numbered; the whole about as a screen is.
		for i := 2; i < n; i++ {
			if a, b := seen[i-1].Min, seen[i].Min; b.Y < a.Y || b.Y == a.Y && b.X <= a.X {
				t.Errorf("card %d of %d does not come after the one before", i, n)
			}
		}
		if e := l.extent(); n > 2 && (e.Width() > 4*e.Height() || e.Height() > 2*e.Width()) {
			t.Errorf("%d cards take %g × %g", n, e.Width(), e.Height())
		}
	}
	a := layoutOf(Assembly, p)
	if got := a.at(3).Apply(geometry.Pt(10, 20)); math.Abs(got.X-110)+math.Abs(got.Y-20) > 1e-12 {
		t.Errorf("the left edge lies at %v", got)
	}
	if layoutOf(Fitted, p).at(2) != geometry.Identity() {
		t.Error("the fitted view is not as it is")
	}
}
