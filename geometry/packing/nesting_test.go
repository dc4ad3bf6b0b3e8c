package packing

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"abut/geometry"
)

// nesting reads a published problem: shapes and the height of the strip. See
// testdata/ORIGIN.md.
func nesting(tb testing.TB, name string) ([]Shape, Options) {
	tb.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "nesting.json"))
	if err != nil {
		tb.Fatal(err)
	}
	var all map[string]struct {
		Height float64 `json:"strip_height"`
		Pieces []struct {
			Quantity  int
			Rotations []float64
			Polygon   [][2]float64
		}
	}
	if err := json.Unmarshal(data, &all); err != nil {
		tb.Fatal(err)
	}
	in, ok := all[name]
	if !ok {
		tb.Fatalf("no instance %q", name)
	}
	var shapes []Shape
	for _, p := range in.Pieces {
		s := Shape{Count: p.Quantity}
		for _, deg := range p.Rotations {
			s.Turns = append(s.Turns, deg*math.Pi/180)
		}
		var points []geometry.Point
		for _, v := range p.Polygon {
			points = append(points, geometry.Pt(v[0], v[1]))
		}
		s.Outline = geometry.Path{geometry.Polygon(points...)}
		shapes = append(shapes, s)
	}
	return shapes, Options{Sheets: []Sheet{{Height: in.Height}}, Seed: 1}
}

func density(shapes []Shape, o Options, p Packing) float64 {
	area := 0.0
	for _, x := range p.Placed {
		area += math.Abs(shapes[x.Item].Outline.SignedArea())
	}
	return area / (p.Sheets[0].Extent.X * o.Sheets[0].Height)
}

// BenchmarkNesting reports densities within the seconds that ABUT_PACKING says (10),
// and the length of the strip as a multiple of what the area needs at least.
func BenchmarkNesting(b *testing.B) {
	for _, name := range []string{"fu", "shapes0", "blaz", "dighe1", "dighe2"} {
		b.Run(name, func(b *testing.B) {
			shapes, o := nesting(b, name)
			if s := os.Getenv("ABUT_SLAB"); s != "" {
				o.SlabMM, _ = strconv.ParseFloat(s, 64)
			}
			n := 0
			for b.Loop() {
				p := timed(b, func(ctx context.Context) (Packing, error) { return Shapes(ctx, shapes, o) })
				b.ReportMetric(100*density(shapes, o, p), "%")
				b.ReportMetric(p.Sheets[0].Extent.X, "length")
				n = p.Step
			}
			b.ReportMetric(float64(n), "step")
		})
	}
}

// BenchmarkStopping reports how long the search goes on after it was stopped, with 300
// shapes of eight turns and some 200 corners, and how long a step takes.
func BenchmarkStopping(b *testing.B) {
	var shapes []Shape
	rng := rand.New(rand.NewPCG(1, 1))
	for range 30 {
		s := Shape{Count: 10}
		var points []geometry.Point
		size := 4 + 12*rng.Float64()
		for i := range 200 {
			r := size * (0.7 + 0.3*math.Sin(float64(i)*math.Pi/20+size))
			points = append(points, geometry.Rotate(2*math.Pi*float64(i)/200).Apply(geometry.Pt(r, 0)))
		}
		s.Outline = geometry.Path{geometry.Polygon(points...)}
		for k := range 8 {
			s.Turns = append(s.Turns, float64(k)*math.Pi/4)
		}
		shapes = append(shapes, s)
	}
	var worst time.Duration
	for b.Loop() {
		ctx, stop := context.WithCancel(b.Context())
		var stopped time.Time
		time.AfterFunc(time.Duration(2000+rng.IntN(1000))*time.Millisecond, func() { stopped = time.Now(); stop() })
		p, err := Shapes(ctx, shapes, Options{Sheets: []Sheet{{Height: 300}}, GapMM: 2, Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		worst = max(worst, time.Since(stopped))
		b.ReportMetric(float64(p.Step), "step")
		b.ReportMetric(p.Sheets[0].Extent.X, "length")
	}
	b.ReportMetric(float64(worst.Milliseconds()), "ms-to-stop")
}
