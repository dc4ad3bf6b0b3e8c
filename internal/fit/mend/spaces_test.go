package mend

import (
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
)

// Bars of 0.5 mm are drawn 1 mm broad: those 0.4 mm apart run together, those 0.8 mm apart do not,
// and one alone has all the room there is.
func TestCloses_SpacesBetweenWhatIsDrawnBroader(t *testing.T) {
	bars := func(n int, apart, broad float64) (out geometry.Path) {
		for k := range n {
			out = append(out, geometry.RectXYWH(float64(k)*(0.5+apart)-broad/2, 0, broad, 10).Path()...)
		}
		return out
	}
	for _, c := range []struct {
		n     int
		apart float64
		want  bool
	}{{4, 0.4, true}, {4, 0.8, false}, {1, 0, false}} {
		drawn, broader := bars(c.n, c.apart, 0.5), bars(c.n, c.apart, 1)
		a := &attempt{of: sheet("red"), members: []member{{drawn.Bounds(), geometry.NewEnclosure(drawn)}}}
		for k := range c.n {
			x := float64(k) * (0.5 + c.apart)
			a.spots = append(a.spots, &Spot{Spot: weak.Spot{Spine: [][2]geometry.Point{{geometry.Pt(x, 1), geometry.Pt(x, 9)}}}})
		}
		p := &picture{drawn: sheets{a.of: geometry.NewEnclosure(drawn)}}
		now := sheets{a.of: geometry.NewEnclosure(broader)}
		if got := p.closes(now, a, []job.Mend{{Do: job.Broaden}}, 1); got != c.want {
			t.Errorf("%d bars %g mm apart: %t", c.n, c.apart, got)
		}
	}
}
