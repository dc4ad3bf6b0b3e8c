package thing

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// sun returns n rays around half a circle, each from a radius on, a long one and a short one by turns. drawn
// tells whether a pen drew them; else they are bars.
func sun(n int, from, long, short float64, drawn bool) (out []job.Shape) {
	for k := range n {
		length := long
		if k%2 == 1 {
			length = short
		}
		ray := pen(from, 0, length, 0.5)
		if !drawn {
			ray.Centre = nil
		}
		out = append(out, job.TransformShapes([]job.Shape{ray}, geometry.Rotate(math.Pi*float64(k)/float64(n-1)))...)
	}
	return out
}

// Rays that come together at a sun end sooner there, every other one and all by as much: all are as broad,
// as far apart as they must be, and end where they did on the other side.
func TestDraw_RaysThatComeTogetherEndSooner(t *testing.T) {
	for name, x := range map[string]struct {
		long, short float64
		drawn       bool
	}{"drawn": {15, 8, true}, "of one length": {15, 15, true}, "bars": {15, 8, false}} {
		rays := sun(31, 14.5, x.long, x.short, x.drawn)
		m := job.Mend{Do: job.Broaden, Apart: true, At: geometry.Pt(16, 0), Drawn: 0.5, WidthMM: 1}
		out, made := draw(t, wide, m, rays...)
		if len(made) != 1 {
			t.Fatalf("%s: %+v", name, made)
		}
		things := find(t, out...)
		if len(things) != len(rays) {
			t.Errorf("%s: %d rays", name, len(things))
		}
		starts := map[string]int{}
		for i := range things {
			things[i].Group = 0
			if w := things[i].WidthMM; math.Abs(w-1) > 0.03 {
				t.Errorf("%s: a ray %.2f mm broad", name, w)
			}
			near, far := math.Inf(1), 0.0
			for _, c := range things[i].Outline {
				for p := range c.Sides() {
					near, far = math.Min(near, p.Len()), math.Max(far, p.Len())
				}
			}
			end, start := 14.5+x.short, 14.5
			if i%2 == 0 {
				end = 14.5 + x.long
			}
			if !x.drawn { // what no pen drew grows all around
				end, start = end+0.25, start-0.25
			}
			if math.Abs(far-math.Hypot(end, 0.5)) > 0.02 {
				t.Errorf("%s: a ray ends at %.2f mm, want %.2f", name, far, end)
			}
			switch {
			case math.Abs(near-start) < 0.02:
				starts["as drawn"]++
			case near > 17 && near < 20.5:
				starts["sooner"]++
			default:
				t.Errorf("%s: a ray begins at %.2f mm", name, near)
			}
		}
		if starts["as drawn"] < 15 || starts["sooner"] < 15 {
			t.Errorf("%s: %v", name, starts)
		}
		if gap := Gap(things, 0); gap < 1 {
			t.Errorf("%s: a gap of %.2f mm", name, gap)
		}
	}
}

// Rays with enough room between them stay as long as they are, and so do those of which too little
// would be left, and lines that touch.
func TestSpread_LeavesWhatHasRoomOrNone(t *testing.T) {
	zigzag := []job.Shape{}
	for k := range 8 {
		a, b := geometry.Pt(float64(4*k), 0), geometry.Pt(float64(4*k+4), float64(20*((k+1)%2)))
		if k%2 == 1 {
			a.Y = 20
		}
		s := job.Shape{Path: band([]geometry.Point{a, b}, 0.25, buttCap)}
		s.Centre = geometry.Path{polyline(a, b)}
		zigzag = append(zigzag, s)
	}
	for name, shapes := range map[string][]job.Shape{"room": sun(9, 14.5, 15, 8, true), "none": sun(91, 14.5, 15, 8, true), "touching": zigzag} {
		things := find(t, shapes...)
		if got := Spread(things, things[0].Group, 1); len(got) > 0 {
			t.Errorf("%s: %d end sooner", name, len(got))
		}
	}
}
