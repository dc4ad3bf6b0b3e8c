package svgimport

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"abut/geometry"
)

func testPen(width float64) pen {
	return pen{width: width, join: joinRound, cap: capRound, miterLimit: 4, tolerance: 1e-4}
}

func mustOutline(t *testing.T, pn pen, p geometry.Path) geometry.Path {
	t.Helper()
	out, err := pn.outline(p)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func mustPath(t *testing.T, d string) geometry.Path {
	t.Helper()
	p, err := parsePath(d, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The areas are closed forms: bands are length × width, a corner of 90° adds
// h² (miter), πh²/4 (round) or h²/2 (bevel) outside and counts h² twice inside.
func TestStroke_AreasOfCapsAndJoins(t *testing.T) {
	const w, h = 4.0, 2.0
	for _, c := range []struct {
		d    string
		join lineJoin
		cap  lineCap
		want float64
	}{
		{"M10 10h30", joinMiter, capButt, 30 * w},
		{"M10 10h30", joinMiter, capSquare, 34 * w},
		{"M10 10h30", joinMiter, capRound, 30*w + math.Pi*h*h},
		{"M10 10h30v20", joinMiter, capButt, 50*w - h*h + h*h},
		{"M10 10h30v20", joinRound, capButt, 50*w - h*h + math.Pi*h*h/4},
		{"M10 10h30v20", joinBevel, capButt, 50*w - h*h + h*h/2},
		{"M10 10h30v-9", joinMiter, capButt, 39 * w},
		{"M10 10h20v20h-20z", joinMiter, capButt, 24*24 - 16*16},
		{"M10 10v20h20v-20z", joinRound, capButt, 24*24 - 16*16 - (4-math.Pi)*h*h},
		{"M10 10h20v20h-20z", joinBevel, capButt, 24*24 - 16*16 - 4*h*h/2},
		{"M20 20h0", joinMiter, capRound, math.Pi * h * h},
		{"M20 20z", joinMiter, capSquare, w * w},
		{"M20 20C20 20 20 20 20 20", joinMiter, capRound, math.Pi * h * h},
		{"M20 20C20 20 20 20 20 20h10", joinMiter, capButt, 10 * w},
		{"M10 10C10 10 40 10 40 10", joinMiter, capSquare, 34 * w},
		{"M20 20z", joinMiter, capButt, 0},
		{"M10 10h10h10h-20", joinMiter, capButt, 20 * w},
		// Turning back: a round join is half a disc, the others nothing.
		{"M10 10h20h-10", joinRound, capButt, 20*w + math.Pi*h*h/2},
	} {
		out := mustOutline(t, pen{width: w, join: c.join, cap: c.cap, miterLimit: 4, tolerance: 1e-5}, mustPath(t, c.d))
		near(t, fmt.Sprint(c.d, c.join, c.cap), fillArea(out, geometry.NonZero), c.want, 2e-3)
	}
}

// SVG 2, 13.5.5: the miter is cut when its length over the width, 1/sin(θ/2),
// is above the limit. At 60° that is 2.
func TestStroke_MiterLimit(t *testing.T) {
	p := geometry.Path{{Start: geometry.Pt(0, 0), Segments: []geometry.Segment{
		geometry.LineTo(geometry.Pt(40, 0)), geometry.LineTo(geometry.Pt(20, 40*math.Sqrt(3)/2))}}}
	area := func(limit float64) float64 {
		return fillArea(mustOutline(t, pen{width: 4, miterLimit: limit, tolerance: 1e-5}, p), geometry.NonZero)
	}
	// Inside the corner the bands share a kite of h²/tan(30°); outside, the
	// miter is a kite of the same size, the bevel a triangle of h²·sin(120°)/2.
	near(t, "limit 2.01", area(2.01), 80*4, 2e-3)
	near(t, "limit 1.99", area(1.99), 80*4-4/math.Tan(math.Pi/6)+4*math.Sin(2*math.Pi/3)/2, 2e-3)
}

func TestStroke_CircleIsARing(t *testing.T) {
	c := geometry.Path{geometry.Ellipse(geometry.Pt(50, 50), 20, 20)}
	near(t, "ring", fillArea(mustOutline(t, testPen(6), c), geometry.NonZero), 2*math.Pi*20*6, 3e-2)
	// Wider than the circle itself: the inner side sweeps backwards and the hole
	// is gone.
	small := geometry.Path{geometry.Ellipse(geometry.Pt(50, 50), 5, 5)}
	near(t, "disc", fillArea(mustOutline(t, testPen(14), small), geometry.NonZero), math.Pi*12*12, 3e-2)
}

// With round joins and caps a stroke is the set of points within half the
// width of the curve: the slow, obvious oracle. Also, nothing is ever wound
// around backwards.
func TestStroke_RoundIsTheSetOfNearPoints(t *testing.T) {
	const seed = 7
	rnd := rand.New(rand.NewSource(seed))
	pt := func() geometry.Point { return geometry.Pt(rnd.Float64()*100, rnd.Float64()*100) }
	for n := 0; n < rounds(150, 42); n++ {
		c := geometry.Contour{Start: pt()}
		for k := 0; k <= n%3; k++ {
			a, b, e := pt(), pt(), pt()
			switch from := c.End(); n % 7 {
			case 1:
				a = from // the derivative vanishes at the start
			case 2:
				b = e
			case 3: // straight, turning back
				d := e.Sub(from)
				a, b = from.Add(d.Mul(1.5)), from.Sub(d.Mul(0.4))
			case 4: // a true cusp: the controls' diagonals meet in parallelogram
				a, b = from.Add(geometry.Pt(30, 20)), from.Add(geometry.Pt(0, 20))
				e = from.Add(geometry.Pt(30, 0))
			}
			c.Segments = append(c.Segments, geometry.CubicTo(a, b, e))
		}
		c.Closed = n%5 == 0
		width := math.Exp(rnd.Float64()*5 - 1)
		p := geometry.Path{c}
		out := mustOutline(t, testPen(width), p).Flatten(1e-4)
		line := p.Flatten(1e-4)
		box := p.Bounds().Grow(width)
		for k := 0; k < 200; k++ {
			q := geometry.Pt(box.Min.X+rnd.Float64()*box.Width(), box.Min.Y+rnd.Float64()*box.Height())
			d := distance(line, q) - width/2
			w := winding(out, q)
			if w < 0 {
				t.Fatalf("seed %d, curve %d: winding %d at %v\n%+v width %g", seed, n, w, q, c, width)
			}
			if math.Abs(d) > 3e-3 && (w != 0) != (d < 0) {
				t.Fatalf("seed %d, curve %d: %v lies %g from the edge, winding %d\n%+v width %g", seed, n, q, d, w, c, width)
			}
		}
	}
}

func distance(p geometry.Path, q geometry.Point) float64 {
	best := math.Inf(1)
	seg := func(a, b geometry.Point) {
		d := b.Sub(a)
		k := 0.0
		if l := d.Dot(d); l > 0 {
			k = clamp01(q.Sub(a).Dot(d) / l)
		}
		best = math.Min(best, q.Sub(a.Add(d.Mul(k))).Len())
	}
	for _, c := range p {
		from := c.Start
		for _, s := range c.Segments {
			seg(from, s.End)
			from = s.End
		}
		if c.Closed {
			seg(from, c.Start)
		}
	}
	return best
}

func TestDash_LengthsAndOffset(t *testing.T) {
	line := mustPath(t, "M0 0h100")
	for _, c := range []struct {
		pattern []float64
		offset  float64
		want    string
	}{
		{[]float64{10, 20}, 0, "[0 10] [30 40] [60 70] [90 100]"},
		{[]float64{10, 20}, 5, "[0 5] [25 35] [55 65] [85 95]"},
		{[]float64{10, 20}, -5, "[5 15] [35 45] [65 75] [95 100]"},
		{[]float64{30}, 0, "[0 30] [60 90]"},
		{[]float64{10, 20, 30}, 0, "[0 10] [30 60] [70 90]"},
		{[]float64{10, 20}, 15, "[15 25] [45 55] [75 85]"},
		{[]float64{0, 0}, 0, "[0 100]"},
		{[]float64{0, 40}, 0, "[0 4e-06] [40 40] [80 80]"},
	} {
		out, ok := dash(line, c.pattern, c.offset)
		got := ""
		for _, d := range out {
			got += fmt.Sprintf(" [%.6g %.6g]", d.Start.X, d.End().X)
		}
		if !ok || got != " "+c.want {
			t.Errorf("%v offset %g: got%s, want %s", c.pattern, c.offset, got, c.want)
		}
	}
}

func TestDash_OnAClosedCircleRunsOverTheStart(t *testing.T) {
	circle := geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 10, 10)}
	around := 2 * math.Pi * 10
	out, _ := dash(circle, []float64{around / 8, around / 8}, around/16)
	if len(out) != 4 {
		t.Fatalf("%d dashes instead of 4", len(out))
	}
	for _, d := range out {
		l, from := 0.0, d.Start
		for _, s := range d.Segments {
			l += curveLength(from, s, 0, 1)
			from = s.End
		}
		near(t, "dash length", l, around/8, 1e-6)
	}
}

// Dashes of one curve are alike, and so are the gaps between them. The curve is the
// usual one for a quarter of a circle, 0.03 % off at most.
func TestDash_SeveralOnOneCurveAreAlike(t *testing.T) {
	const r, dashed = 100, 10
	out, ok := dash(mustPath(t, "M100 0C100 55.228475 55.228475 100 0 100"), []float64{dashed}, 0)
	if !ok || len(out) != 8 { // 157 long
		t.Fatalf("%d dashes", len(out))
	}
	turned := func(p geometry.Point) float64 { return math.Atan2(p.Y, p.X) * r }
	for i, d := range out {
		near(t, fmt.Sprint("start ", i), turned(d.Start), float64(i)*2*dashed, 0.1)
		if i < 7 {
			near(t, fmt.Sprint("end ", i), turned(d.End()), float64(i)*2*dashed+dashed, 0.1)
		}
	}
}

// A dash as long as all of a closed path has no ends.
func TestDash_AllTheWayRoundIsClosed(t *testing.T) {
	square := mustPath(t, "M0 0H10V10H0Z")
	for pattern, closed := range map[float64]bool{1000: true, 41: true, 39: false} {
		if out, ok := dash(square, []float64{pattern, 5}, 0); !ok || len(out) != 1 || out[0].Closed != closed {
			t.Errorf("%g: %d dashes, closed %v", pattern, len(out), len(out) > 0 && out[0].Closed)
		}
	}
	if out, _ := dash(mustPath(t, "M0 0H10V10H0"), []float64{1000, 5}, 0); len(out) != 1 || out[0].Closed {
		t.Error("a dash of an open path is closed")
	}
}

// A dash of no length points along the path, so that its square caps lie across it.
func TestDash_DotsPointAlong(t *testing.T) {
	for d, want := range map[string]geometry.Point{
		"M0 0V100":                 geometry.Pt(0, 1),
		"M0 0L80 60":               geometry.Pt(0.8, 0.6),
		"M0 0C0 50 50 100 100 100": geometry.Pt(math.Sqrt2/2, math.Sqrt2/2), // halfway round
	} {
		p := mustPath(t, d)
		whole := 0.0
		for _, e := range edges(p[0]) {
			whole += curveLength(e.from, e.seg, 0, 1)
		}
		out, ok := dash(p, []float64{0, whole / 2}, 0)
		if !ok || len(out) < 2 {
			t.Fatalf("%s: %d dashes", d, len(out))
		}
		way := out[1].End().Sub(out[1].Start)
		nearPoint(t, d, way.Mul(1/way.Len()), want, 1e-3)
	}
}

func TestDash_TooManyStaysSolid(t *testing.T) {
	line := mustPath(t, "M0 0h1000000")
	if out, ok := dash(line, []float64{0.001}, 0); ok || len(out) != 1 {
		t.Errorf("ok %v, %d parts", ok, len(out))
	}
}

// A pen that goes on over a joint, straight on or back, leaves no segment of no
// length there.
func TestStroke_HasNoSegmentsOfNoLength(t *testing.T) {
	for _, d := range []string{"M10 10h10h10h-20", "M10 10h10v10h-10z", "M10 10h0h10l0 0v5", "M10 10C20 10 30 10 40 10h9", "M10 10h9C20 10 30 30 40 10z"} {
		for join := joinMiter; join <= joinBevel; join++ {
			for end := capButt; end <= capSquare; end++ {
				for _, c := range mustOutline(t, pen{width: 4, join: join, cap: end, miterLimit: 4, tolerance: 1e-5}, mustPath(t, d)) {
					at := c.Start
					for _, s := range c.Segments {
						if !s.Cubic && s.End == at {
							t.Errorf("%s, join %d, cap %d: stays at %v", d, join, end, at)
						}
						at = s.End
					}
				}
			}
		}
	}
}

// However large the units of a picture are, its strokes are as fine.
func TestStroke_IsAsFineInAnyUnits(t *testing.T) {
	segments := func(scale string, d string) int {
		s := only(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1`+scale+` 1`+scale+`"><path d="`+d+`" fill="none" stroke="red" stroke-width="1`+scale[1:]+`"/></svg>`)
		return len(s.Path[0].Segments)
	}
	small, large := segments("00", "M10 10C90 10 90 90 10 90C50 40 20 30 10 10"), segments("00000", "M10000 10000C90000 10000 90000 90000 10000 90000C50000 40000 20000 30000 10000 10000")
	if small != large || small < 10 {
		t.Errorf("%d segments, and %d where units are a thousand times smaller", small, large)
	}
}

func TestStroke_IsBuiltBeforeTheTransform(t *testing.T) {
	// A line of width 2 under scale(3, 5): 3·20 long, 5·2 wide.
	s := only(t, page100(`<path transform="scale(3 5)" d="M5 5h20" stroke="red" stroke-width="2"/>`))
	b := s.Path.Bounds()
	near(t, "length", b.Width(), 60, 1e-9)
	near(t, "width", b.Height(), 10, 1e-9)
	// Mirrored, the outline runs the other way round as a whole.
	s = only(t, page100(`<circle transform="scale(-1 1) translate(-100 0)" cx="50" cy="50" r="20" fill="none" stroke="red" stroke-width="6"/>`))
	near(t, "mirrored ring", fillArea(s.Path, geometry.NonZero), 2*math.Pi*20*6, 3e-2)
	// vector-effect: the width holds after the transform.
	s = only(t, page100(`<path transform="scale(3 5)" d="M5 5h20" stroke="red" stroke-width="2" vector-effect="non-scaling-stroke"/>`))
	near(t, "fixed width", s.Path.Bounds().Height(), 2, 1e-9)
}

// Where a bend is tighter than half the pen, the lines across it sweep backwards. What they sweep is one
// contour, with none of the lines in it, each of which would cross all the others.
func TestStroke_WhatIsSweptBackwardsIsOneContour(t *testing.T) {
	for _, c := range []struct {
		name, d  string
		contours int
	}{
		// A quarter of a turn: the outline and what is swept beyond the centre.
		{"quarter", "M0 -5C2.7614 -5 5 -2.7614 5 0", 2},
		// Each of the four cubics of a circle sweeps a quarter; beside them the outer side and the inner one,
		// which is no more than the centre.
		{"circle", "M5 0C5 2.7614 2.7614 5 0 5C-2.7614 5 -5 2.7614 -5 0C-5 -2.7614 -2.7614 -5 0 -5C2.7614 -5 5 -2.7614 5 0Z", 6},
		// An S has a bend on either side.
		{"S", "M0 0C20 0 0 12 20 12", 3},
	} {
		out := mustOutline(t, pen{width: 14, join: joinRound, cap: capButt, miterLimit: 4, tolerance: 1e-4}, mustPath(t, c.d))
		if len(out) != c.contours {
			t.Errorf("%s: %d contours, want %d", c.name, len(out), c.contours)
		}
	}
}
