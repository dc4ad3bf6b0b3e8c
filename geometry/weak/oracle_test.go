package weak

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/oracle"
)

func TestMain(m *testing.M) { oracle.Main(m) }

// openedArea is what the finder leaves of a piece.
func openedArea(t *testing.T, p geometry.Path, o Options) (area, border float64) {
	t.Helper()
	l := lengthsFor(o.WidthMM)
	f := &finder{o: o, lengths: l, reach: 1000, most: maxCrossings, shapes: []shape{newShape(0, p, &l)}}
	if _, err := f.look(context.Background()); err != nil {
		t.Fatal(err)
	}
	if s := &f.shapes[0]; len(s.discs) == 0 {
		s.discs = []disc{{c: p[0].Start, s: 0, t: 0}}
	}
	opened, err := f.open(context.Background(), &f.shapes[0])
	if err != nil {
		t.Fatal(err)
	}
	m, err := planar.Build(context.Background(), []planar.Layer{
		{Figures: []planar.Figure{{Path: p, Rule: geometry.EvenOdd}}}, {Figures: opened},
	}, planar.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.NumFaces() {
		if len(m.Cover(planar.FaceID(i))) == 2 {
			area += m.AreaMM2(planar.FaceID(i))
		}
	}
	for e := range m.NumEdges() {
		edge := m.Edge(planar.EdgeID(e))
		if len(m.Cover(edge.Left))+len(m.Cover(edge.Right)) == 3 { // opened against residue
			border += m.Vertex(edge.From).MM().Sub(m.Vertex(edge.To).MM()).Len()
		}
	}
	return area, border
}

// The referee is GEOS's buffer, in and out again.
func TestOpen_AgreesWithTheSecondEngine(t *testing.T) {
	g := oracle.StartGeos(t)
	check := func(name string, p geometry.Path) {
		got, border := openedArea(t, p, Options{WidthMM: 1})
		want, err := g.Opened(p, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		// Grown back by the slack more, arcs off by the sagitta twice.
		l := lengthsFor(1)
		if limit := (l.slack+2*l.sagitta)*border + 0.001; math.Abs(got-want) > limit {
			t.Errorf("%s: %.5f mm² are left, %.5f by GEOS, bound %.5f", name, got, want, limit)
		}
	}
	for _, k := range known {
		for _, v := range []float64{0.4, 0.97, 1.03, 1.6} {
			for _, p := range clean(t, k.shape(v)...) {
				check(k.name, p)
			}
		}
	}
	const seed = 6
	rng := rand.New(rand.NewPCG(seed, 0))
	for range 60 {
		var pts []geometry.Point
		n := 5 + rng.IntN(20)
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n))
			r := 1 + 9*rng.Float64()
			pts = append(pts, geometry.Pt(r*cos, r*sin))
		}
		for _, p := range clean(t, geometry.Path{geometry.Polygon(pts...)}) {
			check("random", p)
		}
	}
}
