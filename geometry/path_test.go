package geometry

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// relArc is an SVG 'a' command from the given start.
func relArc(start Point, rx, ry, rotationDeg float64, large, sweep bool, dx, dy float64) []Segment {
	return ArcTo(start, rx, ry, rotationDeg*math.Pi/180, large, sweep, start.Add(Pt(dx, dy)))
}

// SVG 2, 9.3.8: the two pie slices of the arc example; areas recomputed as
// three quarters and one quarter of a disc of radius 150.
func TestArc_PieSlicesOfTheSVGExample(t *testing.T) {
	for _, c := range []struct {
		start  Point
		line   Point
		large  bool
		sweep  bool
		dx, dy float64
		want   float64
	}{
		{Pt(300, 200), Pt(150, 200), true, false, 150, -150, 53014.3760},
		{Pt(275, 175), Pt(275, 25), false, false, -150, 150, 17671.4587},
	} {
		contour := Contour{Start: c.start, Closed: true, Segments: []Segment{LineTo(c.line)}}
		contour.Segments = append(contour.Segments, relArc(c.line, 150, 150, 0, c.large, c.sweep, c.dx, c.dy)...)
		if got := math.Abs((Path{contour}).SignedArea()); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("slice from %v: area %.4f, want %.4f", c.start, got, c.want)
		}
	}
}

// SVG 2, B.2.5 (F.6.6 in SVG 1.1): radii too small for their chord are scaled
// up until the arc is a half turn; values recomputed from the formula there.
func TestArc_RadiiTooSmallAreScaledUp(t *testing.T) {
	const deg30 = -30 * math.Pi / 180
	centre, rx, ry, _, turn := arcCentre(Pt(0, 0), 25, 25, deg30, false, true, Pt(50, -25))
	if math.Abs(rx-27.950850) > 1e-6 || math.Abs(ry-27.950850) > 1e-6 {
		t.Errorf("radii %v, %v, want 27.950850", rx, ry)
	}
	if centre.Sub(Pt(25, -12.5)).Len() > 1e-6 || math.Abs(turn-math.Pi) > 1e-6 {
		t.Errorf("centre %v, turn %v, want (25, -12.5) and half a turn", centre, turn)
	}
	_, rx, ry, _, _ = arcCentre(Pt(0, 0), 25, 50, deg30, false, true, Pt(50, -25))
	if math.Abs(rx-27.913197) > 1e-6 || math.Abs(ry-55.826394) > 1e-6 {
		t.Errorf("radii %v, %v, want 27.913197, 55.826394", rx, ry)
	}
}

// SVG 2, 9.5.1 'Out-of-range elliptical arc parameters'.
func TestArc_OddRadii(t *testing.T) {
	if s := ArcTo(Pt(0, 0), 0, 5, 0, false, true, Pt(3, 4)); len(s) != 1 || s[0].Cubic {
		t.Errorf("a radius of 0 gave %v, want a straight line", s)
	}
	if s := ArcTo(Pt(1, 1), 5, 5, 0, true, true, Pt(1, 1)); s != nil {
		t.Errorf("an arc to its own start gave %v, want nothing", s)
	}
	plus := ArcTo(Pt(0, 0), 5, 5, 0, false, true, Pt(3, 4))
	minus := ArcTo(Pt(0, 0), -5, -5, 0, false, true, Pt(3, 4))
	for i := range plus {
		if plus[i] != minus[i] {
			t.Errorf("negative radii changed segment %d", i)
		}
	}
}

// The arc is three quarters of a circle, cut into the widest cubics allowed. How
// far they stray is derived at maxArcSpan.
func TestArc_StaysOnItsCircle(t *testing.T) {
	from, worst := Pt(100, 0), 0.0
	for _, s := range ArcTo(from, 100, 100, 0, true, true, Pt(0, -100)) {
		for i := range 1001 {
			worst = math.Max(worst, math.Abs(s.At(from, float64(i)/1000).Len()/100-1))
		}
		from = s.End
	}
	if worst > 1.04e-9 || worst < 1e-9 {
		t.Errorf("off by %.4g of the radius, want 1.04e-9 at most and no finer cubics than need be", worst)
	}
}

// Radii are scaled up until they reach, however small; and coordinates may be so
// large that their products have no float.
func TestArc_RadiiOfAnySize(t *testing.T) {
	for _, c := range []struct{ r, d, want float64 }{{1e-200, 8, 4}, {3, 8, 4}, {1e100, 1e-3, 1e100}, {1e160, 1e160, 1e160}} {
		for _, s := range ArcTo(Pt(0, 0), c.r, 2*c.r, 0.3, false, true, Pt(c.d, 0)) {
			if !(Path{{Segments: []Segment{s}}}).Finite() {
				t.Fatalf("radii %g and %g over a chord of %g: %v", c.r, 2*c.r, c.d, s)
			}
		}
		if _, rx, _, _, _ := arcCentre(Pt(0, 0), c.r, c.r, 0, false, true, Pt(c.d, 0)); math.Abs(rx/c.want-1) > 1e-12 {
			t.Errorf("a radius of %g over a chord of %g becomes %g, want %g", c.r, c.d, rx, c.want)
		}
	}
}

// Closed forms: polygon by the shoelace formula, disc πr².
func TestSignedArea_ClosedForms(t *testing.T) {
	l := Path{Polygon(Pt(0, 0), Pt(4, 0), Pt(4, 1), Pt(1, 1), Pt(1, 3), Pt(0, 3))}
	if got := l.SignedArea(); got != 6 {
		t.Errorf("L polygon: %v, want 6", got)
	}
	if got := l.Reverse().SignedArea(); got != -6 {
		t.Errorf("reversed: %v, want -6", got)
	}
	far := Path{Ellipse(Pt(1e6, 1e6), 10, 10)}
	if got := far.SignedArea(); math.Abs(got-math.Pi*100) > 1e-5 {
		t.Errorf("far disc: %v, want %v", got, math.Pi*100)
	}
}

// A circle segment of radius 10 cut off by a chord: r²/2·(θ − sin θ).
func TestSignedArea_CircleSegment(t *testing.T) {
	for _, c := range []struct{ deg, want float64 }{{90, 28.5398163}, {60, 9.0586074}} {
		a := c.deg * math.Pi / 180
		end := Pt(10*math.Cos(a), 10*math.Sin(a))
		p := Path{{Start: Pt(10, 0), Segments: ArcTo(Pt(10, 0), 10, 10, 0, false, true, end), Closed: true}}
		if got := p.SignedArea(); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%v°: %.7f, want %.7f", c.deg, got, c.want)
		}
	}
}

func TestSides_CloseTheContour(t *testing.T) {
	for name, c := range map[string]struct {
		contour Contour
		want    []Point // both ends of every side
	}{
		"a point": {Contour{Start: Pt(1, 2)}, []Point{Pt(1, 2), Pt(1, 2)}},
		"open":    {Contour{Segments: []Segment{LineTo(Pt(1, 0)), CubicTo(Pt(9, 9), Pt(9, 9), Pt(1, 1))}}, []Point{{}, Pt(1, 0), Pt(1, 0), Pt(1, 1), Pt(1, 1), {}}},
	} {
		var got []Point
		for a, b := range c.contour.Sides() {
			got = append(got, a, b)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
		for range c.contour.Sides() {
			break // asks for no more
		}
	}
}

func TestBounds_AreOfTheCurveNotItsControls(t *testing.T) {
	p := Path{{Start: Pt(0, 0), Segments: []Segment{CubicTo(Pt(0, 4), Pt(3, 4), Pt(3, 0))}}}
	if got := p.Bounds(); got != (Rect{Pt(0, 0), Pt(3, 3)}) {
		t.Errorf("got %v, want 3 × 3", got)
	}
	loop := Path{{Start: Pt(0, 0), Segments: []Segment{CubicTo(Pt(10, 10), Pt(-10, 10), Pt(0, 0))}}}
	b := loop.Bounds()
	for i := range 1001 {
		if q := loop[0].Segments[0].At(Pt(0, 0), float64(i)/1000); !b.Grow(1e-12).Contains(q) {
			t.Fatalf("%v lies outside %v", q, b)
		}
	}
}

func TestBoundsUnder_AreThoseOfTheMappedPath(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	pt := func() Point { return Pt(20*r.Float64()-10, 20*r.Float64()-10) }
	for range 500 {
		var p Path
		for range 1 + r.IntN(3) {
			c := Contour{Start: pt()}
			for range r.IntN(5) {
				if r.IntN(2) == 0 {
					c.Segments = append(c.Segments, LineTo(pt()))
				} else {
					c.Segments = append(c.Segments, CubicTo(pt(), pt(), pt()))
				}
			}
			p = append(p, c)
		}
		m := Rotate(r.Float64()).Mul(Translate(r.Float64(), r.Float64())).Mul(Scale(r.Float64(), -r.Float64()))
		if got, want := p.BoundsUnder(m), p.Transform(m).Bounds(); got != want {
			t.Fatalf("%v under %v: %v, want %v", p, m, got, want)
		}
	}
	if got := (Path(nil)).BoundsUnder(Identity()); !got.Empty() {
		t.Errorf("nothing reaches %v", got)
	}
}

func TestSub_IsThePartOfTheCurve(t *testing.T) {
	s, from := CubicTo(Pt(1, 5), Pt(8, -3), Pt(6, 6)), Pt(0, 0)
	start, part := s.Sub(from, 0.8, 0.3)
	for i := range 11 {
		u := float64(i) / 10
		if d := part.At(start, u).Sub(s.At(from, 0.8-0.5*u)).Len(); d > 1e-12 {
			t.Errorf("at %v of the part: %g off", u, d)
		}
	}
}

func TestFlatten_StaysWithinItsSagitta(t *testing.T) {
	const sagitta = 0.01
	curves := map[string]Segment{
		"plain":               CubicTo(Pt(0, 30), Pt(40, 30), Pt(40, 0)),
		"control on its end":  CubicTo(Pt(0, 0), Pt(40, 30), Pt(40, 0)),
		"both on their ends":  CubicTo(Pt(0, 0), Pt(40, 0), Pt(40, 0)),
		"control on far end":  CubicTo(Pt(30, 40), Pt(40, 0), Pt(40, 0)),
		"closed loop":         CubicTo(Pt(30, 40), Pt(-30, 40), Pt(0, 0)),
		"cusp":                CubicTo(Pt(40, 40), Pt(0, 40), Pt(40, 0)),
		"doubling back":       CubicTo(Pt(90, 0), Pt(-50, 0), Pt(40, 0)),
		"straight, far apart": CubicTo(Pt(10, 10), Pt(20, 20), Pt(30, 30)),
	}
	for name, s := range curves {
		flat := Path{{Start: Pt(0, 0), Segments: []Segment{s}}}.Flatten(sagitta)[0]
		for i := range 2001 {
			p := s.At(Pt(0, 0), float64(i)/2000)
			best, a := math.Inf(1), flat.Start
			for _, c := range flat.Segments {
				best = math.Min(best, distance(p, a, c.End))
				a = c.End
			}
			if best > sagitta {
				t.Errorf("%s: %.5f mm from the chords at t = %v", name, best, float64(i)/2000)
				break
			}
		}
	}
}

func distance(p, a, b Point) float64 {
	d := b.Sub(a)
	k := 0.0
	if l := d.Dot(d); l > 0 {
		k = math.Max(0, math.Min(1, p.Sub(a).Dot(d)/l))
	}
	return p.Sub(a.Lerp(b, k)).Len()
}

func TestFlatten_BackwardsGivesTheSamePoints(t *testing.T) {
	for _, s := range []Segment{
		CubicTo(Pt(7.3, 31), Pt(41, 29.7), Pt(40, 0.3)),
		CubicTo(Pt(37.3, 31.1), Pt(-29.7, 41.3), Pt(0.1, 0.2)), // a loop
	} {
		sameBackwards(t, Path{{Start: Pt(0.1, 0.2), Segments: []Segment{s}}})
	}
}

func sameBackwards(t *testing.T, p Path) {
	t.Helper()
	there, back := p.Flatten(0.01)[0], p.Reverse().Flatten(0.01).Reverse()[0]
	if len(there.Segments) != len(back.Segments) {
		t.Fatalf("%d chords there, %d back", len(there.Segments), len(back.Segments))
	}
	for i := range there.Segments {
		if there.Segments[i] != back.Segments[i] {
			t.Errorf("chord %d ends at %v there, %v back", i, there.Segments[i].End, back.Segments[i].End)
		}
	}
}

// A closed form: chords of a circle of radius r at sagitta s turn by
// 2·acos(1 − s/r) each, so 50 do for r 5 and 143 for r 41 at 0.01 mm. Equal
// parameter steps on cubics need a few more, never fewer.
func TestFlatten_WastesFewChords(t *testing.T) {
	for _, c := range []struct {
		r      float64
		fewest int
	}{{5, 50}, {41, 143}} {
		n := len(Path{Ellipse(Pt(0, 0), c.r, c.r)}.Flatten(0.01)[0].Segments)
		if n < c.fewest || n > c.fewest*3/2 {
			t.Errorf("r %v: %d chords, want %d to %d", c.r, n, c.fewest, c.fewest*3/2)
		}
	}
}
