package geometry

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// star returns a self-crossing outline and holes strewn over it.
func star(r *rand.Rand, contours int) Path {
	var p Path
	for range contours {
		c := Contour{Start: Pt(r.Float64()*100, r.Float64()*100), Closed: true}
		for range 2 + r.IntN(12) {
			c.Segments = append(c.Segments, LineTo(Pt(r.Float64()*100, r.Float64()*100)))
		}
		p = append(p, c)
	}
	return p
}

// The winding number by the angles that the sides are seen under: slow, and
// nothing like what Enclosure does.
func windingByAngles(p Path, at Point) int {
	sum := 0.0
	for _, c := range p {
		for a, b := range c.Sides() {
			u, v := a.Sub(at), b.Sub(at)
			sum += math.Atan2(u.Cross(v), u.Dot(v))
		}
	}
	return int(math.Round(sum / (2 * math.Pi)))
}

func TestEnclosure_HoldsWhatWindsOddlyOftenAroundAPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	held := 0
	for range 40 {
		p := star(r, 1+r.IntN(30))
		e := NewEnclosure(p)
		for range 100 {
			at := Pt(r.Float64()*120-10, r.Float64()*120-10)
			want := EvenOdd.Encloses(windingByAngles(p, at))
			if e.Holds(at) != want {
				t.Fatalf("%v: holds %v is %v", p, at, !want)
			}
			if want {
				held++
			}
		}
	}
	if held < 500 {
		t.Errorf("only %d places were inside", held)
	}
}

func TestEnclosure_OfNothingHoldsNothing(t *testing.T) {
	level := Path{Polygon(Pt(0, 5), Pt(10, 5), Pt(4, 5))}
	for name, p := range map[string]Path{"no contour": nil, "a level line": level, "a point": {Polygon(Pt(3, 3))}} {
		e := NewEnclosure(p)
		for _, at := range []Point{{}, {X: 5, Y: 5}, {X: 3, Y: 3}} {
			if e.Holds(at) {
				t.Errorf("%s holds %v", name, at)
			}
		}
	}
}

// Long teeth are not filed once for each slab: 4,000 of them would be 8 million
// entries.
func TestEnclosure_CombOfLongTeethIsFiledAFewTimesOnly(t *testing.T) {
	var pts []Point
	for i := range 4000 {
		pts = append(pts, Pt(float64(i), 0), Pt(float64(i)+0.5, 100))
	}
	pts = append(pts, Pt(4000, -1), Pt(0, -1))
	e := NewEnclosure(Path{Polygon(pts...)})
	if filed := len(e.filed); filed > (sidesFiled+2)*len(pts) {
		t.Errorf("%d sides are filed %d times", len(pts), filed)
	}
	if !e.Holds(Pt(10.5, 50)) || e.Holds(Pt(10.9, 99)) {
		t.Error("a tooth is taken for a gap")
	}
}

func TestCrossings_LieWhereTheWayChangesSides(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 0))
	for range 60 {
		p := star(r, 1+r.IntN(8))
		e := NewEnclosure(p)
		a, b := Pt(r.Float64()*120-10, r.Float64()*120-10), Pt(r.Float64()*120-10, r.Float64()*120-10)
		cuts := append(e.Crossings(a, b, nil), 0, 1)
		slices.Sort(cuts)
		cuts = slices.CompactFunc(cuts, func(x, y float64) bool { return math.Abs(x-y) < 1e-12 })
		// Between two crossings the way stays on one side; over one it changes.
		last := e.Holds(a)
		for i := 1; i < len(cuts); i++ {
			for _, share := range []float64{0.02, 0.5, 0.98} {
				if in := e.Holds(a.Lerp(b, cuts[i-1]+(cuts[i]-cuts[i-1])*share)); in != last {
					t.Fatalf("%v from %v to %v: sides change between crossings %v", p, a, b, cuts)
				}
			}
			last = !last
		}
	}
}

func TestNearest_NoOtherPlaceOnTheWayIsNearer(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 0))
	at := func() Point { return Pt(r.Float64()*10, r.Float64()*10) }
	for range 200 {
		a, b, p := at(), at(), at()
		q := Nearest(a, b, p)
		for i := range 101 {
			if other := a.Lerp(b, float64(i)/100); other.Sub(p).Len() < q.Sub(p).Len()-1e-12 {
				t.Fatalf("from %v to %v: %v is nearer to %v than %v", a, b, other, p, q)
			}
		}
		if off := q.Sub(a).Cross(b.Sub(a)); math.Abs(off) > 1e-9 {
			t.Fatalf("%v is not on the way from %v to %v", q, a, b)
		}
	}
	if q := Nearest(Pt(2, 3), Pt(2, 3), Pt(9, 9)); q != Pt(2, 3) {
		t.Errorf("a way of no length: %v", q)
	}
}

func TestDistance_OfASquare(t *testing.T) {
	square := RectXYWH(0, 0, 10, 10).Path()
	for at, want := range map[Point]float64{Pt(5, 5): 5, Pt(5, 2): 2, Pt(13, 14): 5, Pt(10, 3): 0} {
		if got := square.Distance(at); math.Abs(got-want) > 1e-12 {
			t.Errorf("from %v: %g, want %g", at, got, want)
		}
	}
	if d := (Path)(nil).Distance(Pt(0, 0)); !math.IsInf(d, 1) {
		t.Errorf("from nothing: %g", d)
	}
}

// crossingsOdd is the even-odd rule over all edges: slow, and plainly right.
func crossingsOdd(path Path, p Point) bool {
	in := false
	for _, c := range path {
		a := c.Start
		for _, s := range append(c.Segments[:len(c.Segments):len(c.Segments)], LineTo(c.Start)) {
			b := s.End
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
			a = b
		}
	}
	return in
}

func TestEnclosure_HoldsWhatAllEdgesSayAtTheHeightsOfCorners(t *testing.T) {
	const seed = 5
	r := rand.New(rand.NewPCG(seed, 0))
	for round := range 200 {
		var path Path
		for range 1 + r.IntN(4) {
			var points []Point
			for range 3 + r.IntN(60) {
				// On few heights, so that edges are level and points lie at vertices' heights.
				points = append(points, Pt(r.Float64()*100, math.Floor(r.Float64()*40)))
			}
			path = append(path, Polygon(points...))
		}
		s := NewEnclosure(path)
		for range 200 {
			p := Pt(r.Float64()*120-10, math.Floor(r.Float64()*100)/2-5)
			if got, want := s.Holds(p), crossingsOdd(path, p); got != want {
				t.Fatalf("seed %d, round %d: %v is %v, want %v, in %v", seed, round, p, got, want, path)
			}
		}
	}
	if NewEnclosure(nil).Holds(Pt(0, 0)) || NewEnclosure(Path{Polygon(Pt(0, 1), Pt(5, 1))}).Holds(Pt(2, 1)) {
		t.Error("what has no area encloses something")
	}
}
