package planar

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/motif"
)

// blob returns a wavy closed outline of n vertices.
func blob(rng *rand.Rand, n int, cx, cy, r float64) geometry.Path {
	a1, a2, p1, p2 := rng.Float64()*0.3, rng.Float64()*0.1, rng.Float64()*6, rng.Float64()*6
	pts := make([]geometry.Point, n)
	for i := range pts {
		t := 2 * math.Pi * float64(i) / float64(n)
		k := r * (1 + a1*math.Sin(3*t+p1) + a2*math.Sin(17*t+p2))
		pts[i] = geometry.Pt(cx+k*math.Cos(t), cy+k*math.Sin(t))
	}
	return geometry.Path{geometry.Polygon(pts...)}
}

func blobs(layers, vertices int, spread float64) []Layer {
	return blobsOf(rand.New(rand.NewPCG(7, 7)), layers, vertices, spread)
}

func blobsOf(rng *rand.Rand, layers, vertices int, spread float64) []Layer {
	out := make([]Layer, layers)
	for i := range out {
		out[i] = layer(geometry.NonZero, blob(rng, vertices, rng.Float64()*spread, rng.Float64()*spread, 20))
	}
	return out
}

// BenchmarkBuild goes from the two shapes that a user mostly cuts to a thousand
// layers. 30 layers of 2,000 vertices are what follows every drag of a rich
// picture.
func BenchmarkBuild(b *testing.B) {
	for _, c := range []struct {
		layers, vertices int
		spread           float64
	}{{2, 1000, 20}, {30, 2000, 60}, {10, 1000, 60}, {100, 1000, 190}, {1000, 1000, 600}} {
		in := blobs(c.layers, c.vertices, c.spread)
		b.Run(fmt.Sprintf("%dx%d", c.layers, c.vertices), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				m, err := Build(context.Background(), in, Options{})
				if err != nil {
					b.Fatal(err)
				}
				divided(m, topmost(m))
			}
		})
	}
}

// BenchmarkPasses tells what each pass of Build and Divide takes for a chord, and,
// as what cannot be less, what it takes to read the chords (their ends are put on
// the grid), to sort them, and to write the edges and vertices once.
func BenchmarkPasses(b *testing.B) {
	ctx := context.Background()
	for _, c := range []struct {
		name   string
		layers []Layer
	}{{"30x2000", blobs(30, 2000, 60)}, {"10x100", blobs(10, 100, 60)}, {"200 rings", layersOf(motif.Rings(200, 50))}} {
		b.Run(c.name, func(b *testing.B) {
			var best [8]time.Duration // of each pass: others on the machine only add to it
			sc, chords := new(scratch), 0
			var m *Map
			for b.Loop() {
				var spent [8]time.Duration
				begun := time.Now()
				pass := func(i int, err error) {
					if err != nil {
						b.Fatal(err)
					}
					spent[i] += time.Since(begun)
					begun = time.Now()
				}
				in, err := quantise(ctx, c.layers, defaultSagittaMM, sc)
				pass(0, err)
				lo, hi := in.lo, in.hi
				pl := &plane{limit: maxWindings}
				sc.deltas.reset(len(in.terms))
				arr := &arrangement{segs: in.segments, origins: in.origins, deltas: &sc.deltas}
				begun = time.Now()
				frags, err := arr.number(unhurried(ctx), in, lo, hi, sc)
				pass(1, err)
				lines, ids, err := arr.lines(ctx, frags, sc)
				pass(2, err)
				near, err := newIndex(ctx, lines, ids, 2*arr.crowd, lo, hi, defaultMaxCrossings, sc)
				pass(2, err)
				crossings, err := near.findCrossings(ctx, defaultMaxCrossings, sc)
				pass(2, err)
				pass(3, arr.add(unhurried(ctx), crossings, frags, lo, hi, sc))
				pass(3, arr.settle(ctx, frags, near.near, lo, hi, defaultMaxCrossings, sc))
				pass(4, pl.take(ctx, arr, sc))
				sw, err := pl.sweep(ctx, &sc.deltas, sc)
				pass(4, err)
				m = &Map{in: in, vertices: slices.Clone(pl.vertices), edges: pl.edges, outStart: pl.outStart, inStart: pl.inStart, inEdges: pl.in}
				pass(5, m.nameFaces(ctx, sw, sc))
				labels := topmost(m)
				begun = time.Now()
				_, err = m.Divide(ctx, labels)
				pass(6, err)
				_, _ = slices.Clone(m.edges), slices.Clone(m.vertices)
				pass(7, nil)
				chords = len(in.segments)
				for i, d := range spent {
					if best[i] == 0 || d < best[i] {
						best[i] = d
					}
				}
			}
			for i, name := range []string{"read", "sort", "cross", "snap", "sweep", "name", "divide", "write"} {
				b.ReportMetric(float64(best[i].Nanoseconds())/float64(chords), name+"-ns/chord")
			}
		})
	}
}

// field returns about n vertices of art: blobs of 1,000 vertices strewn so that
// each meets a few others, whatever their number.
func field(n int) []Layer {
	rng := rand.New(rand.NewPCG(9, 9))
	layers := n / 1000
	return blobsOf(rng, layers, 1000, 25*math.Sqrt(float64(layers)))
}

// BenchmarkWorkers compares one worker and two, whatever worthSplitting says, in turns: others on the
// machine only add to either's best time.
func BenchmarkWorkers(b *testing.B) {
	defer func(worth int) { worthSplitting = worth }(worthSplitting)
	for _, n := range []int{5_000, 10_000, 20_000, 50_000, 100_000} {
		in := field(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			best := [2]time.Duration{math.MaxInt64, math.MaxInt64}
			for b.Loop() {
				for i, worth := range [2]int{math.MaxInt, 1} {
					worthSplitting = worth
					begun := time.Now()
					m, err := Build(context.Background(), in, Options{})
					if err != nil {
						b.Fatal(err)
					}
					divided(m, topmost(m))
					best[i] = min(best[i], time.Since(begun))
				}
			}
			b.ReportMetric(float64(best[0].Microseconds()), "one-µs")
			b.ReportMetric(float64(best[1].Microseconds()), "two-µs")
			b.ReportMetric(float64(best[0])/float64(best[1]), "ratio")
		})
	}
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

// What a large map has given up is not there any more when the next one is begun, nor is the map before: so
// art that is built again and again takes no more room than the first time.
func TestBuild_LargeMapsLeaveNoRoomBehind(t *testing.T) {
	if testing.Short() {
		t.Skip("builds maps of 300,000 vertices")
	}
	in := field(300_000)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	var m *Map
	for range 3 {
		var err error
		if m, err = Build(context.Background(), in, Options{}); err != nil {
			t.Fatal(err)
		}
	}
	runtime.ReadMemStats(&after)
	took := float64(after.HeapAlloc) - float64(before.HeapAlloc)
	kept := bytesKept(in)
	runtime.KeepAlive(m)
	if took > 1.7*kept {
		t.Errorf("after three maps of %.0f MB there are %.0f MB", kept/1e6, took/1e6)
	}
}

// BenchmarkSmooth divides and puts back curves: art of straight lines, of curves,
// and needles that all leave from one point.
func BenchmarkSmooth(b *testing.B) {
	fan, _, _ := hairlines(2000)
	for _, c := range []struct {
		name   string
		layers []Layer
	}{
		{"100,000 vertices", field(100_000)},
		{"1,600 discs", scales(40)},
		{"fan of 2000", []Layer{layer(geometry.NonZero, fan)}},
	} {
		m := build(b, c.layers...)
		labels := topmost(m)
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := divided(m, labels).Smooth(context.Background()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// layersOf gives each path a layer of its own.
func layersOf(paths []geometry.Path) []Layer {
	out := make([]Layer, len(paths))
	for i, p := range paths {
		out[i] = layer(geometry.NonZero, p)
	}
	return out
}

// BenchmarkMotif times what everyday art is full of: many sides that meet in one
// point, run close beside each other, or lie within each other.
func BenchmarkMotif(b *testing.B) {
	for _, c := range []struct {
		name   string
		layers []Layer
	}{
		{"sunburst of 100", layersOf(motif.Sunburst(100, 50, 0.5))},
		{"sunburst of 1,200", layersOf(motif.Sunburst(1200, 50, 0.5))},
		{"sunburst of 3,000", layersOf(motif.Sunburst(3000, 50, 0.5))},
		{"sunburst of 100,000 in one path", []Layer{layer(geometry.NonZero, slices.Concat(motif.Sunburst(100_000, 50, 0.5)...))}},
		{"windmill of 100", layersOf(motif.Windmill(100, 50, 3))},
		{"star of 1,200 spikes", []Layer{layer(geometry.NonZero, motif.Star(1200, 25, 50))}},
		{"200 rings", layersOf(motif.Rings(200, 50))},
		{"2,000 lines", layersOf(motif.Hatch(2000, 100, false))},
		{"2,000 lines aslant", layersOf(motif.Hatch(2000, 100, true))},
		{"2,500 glyphs", layersOf(motif.Lettering(50, 1))},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				m, err := Build(context.Background(), c.layers, Options{})
				if err != nil {
					b.Fatal(err)
				}
				divided(m, topmost(m))
			}
		})
	}
}
