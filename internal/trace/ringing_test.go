package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// Around black a lossy file leaves traces in white that look like an off-white which is in
// the picture, too: they are white. The off-white is one disc.
func TestTrace_RingingIsNoPieces(t *testing.T) {
	const size = 320
	white, black, pale := color.NRGBA{255, 255, 255, 255}, color.NRGBA{0x29, 0x2f, 0x33, 255}, color.NRGBA{0xf5, 0xf8, 0xfa, 255}
	img := image.NewNRGBA(image.Rect(0, 0, size, size))
	for i := range size * size {
		x, y := float64(i%size)-159.7, float64(i/size)-160.2
		r2, c := x*x+y*y*1.3, white
		switch {
		case r2 < 70*70:
			c = pale
		case r2 < 120*120:
			c = black
		}
		img.Set(i%size, i/size, c)
	}
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, img, 80)), Options{Tracing: job.Tracing{BareGround: true}})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range res.Layers {
		n := 0
		for _, s := range job.Shapes(l.Content) {
			n += len(s.Path)
		}
		if l.Colour.DeltaE(colour.RGB{R: 0xf5, G: 0xf8, B: 0xfa}) < 2 && n != 1 {
			t.Errorf("off-white is %d pieces", n)
		}
	}
	if len(res.Layers) != 2 {
		t.Errorf("%d layers, want black and off-white", len(res.Layers))
	}
}

// Blue is as light as this green: a lossy file tells their edge at half the resolution. It
// is a circle all the same, of a few curves, to within the grain of that.
func TestTrace_AnEdgeThatOnlyColourTellsIsSmooth(t *testing.T) {
	const size, r = 320, 110.0
	blue, green := color.NRGBA{0x3b, 0x88, 0xc3, 255}, color.NRGBA{0x5c, 0x91, 0x3b, 255}
	centre := geometry.Pt(160.3, 159.6)
	drawn := paint(size, size, []geometry.Path{geometry.RectXYWH(0, 0, size, size).Path(), {geometry.Ellipse(centre, r, r)}}, []color.NRGBA{green, blue})
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, drawn, 80)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	disc := layerOf(res, blue)
	if len(disc) != 1 || len(disc[0].Segments) > 12 {
		t.Fatalf("%d outlines, the first of %d curves", len(disc), len(disc[0].Segments))
	}
	for a := range disc.Flatten(0.05)[0].Sides() {
		if off := math.Abs(a.Sub(centre).Len() - r); off > 1.25 {
			t.Errorf("%.2f pixels off at %v", off, a)
		}
	}
}
