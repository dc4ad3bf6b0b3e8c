package planar

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"abut/geometry"
	"abut/geometry/pairwise"
	"abut/internal/oracle"
)

// Beside two other engines on the same input: package internal/corpus does it
// for real art.

func TestMain(m *testing.M) { oracle.Main(m) }

// BenchmarkTwoShapes cuts one shape of 1,000 vertices out of another: what a
// user does most. GEOS needs -tags oracle.
func BenchmarkTwoShapes(b *testing.B) {
	in := blobs(2, 1000, 20)
	b.Run("planar", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			m, err := Build(context.Background(), in, Options{})
			if err != nil {
				b.Fatal(err)
			}
			m.Divide(topmost(m))
		}
	})
	lower, upper := pairwise.Region(in[0].Figures[0].Path), pairwise.Region(in[1].Figures[0].Path)
	b.Run("polyclip", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := pairwise.Difference(context.Background(), lower, upper); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("geos", func(b *testing.B) {
		g := oracle.StartGeos(b)
		raw := [][]oracle.Figure{{{Path: in[0].Figures[0].Path}}, {{Path: in[1].Figures[0].Path}}}
		var took time.Duration
		for b.Loop() {
			_, t, err := g.Visible(raw, defaultSagittaMM)
			if err != nil {
				b.Fatal(err)
			}
			took += t
		}
		// The engine's own time, without handing over.
		b.ReportMetric(float64(took.Nanoseconds())/float64(b.N), "ns/op")
	})
}

// BenchmarkFullPass is what follows every drag of a rich picture: 30 layers of
// 2,000 vertices.
func BenchmarkFullPass(b *testing.B) {
	in := blobs(30, 2000, 60)
	for b.Loop() {
		m, err := Build(context.Background(), in, Options{})
		if err != nil {
			b.Fatal(err)
		}
		m.Divide(topmost(m))
	}
}

// field returns about n vertices of art: blobs of 1,000 vertices strewn so that
// each meets a few others, whatever their number.
func field(n int) []Layer {
	rng := rand.New(rand.NewPCG(9, 9))
	layers := n / 1000
	return blobsOf(rng, layers, 1000, 25*math.Sqrt(float64(layers)))
}

// BenchmarkGrowth shows how time and memory grow with the input: ns/vertex
// ought to stay nearly level.
func BenchmarkGrowth(b *testing.B) {
	for _, n := range []int{10_000, 30_000, 100_000, 300_000, 1_000_000} {
		in := field(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				m, err := Build(context.Background(), in, Options{})
				if err != nil {
					b.Fatal(err)
				}
				m.Divide(topmost(m))
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/vertex")
			b.ReportMetric(bytesKept(in)/float64(n), "B/vertex-kept")
		})
	}
}

// bytesKept returns what a map of the layers holds on to.
func bytesKept(in []Layer) float64 {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	m, err := Build(context.Background(), in, Options{})
	if err != nil {
		return math.NaN()
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	runtime.KeepAlive(m)
	return float64(after.HeapAlloc) - float64(before.HeapAlloc)
}

// Crossings of art grow with its size, not with the square of it; and so must
// the time. Counting what was allocated does not depend on how busy the machine
// is.
func TestBuild_GrowsNearlyLinearly(t *testing.T) {
	if testing.Short() {
		t.Skip("builds maps of 300,000 vertices")
	}
	measure := func(n int) float64 {
		in := field(n)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := Build(context.Background(), in, Options{}); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	small, large := measure(10_000), measure(300_000)
	if e := math.Log(large/small) / math.Log(30); e > 1.15 {
		t.Errorf("memory grows as n^%.2f: %.0f B for 10,000 vertices, %.0f B for 300,000", e, small, large)
	}
}

// The second opinion on pairs of blobs, where both engines are at home.
func TestBuild_AgreesWithPairwiseOnBlobs(t *testing.T) {
	for seed := range uint64(rounds(10, 60)) {
		rng := rand.New(rand.NewPCG(seed, 10))
		in := flat(t, blobsOf(rng, 2, 3+rng.IntN(400), 30))
		m := mustBuild(t, in)
		area, border := coverMeasures(m)
		a, b := pairwise.Region(in[0].Figures[0].Path), pairwise.Region(in[1].Figures[0].Path)
		ctx := context.Background()
		for _, c := range []struct {
			cover string
			op    func() (pairwise.Region, error)
		}{
			{"[0 1]", func() (pairwise.Region, error) { return pairwise.Intersect(ctx, a, b) }},
			{"[0]", func() (pairwise.Region, error) { return pairwise.Difference(ctx, a, b) }},
			{"[1]", func() (pairwise.Region, error) { return pairwise.Difference(ctx, b, a) }},
		} {
			r, err := c.op()
			if err != nil {
				t.Fatal(err)
			}
			got := mm2(area[c.cover])
			bound := math.Sqrt2 / 2 / StepsPerMM * border[c.cover] / StepsPerMM
			if math.Abs(got-r.AreaMM2()) > bound+1e-7 {
				t.Errorf("seed %d: cover %s has %v mm², polyclip-go says %v: allowed %v apart", seed, c.cover, got, r.AreaMM2(), bound)
			}
		}
	}
}

// Offsets of a square by any distance follow Steiner's formula within the
// bound of the chords.
func TestOffset_FollowsSteinersFormula(t *testing.T) {
	square := layer(geometry.NonZero, geometry.RectXYWH(0, 0, 40, 20).Path())
	for _, d := range []float64{0.1, 1, 3, 10} {
		grown, err := Offset(context.Background(), square, d, geometry.Join{}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		want := 800 + 120*d + math.Pi*d*d
		bound := 2.0/3*defaultSagittaMM*2*math.Pi*d + math.Sqrt2/StepsPerMM*(120+2*math.Pi*d)
		if got := math.Abs(grown.SignedArea()); math.Abs(got-want) > bound {
			t.Errorf("grown by %v: %v mm², want %v ± %v", d, got, want, bound)
		}
	}
}
