package weak

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
)

// clean is the outline of what the paths cover together, as a plan's pieces are.
func clean(t testing.TB, paths ...geometry.Path) []geometry.Path {
	t.Helper()
	var l planar.Layer
	for _, p := range paths {
		l.Figures = append(l.Figures, planar.Figure{Path: p})
	}
	m, err := planar.Build(context.Background(), []planar.Layer{l}, planar.Options{SagittaMM: 0.001})
	if err != nil {
		t.Fatal(err)
	}
	labels := m.Label(func(c []int32) int32 {
		if len(c) == 0 {
			return planar.None
		}
		return 0
	})
	d, err := m.Divide(context.Background(), labels)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]geometry.Path, len(d.Pieces))
	for i := range out {
		out[i] = d.Outline(i)
	}
	return out
}

// layered are the pieces that are left where shapes lie over each other, neighbours
// with the same border, as a plan's are.
func layered(t testing.TB, paths []geometry.Path) []geometry.Path {
	t.Helper()
	layers := make([]planar.Layer, len(paths))
	for i, p := range paths {
		layers[i].Figures = []planar.Figure{{Path: p}}
	}
	m, err := planar.Build(context.Background(), layers, planar.Options{SagittaMM: 0.005})
	if err != nil {
		t.Fatal(err)
	}
	labels := m.Label(func(c []int32) int32 {
		if len(c) == 0 {
			return planar.None
		}
		return c[len(c)-1]
	})
	// As a plan is, of what is but rounding.
	if _, err := m.Heal(context.Background(), labels, 0.02); err != nil {
		t.Fatal(err)
	}
	d, err := m.Divide(context.Background(), labels)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]geometry.Path, len(d.Pieces))
	for i := range out {
		out[i] = d.Outline(i)
	}
	return out
}

func rect(x, y, w, h float64) geometry.Path { return geometry.RectXYWH(x, y, w, h).Path() }

func ball(x, y, r float64) geometry.Path {
	return geometry.Path{geometry.Ellipse(geometry.Pt(x, y), r, r)}
}

// turned is a path turned, so that nothing depends on the axes.
func turned(p geometry.Path, deg float64) geometry.Path {
	return p.Transform(geometry.Rotate(deg * math.Pi / 180))
}

func find(t testing.TB, pieces []geometry.Path, o Options) []Spot {
	t.Helper()
	spots, err := Find(context.Background(), pieces, o)
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

func describe(spots []Spot) string {
	var b strings.Builder
	for _, s := range spots {
		fmt.Fprintf(&b, "%v of %d at %.3f,%.3f: width %.4f length %.3f area %.4f, %d lines\n", s.Kind, s.Piece, s.At.X, s.At.Y, s.WidthMM, s.LengthMM, s.AreaMM2, len(s.Spine))
	}
	return b.String()
}

// Shapes whose one thin place is v broad.
var known = []struct {
	name   string
	kind   Kind
	length float64 // of the thin place, 0 when it depends on v
	slack  float64 // what its chords add to the width
	shape  func(v float64) []geometry.Path
}{
	{"dumbbell", Neck, 0, 0, func(v float64) []geometry.Path {
		return []geometry.Path{ball(0, 0, 5), ball(20, 0, 5), rect(0, -v/2, 20, v)}
	}},
	{"dumbbell of squares", Neck, 8, 0, func(v float64) []geometry.Path {
		return []geometry.Path{rect(0, 0, 6, 6), rect(14, 0, 6, 6), rect(5, 3, 10, v)}
	}},
	{"short waist between two discs", Neck, 0, 0.002, func(v float64) []geometry.Path {
		// Corners where the circles meet, so that the width is exact.
		d := math.Sqrt(25 - v*v/4)
		from := math.Asin(v / 10)
		var pts []geometry.Point
		for k := range 401 {
			sin, cos := math.Sincos(from + (2*math.Pi-2*from)*float64(k)/400)
			pts = append(pts, geometry.Pt(-d+5*cos, 5*sin))
		}
		left := geometry.Path{geometry.Polygon(pts...)}
		return []geometry.Path{left, left.Transform(geometry.Rotate(math.Pi))}
	}},
	{"bow tie", Neck, 0, 0, func(v float64) []geometry.Path {
		return []geometry.Path{{geometry.Polygon(geometry.Pt(-6, -4), geometry.Pt(-4, -4), geometry.Pt(0, -v/2), geometry.Pt(4, -4), geometry.Pt(6, -4), geometry.Pt(6, 4), geometry.Pt(4, 4), geometry.Pt(0, v/2), geometry.Pt(-4, 4), geometry.Pt(-6, 4))}}
	}},
	{"handle", Neck, 0, 0.002, func(v float64) []geometry.Path {
		return []geometry.Path{rect(-10, -12, 10, 24), arch(0, 0, 6, v)}
	}},
	{"ring, thin at one place", Neck, 0, 0.002, func(v float64) []geometry.Path {
		return []geometry.Path{{geometry.Ellipse(geometry.Pt(0, 0), 8, 8), reversed(geometry.Ellipse(geometry.Pt(3-v, 0), 5, 5))}}
	}},
	{"comb", Sliver, 6, 0, func(v float64) []geometry.Path {
		return []geometry.Path{rect(0, 0, 20, 4), rect(9, 3, v, 7)}
	}},
	{"tooth with a round end", Sliver, 0, 0.002, func(v float64) []geometry.Path {
		return []geometry.Path{rect(0, 0, 20, 4), rect(9, 3, v, 7), ball(9+v/2, 10, v/2)}
	}},
	{"bar", Sliver, 10, 0, func(v float64) []geometry.Path { return []geometry.Path{rect(0, 0, 10, v)} }},
	{"ring", Sliver, 0, 0.002, func(v float64) []geometry.Path {
		return []geometry.Path{{geometry.Ellipse(geometry.Pt(0, 0), 8, 8), reversed(geometry.Ellipse(geometry.Pt(0, 0), 8-v, 8-v))}}
	}},
	{"gap between two squares", Gap, 10, 0, func(v float64) []geometry.Path {
		return []geometry.Path{rect(0, 0, 10, 10), rect(10+v, 0, 10, 10)}
	}},
	{"slot", Gap, 6, 0, func(v float64) []geometry.Path {
		return []geometry.Path{rect(0, 0, 10, 10), rect(10, 6, v, 4), rect(10+v, 0, 10, 10)}
	}},
}

func reversed(c geometry.Contour) geometry.Contour { return geometry.Path{c}.Reverse()[0] }

// arch is a half ring of mean radius r, v broad, open to the left.
func arch(x, y, r, v float64) geometry.Path {
	var outer, inner []geometry.Point
	const n = 400
	for k := range n + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(k)/n - 0.5))
		outer = append(outer, geometry.Pt(x+(r+v/2)*cos, y+(r+v/2)*sin))
		inner = append(inner, geometry.Pt(x+(r-v/2)*cos, y+(r-v/2)*sin))
	}
	for i := len(inner) - 1; i >= 0; i-- {
		outer = append(outer, inner[i])
	}
	return geometry.Path{geometry.Polygon(outer...)}
}

func TestFind_ThinPlacesOfKnownShapes(t *testing.T) {
	for _, k := range known {
		for _, deg := range []float64{0, 23} {
			for _, v := range []float64{0.1, 0.5, 0.9, 0.98} {
				spots := find(t, turnAll(clean(t, k.shape(v)...), t, deg), Options{WidthMM: 1})
				if len(spots) != 1 || spots[0].Kind != k.kind {
					t.Errorf("%s, %g mm, turned by %g°: want one %v, got\n%s", k.name, v, deg, k.kind, describe(spots))
					continue
				}
				if got := spots[0].WidthMM; math.Abs(got-v) > 0.001+k.slack {
					t.Errorf("%s, turned by %g°: width %.4f, want %g", k.name, deg, got, v)
				}
				if got := spots[0].LengthMM; k.length > 0 && math.Abs(got-k.length) > 0.6 {
					t.Errorf("%s, %g mm, turned by %g°: length %.3f, want %g", k.name, v, deg, got, k.length)
				}
			}
			for _, v := range []float64{1.02, 1.3} {
				if spots := find(t, turnAll(clean(t, k.shape(v)...), t, deg), Options{WidthMM: 1}); len(spots) > 0 {
					t.Errorf("%s, %g mm, turned by %g°: nothing is thin, got\n%s", k.name, v, deg, describe(spots))
				}
			}
		}
	}
}

func turnAll(paths []geometry.Path, t testing.TB, deg float64) []geometry.Path {
	if deg == 0 {
		return paths
	}
	var out []geometry.Path
	for _, p := range paths {
		out = append(out, clean(t, turned(p, deg))...)
	}
	return out
}

func TestFind_CornersCountWhenSharperThanTwiceAtanHalf(t *testing.T) {
	limit := 2 * math.Atan(0.5) * 180 / math.Pi
	for _, deg := range []float64{10, 20, 36, 45, limit - 1, limit + 1, 60, 75, 90, 120} {
		half := deg / 2 * math.Pi / 180
		p := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(20, -20*math.Tan(half)), geometry.Pt(40, 0), geometry.Pt(20, 20*math.Tan(half)))}
		spots := find(t, clean(t, p), Options{WidthMM: 1})
		want := 0
		if deg < limit {
			want = 2
		}
		if len(spots) != want {
			t.Errorf("%.1f°: want %d points, got\n%s", deg, want, describe(spots))
			continue
		}
		for _, s := range spots {
			// The sides of the point are as long as a disc of 1 mm stays away.
			if l := 0.5 / math.Tan(half); s.Kind != Point || math.Abs(s.LengthMM-l) > 0.15 {
				t.Errorf("%.1f°: want a point of %.2f mm, got\n%s", deg, l, describe(spots))
			}
		}
	}
}

func TestFind_StarHasFivePoints(t *testing.T) {
	// SVG 2's star for the fill rules, nonzero: five tips of 36°.
	star := geometry.Path{geometry.Polygon(geometry.Pt(25, 7.5), geometry.Pt(32.3, 30.1), geometry.Pt(13.1, 16.1), geometry.Pt(36.9, 16.1), geometry.Pt(17.7, 30.1))}
	spots := find(t, clean(t, star), Options{WidthMM: 1})
	if len(spots) != 5 {
		t.Fatalf("want five points, got\n%s", describe(spots))
	}
	for _, s := range spots {
		if s.Kind != Point || math.Abs(s.LengthMM-0.5/math.Tan(18*math.Pi/180)) > 0.1 {
			t.Errorf("got\n%s", describe(spots))
		}
	}
}

func TestFind_SpecksAreSmallBothWays(t *testing.T) {
	for _, c := range []struct {
		w, h float64
		want Kind
		n    int
	}{{1.5, 1.5, Speck, 1}, {0.3, 0.4, Speck, 1}, {1.9, 0.2, Speck, 1}, {2.1, 1.5, 0, 0}, {3, 0.5, Sliver, 1}} {
		spots := find(t, clean(t, rect(0, 0, c.w, c.h)), Options{WidthMM: 1, SpeckMM: 2})
		if len(spots) != c.n || c.n > 0 && spots[0].Kind != c.want {
			t.Errorf("%g × %g: got\n%s", c.w, c.h, describe(spots))
		}
		if middle := geometry.Pt(c.w/2, c.h/2); c.want == Speck && (len(spots[0].Spine) != 1 || spots[0].Spine[0] != [2]geometry.Point{middle, middle}) {
			t.Errorf("%g × %g: its middle is %v", c.w, c.h, spots[0].Spine)
		}
	}
}

// A spot that was made up is as smooth as one that was looked for at that width.
func TestWidened_IsSimplifiedWhetherItWasFoundOrNot(t *testing.T) {
	var spine [][2]geometry.Point
	for i := range 40 {
		from, to := float64(i), float64(i+1)
		spine = append(spine, [2]geometry.Point{geometry.Pt(from/10, from*from/4000), geometry.Pt(to/10, to*to/4000)})
	}
	widened := func(s Spot) geometry.Path {
		p, err := s.Widened(context.Background(), 2)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	found, made, fine := widened(Spot{Spine: spine, sought: 2}), widened(Spot{Spine: spine}), widened(Spot{Spine: spine, sought: 0.01})
	if !reflect.DeepEqual(found, made) || len(made[0].Segments) >= len(fine[0].Segments) {
		t.Errorf("%d points where it was found, %d where it was made, %d unless simplified", len(found[0].Segments), len(made[0].Segments), len(fine[0].Segments))
	}
}

// Straight back is half a turn, on the side that the band is on.
func TestAppendArc_GoesHalfATurnWhereTheWayGoesBack(t *testing.T) {
	for _, d := range []float64{1, -1} {
		pts := appendArc(nil, geometry.Pt(0, 0), geometry.Pt(1, 0), geometry.Pt(-1, 0), d, 0.01)
		if len(pts) < 5 || pts[len(pts)-1] != geometry.Pt(-1, 0) {
			t.Fatalf("%v", pts)
		}
		for _, p := range pts[:len(pts)-1] {
			if p.Y*d <= 0 || math.Abs(p.Len()-1) > 1e-9 {
				t.Errorf("to distance %g: over %v", d, p)
			}
		}
	}
}

func TestFind_NeighboursByLengthOfBorder(t *testing.T) {
	pieces := []geometry.Path{rect(0, 0, 10, 5), rect(0, 5, 10, 0.5), rect(0, 5.5, 6, 5), rect(6, 5.5, 4, 5)}
	spots := find(t, pieces, Options{WidthMM: 1})
	if len(spots) != 1 || spots[0].Piece != 1 {
		t.Fatalf("got\n%s", describe(spots))
	}
	n := spots[0].Neighbours
	want := []Neighbour{{0, 10}, {2, 6}, {3, 4}, {NoPiece, 1}}
	if len(n) != len(want) {
		t.Fatalf("neighbours %v", n)
	}
	for i := range want {
		if n[i].Piece != want[i].Piece || math.Abs(n[i].LengthMM-want[i].LengthMM) > 0.01 {
			t.Errorf("neighbours %v, want %v", n, want)
		}
	}
}

// What is widened is nowhere thin any more.
func TestWidened_LeavesNothingThin(t *testing.T) {
	for _, k := range known {
		if k.kind == Gap {
			continue
		}
		for _, v := range []float64{0.2, 0.6, 0.9} {
			pieces := clean(t, k.shape(v)...)
			paths := append([]geometry.Path{}, pieces...)
			for _, s := range find(t, pieces, Options{WidthMM: 1}) {
				wide, err := s.Widened(context.Background(), 1.02)
				if err != nil {
					t.Fatal(err)
				}
				paths = append(paths, wide)
			}
			if spots := find(t, clean(t, paths...), Options{WidthMM: 1, NoGaps: true}); len(spots) > 0 {
				t.Errorf("%s, %g mm: still thin\n%s", k.name, v, describe(spots))
			}
		}
	}
}

// A spike that tapers off to 0.05 mm, or to 0.2 mm, ends in a point as far as anybody sees, and one that is cut off at
// 0.3 mm does not. A wedge of waste that ends so harms nothing.
func TestFind_AHairAtTheEndIsAPoint(t *testing.T) {
	for end, want := range map[float64]Kind{0.05: Point, 0.2: Point, 0.3: Sliver} {
		for _, deg := range []float64{0, 23} {
			spike := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(20, 0), geometry.Pt(20, 4), geometry.Pt(11, 4), geometry.Pt(10+end/2, 10), geometry.Pt(10-end/2, 10), geometry.Pt(9, 4), geometry.Pt(0, 4))}
			spots := find(t, turnAll(clean(t, spike), t, deg), Options{WidthMM: 1})
			if len(spots) != 1 || spots[0].Kind != want {
				t.Errorf("a spike that ends %g mm broad, turned by %g°: want one %v, got\n%s", end, deg, want, describe(spots))
			}
			notch := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(20, 0), geometry.Pt(20, 12), geometry.Pt(11, 12), geometry.Pt(10+end/2, 6), geometry.Pt(10-end/2, 6), geometry.Pt(9, 12), geometry.Pt(0, 12))}
			spots = find(t, turnAll(clean(t, notch), t, deg), Options{WidthMM: 1})
			if gap := len(spots) == 1 && spots[0].Kind == Gap; gap != (want == Sliver) || !gap && len(spots) > 0 {
				t.Errorf("a notch that ends %g mm broad, turned by %g°: got\n%s", end, deg, describe(spots))
			}
		}
	}
}
