package board

import (
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/ui/theme"
)

// heavyJob is wobbly layers of so many vertices on 160 × 105 mm.
func heavyJob(layers, vertices int) job.Job {
	r := rand.New(rand.NewPCG(7, 7))
	it := job.Item{ID: 1, Canvas: geometry.RectXYWH(0, 0, 160, 105), Placement: geometry.Identity()}
	for i := range layers {
		c := geometry.Pt(20+r.Float64()*120, 20+r.Float64()*65)
		radius, ph := 8+r.Float64()*9, r.Float64()*6
		pts := make([]geometry.Point, vertices)
		for k := range pts {
			t := 2 * math.Pi * float64(k) / float64(len(pts))
			s, co := math.Sincos(t)
			rr := radius * (1 + 0.15*math.Sin(3*t+ph) + 0.07*math.Sin(11*t))
			pts[k] = c.Add(geometry.Pt(co*rr, s*rr))
		}
		it.Layers = append(it.Layers, job.Layer{
			ID: job.LayerID(i + 1), Shown: true, Alpha: 1, Transform: geometry.Identity(),
			Colour:  colour.RGB{R: uint8(r.UintN(256)), G: uint8(r.UintN(256)), B: uint8(r.UintN(256))},
			Content: job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(pts...)}}}},
		})
	}
	return job.Job{Items: []job.Item{it}}
}

// heavyBoard is a board as large as the window of 1440 × 900 leaves it, or with
// density 2 that of 2880 × 1800, with the heavy job.
func heavyBoard(tb testing.TB, density, layers, vertices int, deliver func(func())) *Board {
	app := test.NewTempApp(tb.(*testing.B))
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	b := New(deliver)
	b.Modifiers = func() fyne.KeyModifier { return 0 }
	w := test.NewTempWindow(tb.(*testing.B), b)
	w.SetPadded(false)
	w.Canvas().(interface{ SetScale(float32) }).SetScale(float32(density))
	w.Resize(fyne.NewSize(928, 735))
	b.SetJob(heavyJob(layers, vertices), nil, false)
	w.Canvas().Capture()
	return b
}

// One frame of a drag as the painter makes it: base kept, dirty box composed,
// counted, marked, outlined.
func benchDragFrame(b *testing.B, density, layers, vertices int) {
	bd := heavyBoard(b, density, layers, vertices, nil)
	c := bd.job.Items[0].Layers[layers/2].ID
	bd.Select([]job.LayerID{c})
	r := &request{job: bd.job, view: bd.view, density: density, paper: bd.paper, selection: bd.selection, moving: bd.selection, dragging: true}
	if bd.painter.paint(r).over == nil {
		b.Fatal("nothing is dragged") // a frame of nothing costs nothing
	}
	b.ResetTimer()
	for i := range b.N {
		r.shift = image.Pt(i%60-30, i%40-20)
		bd.painter.paint(r)
	}
}

func BenchmarkDragFrame_30x2000_1440x900(b *testing.B)  { benchDragFrame(b, 1, 30, 2000) }
func BenchmarkDragFrame_200x500_1440x900(b *testing.B)  { benchDragFrame(b, 1, 200, 500) }
func BenchmarkDragFrame_30x2000_2880x1800(b *testing.B) { benchDragFrame(b, 2, 30, 2000) }
func BenchmarkDragFrame_200x500_2880x1800(b *testing.B) { benchDragFrame(b, 2, 200, 500) }

// What a drag event costs the event thread, and how far the picture lags
// behind, with the painter in its own goroutine.
func BenchmarkDragEvent_30x2000(b *testing.B) {
	queue := make(chan func(), 1000)
	bd := heavyBoard(b, 1, 30, 2000, func(f func()) { queue <- f })
	drain := func() {
		for {
			select {
			case f := <-queue:
				f()
				continue
			case <-time.After(time.Millisecond):
			}
			if bd.painter.idle() && len(queue) == 0 {
				return
			}
		}
	}
	drain()
	p := bd.PositionOf(geometry.Pt(80, 50))
	for x := 20.0; x < 140; x += 2 { // somewhere there is a layer
		p = bd.PositionOf(geometry.Pt(x, 50))
		if len(bd.hitsAt(bd.pixel(p))) > 0 {
			break
		}
	}
	bd.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p}, Button: desktop.MouseButtonPrimary})
	var events, pictures []time.Duration
	b.ResetTimer()
	for i := range b.N {
		start := time.Now()
		bd.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: p.AddXY(float32(10+i%60), float32(10+i%40))}})
		events = append(events, time.Since(start))
		f := <-queue
		f()
		bd.drawing() // as the toolkit does with every frame
		(<-queue)()
		pictures = append(pictures, time.Since(start))
	}
	b.StopTimer()
	b.ReportMetric(float64(p95(events).Nanoseconds()), "event-p95-ns")
	b.ReportMetric(float64(p95(pictures).Nanoseconds()), "picture-p95-ns")
}

func p95(d []time.Duration) time.Duration {
	slices.Sort(d)
	return d[len(d)*95/100]
}

// A step of the wheel: all masks anew at another zoom, in and out by turns.
func benchZoomStep(b *testing.B, density, layers, vertices int) {
	bd := heavyBoard(b, density, layers, vertices, nil)
	b.ResetTimer()
	for i := range b.N {
		if i%2 == 0 {
			bd.Zoom(1.2)
		} else {
			bd.Zoom(1 / 1.2)
		}
	}
}

func BenchmarkZoomStep_30x2000_1440x900(b *testing.B)  { benchZoomStep(b, 1, 30, 2000) }
func BenchmarkZoomStep_200x500_1440x900(b *testing.B)  { benchZoomStep(b, 1, 200, 500) }
func BenchmarkZoomStep_30x2000_2880x1800(b *testing.B) { benchZoomStep(b, 2, 30, 2000) }
func BenchmarkZoomStep_200x500_2880x1800(b *testing.B) { benchZoomStep(b, 2, 200, 500) }

// Small weak spots all over the window, each with its ring: what painting their marks takes of a picture.
func BenchmarkSpots_200_1440x900(b *testing.B) {
	r := &request{view: view{scale: 10, size: image.Pt(1440, 900)}, density: 1}
	for i := range 200 {
		r.spots = append(r.spots, spotOf(geometry.RectXYWH(float64(i%20)*7.2, float64(i/20)*9, 0.1, 0.1)))
	}
	p, img := &painter{}, image.NewRGBA(r.view.window())
	for b.Loop() {
		p.paintSpots(img, r)
	}
}
