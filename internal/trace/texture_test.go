package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"abut/internal/job"
)

// hatched returns a drawing as coloured pencils leave it: aslant strokes some pixels long, between
// which paper shows.
func hatched(img *image.NRGBA) *image.NRGBA {
	b := img.Bounds()
	r := rand.New(rand.NewPCG(11, 0))
	noise := make([]float64, b.Dx()*b.Dy())
	for i := range noise {
		noise[i] = r.NormFloat64()
	}
	out := image.NewNRGBA(b)
	for y := range b.Dy() {
		for x := range b.Dx() {
			sum, n := 0.0, 0.0
			for k := -9; k <= 9; k++ {
				if u, v := x+k, y+k/2; u >= 0 && v >= 0 && u < b.Dx() && v < b.Dy() {
					sum, n = sum+noise[v*b.Dx()+u], n+1
				}
			}
			c := img.NRGBAAt(x, y)
			c.A = uint8(float64(c.A) * (0.65 + 0.3*math.Tanh(2*sum/math.Sqrt(n))))
			for k, paper := range [3]uint8{247, 244, 238} {
				p := [3]*uint8{&c.R, &c.G, &c.B}[k]
				*p = uint8((int(*p)*int(c.A) + int(paper)*(255-int(c.A))) / 255)
			}
			c.A = 255
			out.SetNRGBA(x, y, c)
		}
	}
	return out
}

// What was coloured in with pencils comes out as areas, as many as were drawn, and the message says so.
func TestTrace_ColoursInWhatPencilsHatched(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 700, 700))
	for y := range 700 {
		for x := range 700 {
			switch d := math.Hypot(float64(x)-350, float64(y)-350); {
			case math.Hypot(float64(x)-270, float64(y)-290) < 40, math.Hypot(float64(x)-430, float64(y)-290) < 40:
				img.SetNRGBA(x, y, color.NRGBA{30, 40, 60, 255})
			case d < 200:
				img.SetNRGBA(x, y, color.NRGBA{240, 170, 40, 255})
			case d < 260:
				img.SetNRGBA(x, y, color.NRGBA{200, 40, 45, 255})
			}
		}
	}
	file := asJPEG(t, photographed(hatched(img), func(_, _ float64) [3]float64 { return [3]float64{0.97, 0.97, 0.97} }), 85)
	pieces := func(detail int) (int, *Result) {
		res, err := Trace(context.Background(), bytes.NewReader(file), Options{Tracing: job.Tracing{Detail: detail}})
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, l := range res.Layers {
			n += len(job.Shapes(l.Content))
		}
		return n, res
	}
	n, res := pieces(0) // one eye may be a little darker
	if len(res.Inks) > 5 || n > 8 || !warned(res, WarnHatched) {
		t.Errorf("%d colours, %d pieces, said so: %v", len(res.Inks), n, warned(res, WarnHatched))
	}
	if n, res := pieces(1); n < 100 || warned(res, WarnHatched) {
		t.Errorf("%d strokes where they are asked for, said so: %v", n, warned(res, WarnHatched))
	}
}

// Small dots that a program drew are no strokes of a pencil.
func TestTrace_KeepsDotsThatWerePainted(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 600, 600))
	for y := range 600 {
		for x := range 600 {
			c := color.NRGBA{240, 190, 200, 255}
			if math.Hypot(float64(x%40)-20, float64(y%40)-20) < 5 {
				c = color.NRGBA{250, 225, 230, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, img, 80)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, l := range res.Layers {
		n += len(job.Shapes(l.Content))
	}
	if n != 15*15+1 {
		t.Errorf("%d pieces, %d dots were painted on one ground", n, 15*15)
	}
}

// Photographed dots that look nearly like what they lie on are no crumbs that pencils left.
func TestTrace_KeepsSmallThingsThatArePhotographed(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 600, 600))
	for y := range 600 {
		for x := range 600 {
			c := color.NRGBA{240, 190, 200, 255}
			if math.Hypot(float64(x%24)-12, float64(y%24)-12) < 7 {
				c = color.NRGBA{253, 250, 250, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	lamp := func(x, _ float64) [3]float64 { return [3]float64{0.98 - 0.1*x, 0.97 - 0.1*x, 0.95 - 0.1*x} }
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, photographed(img, lamp), 85)), Options{Tracing: job.Tracing{KeepGround: true}})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, l := range res.Layers {
		n += len(job.Shapes(l.Content))
	}
	if n < 25*25 || warned(res, WarnHatched) {
		t.Errorf("%d pieces, %d dots were printed, taken for strokes: %v", n, 25*25, warned(res, WarnHatched))
	}
}
