package board

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit"
)

func TestLayout_MirrorsOnceAndKeepsSheetsApart(t *testing.T) {
	p := &fit.Plan{}
	p.Page, p.Separations = geometry.RectXYWH(10, 20, 100, 60), make([]fit.Separation, 7)
	l := layoutOf(Sheets, p)
	var seen []geometry.Rect
	for i := range 7 {
		m := l.at(i)
		if m.Det() != -1 {
			t.Errorf("sheet %d: determinant %g", i, m.Det())
		}
		r := m.MapRect(p.Page)
		if !l.sheet(i).Encloses(r) {
			t.Errorf("sheet %d: %v lies outside %v", i, r, l.sheet(i))
		}
		for _, o := range seen {
			if x := o.Intersect(l.sheet(i)); !x.Empty() {
				t.Errorf("sheet %d lies over another", i)
			}
		}
		seen = append(seen, l.sheet(i))
	}
	a := layoutOf(Assembly, p)
	if got := a.at(3).Apply(geometry.Pt(10, 20)); math.Abs(got.X-110)+math.Abs(got.Y-20) > 1e-12 {
		t.Errorf("the left edge lies at %v", got)
	}
	if layoutOf(Fitted, p).at(2) != geometry.Identity() {
		t.Error("the fitted view is not as it is")
	}
}
