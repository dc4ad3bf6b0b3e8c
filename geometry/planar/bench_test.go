package planar

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
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
				m.Divide(topmost(m))
			}
		})
	}
}
