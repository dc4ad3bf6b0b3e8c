//go:build unix

package planar

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/motif"
)

// nested returns about n vertices of outlines that lie within each other, a hundred of them.
func nested(n int) []Layer {
	out := make([]Layer, 100)
	for i := range out {
		pts := make([]geometry.Point, n/len(out))
		for k := range pts {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(len(pts)))
			pts[k] = geometry.Pt(cos, sin).Mul(float64(len(out) - i))
		}
		out[i] = layer(geometry.NonZero, geometry.Path{geometry.Polygon(pts...)})
	}
	return out
}

// woven returns bars across bars, which cross in about n vertices.
func woven(n int) []Layer {
	k := int(math.Sqrt(float64(n))) / 2
	bars := motif.Hatch(k, 100, true)
	across := make([]geometry.Path, len(bars))
	for i, p := range bars {
		across[i] = p.Transform(geometry.Rotate(math.Pi / 2))
		across[i] = across[i].Transform(geometry.Translate(100, 0))
	}
	return []Layer{layer(geometry.NonZero, slices.Concat(bars...)), layer(geometry.NonZero, slices.Concat(across...))}
}

// processorTime is what the process has taken of the processors: what others do meanwhile
// does not count.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkGrowth shows how time and memory grow with what there is: of each kind of
// art, at each size, what processor time a vertex of the map takes, and by which power of their
// number that has grown since the smallest. With -cpu 1 the collector's share is in it.
func BenchmarkGrowth(b *testing.B) {
	for _, kind := range []struct {
		name string
		art  func(n int) []Layer
	}{{"field", field}, {"nested", nested}, {"woven", woven}} {
		var first struct{ n, took float64 }
		for _, n := range []int{10_000, 30_000, 100_000, 300_000, 1_000_000} {
			in := kind.art(n)
			b.Run(fmt.Sprintf("%s/%d", kind.name, n), func(b *testing.B) {
				b.ReportAllocs()
				best, vertices := math.Inf(1), 0.0 // others on the machine only add to it
				for b.Loop() {
					begun := processorTime(b)
					m, err := Build(context.Background(), in, Options{})
					if err != nil {
						b.Fatal(err)
					}
					divided(m, topmost(m))
					best, vertices = math.Min(best, float64(processorTime(b)-begun)), float64(len(m.vertices))
				}
				if n == 10_000 {
					first.n, first.took = vertices, best
				} else {
					b.ReportMetric(math.Log(best/first.took)/math.Log(vertices/first.n), "power")
				}
				b.ReportMetric(vertices, "vertices")
				b.ReportMetric(best/vertices, "best-ns/vertex")
				b.ReportMetric(bytesKept(in)/vertices, "B/vertex-kept")
			})
		}
	}
}

// bytesKept returns what a map of the layers holds on to.
func bytesKept(in []Layer) float64 {
	var before, after runtime.MemStats
	collect := func() {
		for range 3 { // what pools hold goes at the second time
			runtime.GC()
		}
	}
	collect()
	runtime.ReadMemStats(&before)
	m, err := Build(context.Background(), in, Options{})
	if err != nil {
		return math.NaN()
	}
	collect()
	runtime.ReadMemStats(&after)
	runtime.KeepAlive(m)
	runtime.KeepAlive(in)
	return float64(after.HeapAlloc) - float64(before.HeapAlloc)
}
