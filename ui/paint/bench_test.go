package paint

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// blob is a wobbly outline of n vertices.
func blob(r *rand.Rand, c geometry.Point, radius float64, n int) geometry.Path {
	a, b, ph := 0.1+0.1*r.Float64(), 0.05+0.05*r.Float64(), r.Float64()*6
	pts := make([]geometry.Point, n)
	for i := range pts {
		t := 2 * math.Pi * float64(i) / float64(n)
		rr := radius * (1 + a*math.Sin(3*t+ph) + b*math.Sin(11*t) + 0.01*r.Float64())
		s, k := math.Sincos(t)
		pts[i] = c.Add(geometry.Pt(k*rr, s*rr))
	}
	return geometry.Path{geometry.Polygon(pts...)}
}

// heavyJob is the load that the drawing is measured with: 30 layers of 2,000
// vertices on a 160 × 105 mm board.
func heavyJob(layers, vertices int) job.Job {
	r := rand.New(rand.NewPCG(7, 7))
	ls := make([]job.Layer, layers)
	for i := range ls {
		c := geometry.Pt(20+r.Float64()*120, 20+r.Float64()*65)
		ls[i] = job.Layer{
			Content: outlines(shape(blob(r, c, 8+r.Float64()*9, vertices))),
			Colour:  colour.RGB{R: uint8(r.UintN(256)), G: uint8(r.UintN(256)), B: uint8(r.UintN(256))},
		}
	}
	return testJob(ls...)
}

func benchDrag(b *testing.B, w, h, layers, vertices int) {
	view := image.Rect(0, 0, w, h)
	scale := float64(w) / 160
	s := new(Builder).Scene(heavyJob(layers, vertices), scale, view)
	l := &s.Layers[layers/2]
	var c Counter
	b.ResetTimer()
	for i := range b.N {
		l.Shift = image.Pt(i%40-20, i%30-15)
		box := l.Box().Inset(-8).Intersect(view)
		img := white(box)
		s.Compose(img)
		c.Count(s, box.Inset(-2))
		c.Paint(img, 1, image.Point{})
	}
}

func BenchmarkDragFrame_30x2000_1112x735(b *testing.B)  { benchDrag(b, 1112, 735, 30, 2000) }
func BenchmarkDragFrame_200x500_1112x735(b *testing.B)  { benchDrag(b, 1112, 735, 200, 500) }
func BenchmarkDragFrame_30x2000_2880x1800(b *testing.B) { benchDrag(b, 2880, 1800, 30, 2000) }

func BenchmarkMasks_30x2000_1112x735(b *testing.B) {
	j := heavyJob(30, 2000)
	view := image.Rect(0, 0, 1112, 735)
	for i := range b.N {
		new(Builder).Scene(j, 1112.0/160+float64(i%7)/100, view)
	}
}

func BenchmarkWholeFrame_30x2000_1112x735(b *testing.B) {
	view := image.Rect(0, 0, 1112, 735)
	s := new(Builder).Scene(heavyJob(30, 2000), 1112.0/160, view)
	var c Counter
	img := white(view)
	for range b.N {
		s.Compose(img)
		c.Count(s, view)
		c.Paint(img, 1, image.Point{})
	}
}
