package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"math"
	"slices"
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

// Shades of a few hundred pixels are told apart from what lies beside them, though their
// edges leave hardly a quiet pixel in these: paddles with a narrow shadow along one side, on
// red.
func TestTrace_NarrowShadesInALossyFile(t *testing.T) {
	wood, shadow, ground := color.NRGBA{0xf3, 0xa2, 0x5b, 255}, color.NRGBA{0xeb, 0x8a, 0x2e, 255}, color.NRGBA{0xf0, 0x58, 0x4a, 255}
	paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 300, 300).Path()}, []color.NRGBA{ground}
	turn := geometry.Rotate(0.6)
	for k := range 4 {
		y := -40 + 60*float64(k)
		paths = append(paths, roundedRect(60, y, 200, 24, 5).Transform(turn), roundedRect(60, y+16.5, 200, 7.5, 3).Transform(turn))
		colours = append(colours, wood, shadow)
	}
	drawn := paint(300, 300, paths, colours)
	for _, quality := range []int{60, 75, 90} {
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, drawn, quality)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []color.NRGBA{wood, shadow, ground} {
			if !slices.ContainsFunc(res.Layers, func(l job.Layer) bool { return l.Colour.DeltaE(rgba{c.R, c.G, c.B, 255}.onWhite()) < 4 }) {
				t.Errorf("quality %d: nothing of %v in %v", quality, c, res.Inks)
			}
		}
		if len(res.Layers) != 3 {
			t.Errorf("quality %d: %d colours", quality, len(res.Layers))
		}
	}
}

// sharpened returns a picture with twice what differs from the mean of 3 × 3 around it.
func sharpened(img image.Image) *image.NRGBA {
	b := img.Bounds()
	out := image.NewNRGBA(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			var sum [3]int
			for k := range 9 {
				d := color.NRGBAModel.Convert(img.At(min(max(x+k%3-1, b.Min.X), b.Max.X-1), min(max(y+k/3-1, b.Min.Y), b.Max.Y-1))).(color.NRGBA)
				sum[0], sum[1], sum[2] = sum[0]+int(d.R), sum[1]+int(d.G), sum[2]+int(d.B)
			}
			sharp := func(v uint8, sum int) uint8 { return uint8(min(max(2*int(v)-sum/9, 0), 255)) }
			out.SetNRGBA(x, y, color.NRGBA{sharp(c.R, sum[0]), sharp(c.G, sum[1]), sharp(c.B, sum[2]), 255})
		}
	}
	return out
}

// What sharpening leaves beside edges is no colour that was drawn, and no piece, as it is or
// in a lossy file.
func TestTrace_SharpenedEdgesAreNoPieces(t *testing.T) {
	drawn := lighthouse(300)
	want := traced(t, drawn, Options{})
	outlines := len(outlinesOf(want))
	check := func(name string, res *Result) {
		if got := len(outlinesOf(res)); len(res.Layers) != len(want.Layers) || got > outlines+3 {
			t.Errorf("%s: %d colours of %d, %d outlines of %d", name, len(res.Layers), len(want.Layers), got, outlines)
		}
	}
	check("PNG", traced(t, sharpened(drawn), Options{}))
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, sharpened(drawn), 80)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	check("JPEG", res)
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
