package planar

import (
	"context"
	"testing"
	"time"

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
			divided(m, topmost(m))
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
