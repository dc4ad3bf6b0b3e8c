package fit

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// blobs is a job of wavy closed outlines that overlap much, each layer in one
// of the given number of colours.
func blobs(layers, vertices, colours int) job.Job {
	rng := rand.New(rand.NewPCG(7, 7))
	it := job.Item{ID: 1, Placement: geometry.Identity(), Copies: 1}
	for i := range layers {
		cx, cy := rng.Float64()*60, rng.Float64()*60
		a1, a2, p1, p2 := rng.Float64()*0.3, rng.Float64()*0.1, rng.Float64()*6, rng.Float64()*6
		pts := make([]geometry.Point, vertices)
		for k := range pts {
			t := 2 * math.Pi * float64(k) / float64(vertices)
			r := 20 * (1 + a1*math.Sin(3*t+p1) + a2*math.Sin(17*t+p2))
			pts[k] = geometry.Pt(cx+r*math.Cos(t), cy+r*math.Sin(t))
		}
		c := uint8(i % colours)
		it.Layers = append(it.Layers, job.Layer{
			ID: job.LayerID(i + 1), Alpha: 1, Transform: geometry.Identity(), Shown: true,
			Colour:  colour.RGB{R: c * 8, G: 255 - c*8, B: c * 64},
			Content: job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(pts...)}}}},
		})
	}
	return job.Job{Items: []job.Item{it}}
}

// The benchmarks' picture has 30 layers of 2,000 vertices: as drawn (all of it
// stacked, ten and more deep in places) and knocked out.
func benchJobs(b *testing.B) map[string]job.Job {
	fresh := blobs(30, 2000, 30)
	return map[string]job.Job{"fresh": fresh, "fresh8colours": blobs(30, 2000, 8), "knocked": knockAll(b, fresh)}
}

func BenchmarkCompute(b *testing.B) {
	for name, j := range benchJobs(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				mustPlan(b, j)
			}
		})
	}
}

// The topmost layer's flag is toggled each time: the map is remembered.
func BenchmarkCacheKnock(b *testing.B) {
	for name, j := range benchJobs(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			var c Cache
			on := false
			for b.Loop() {
				on = !on
				k, err := job.SetKnocks(j, []job.LayerID{30}, on)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := c.Compute(context.Background(), k); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What the map alone costs, to compare.
func BenchmarkMapAlone(b *testing.B) {
	placed, _, err := new(own.Surrounds).Place(context.Background(), blobs(30, 2000, 30))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := own.Lay(context.Background(), placed); err != nil {
			b.Fatal(err)
		}
	}
}

// Only the frame changes: pieces are remembered too.
func BenchmarkCacheFrame(b *testing.B) {
	for name, j := range benchJobs(b) {
		b.Run(name, func(b *testing.B) {
			var c Cache
			margin := 5.0
			for b.Loop() {
				margin = 11 - margin
				k, err := job.SetFrame(j, job.FrameRule{Mode: job.FrameAlways, MarginMM: margin})
				if err != nil {
					b.Fatal(err)
				}
				if _, err := c.Compute(context.Background(), k); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
