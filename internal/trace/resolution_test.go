package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"math"
	"testing"

	"golang.org/x/image/draw"

	"abut/geometry"
)

func scaledUp(img image.Image, by draw.Interpolator, side int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, side, side))
	by.Scale(out, out.Rect, img, img.Bounds(), draw.Src, nil)
	return out
}

// A picture that was scaled up has the colours of the small one, and hardly more outline:
// blends along edges make none of their own. It keeps its size.
func TestTrace_APictureScaledUpIsTheSmallOne(t *testing.T) {
	small := lighthouse(160)
	want := traced(t, small, Options{})
	nodes := func(res *Result) (n int) {
		for _, p := range outlinesOf(res) {
			n += len(p.Segments)
		}
		return n
	}
	for _, c := range []struct {
		name string
		by   draw.Interpolator
		side int
	}{{"cubic", draw.CatmullRom, 640}, {"linear", draw.BiLinear, 500}, {"pixels repeated", draw.NearestNeighbor, 800}} {
		res := traced(t, scaledUp(small, c.by, c.side), Options{})
		if got := geometry.RectXYWH(0, 0, float64(c.side), float64(c.side)); res.Canvas != got {
			t.Errorf("%s: the canvas is %v of %v", c.name, res.Canvas, got)
		}
		if len(res.Layers) != len(want.Layers) {
			t.Errorf("%s: %d colours, the small one has %d", c.name, len(res.Layers), len(want.Layers))
		}
		if n, most := nodes(res), 2*nodes(want); n > most {
			t.Errorf("%s: %d curves, the small one has %d", c.name, n, most/2)
		}
		// The rock's outline lies where it did.
		scale := float64(c.side) / 160
		off := far(layerOf(res, amber), layerOf(want, amber).Transform(geometry.Scale(scale, scale)))
		if off > 0.6*scale {
			t.Errorf("%s: the rock is %.2f pixels of the small one off", c.name, off/scale)
		}
	}
}

func outlinesOf(res *Result) (out geometry.Path) {
	for _, l := range res.Layers {
		out = append(out, layerOf(res, color.NRGBA{l.Colour.R, l.Colour.G, l.Colour.B, 255})...)
	}
	return out
}

// What was drawn of squares stays squares, each of them.
func TestTrace_SquaresThatWereDrawnStay(t *testing.T) {
	const squares, side = 12, 8
	img := image.NewNRGBA(image.Rect(0, 0, squares*side, squares*side))
	for i := range len(img.Pix) / 4 {
		x, y := i%(squares*side)/side, i/(squares*side)/side
		c := paper
		switch {
		case x == 4 && y == 5 || x == 7 && y == 5: // eyes
			c = soot
		case (2*x-11)*(2*x-11)+(2*y-11)*(2*y-11) < 80:
			c = amber
		}
		img.SetNRGBA(i%(squares*side), i/(squares*side), c)
	}
	eyes := layerOf(traced(t, img, Options{}), soot)
	if len(eyes) != 2 || math.Abs(eyes.SignedArea()-2*side*side) > 1 || cornersOf(eyes) != 8 {
		t.Errorf("%d eyes of %.1f square pixels, with %d corners", len(eyes), eyes.SignedArea(), cornersOf(eyes))
	}
}

// A thin line between a light and a dark area, whose brightness is between theirs, is no
// broad edge: the picture is traced as it is.
func TestResolved_TakesNoThinLineForABlur(t *testing.T) {
	c := geometry.Pt(80, 80)
	all := geometry.RectXYWH(0, 0, 160, 160).Path()
	img := paint(160, 160, []geometry.Path{all, {geometry.Ellipse(c, 61.4, 55)}, {geometry.Ellipse(c, 59.6, 53.2)}}, []color.NRGBA{paper, {200, 120, 60, 255}, soot})
	p := pictureOf(img)
	q, err := p.resolved(context.Background())
	if err != nil || q != p {
		t.Errorf("it is taken for %.2f times smaller, %v", float64(p.w)/float64(q.w), err)
	}
}

// A glow whose slope is the only edge there is but for a small disc is no blur, and the disc stays; an icon of 32 pixels that was
// scaled up to 16 times as many is one.
func TestResolved_TakesNoGradientForABlur(t *testing.T) {
	glow := image.NewNRGBA(image.Rect(0, 0, 200, 200))
	for i := range 200 * 200 {
		x, y := float64(i%200)-100, float64(i/200)-100
		light := uint8(math.Max(0, 255-2.5*math.Hypot(x, y)))
		c := color.NRGBA{light, light, 255, 255}
		if math.Hypot(x-30, y-20) < 4 {
			c = color.NRGBA{200, 0, 0, 255}
		}
		glow.SetNRGBA(i%200, i/200, c)
	}
	for name, c := range map[string]struct {
		img     image.Image
		smaller bool
	}{"glow": {glow, false}, "icon": {scaledUp(lighthouse(32), draw.BiLinear, 512), true}} {
		p := pictureOf(c.img)
		q, err := p.resolved(context.Background())
		if err != nil || (q.w < p.w) != c.smaller {
			t.Errorf("%s: %d pixels of %d, %v", name, q.w, p.w, err)
		}
	}
}

// Means of what pixels cover keep the mean of all, whatever the factor.
func TestReduced_KeepsTheMean(t *testing.T) {
	p := pictureOf(lighthouse(101))
	mean := func(p *picture) (sum float64) {
		for _, c := range p.pix {
			sum += float64(c.brightness())
		}
		return sum / float64(len(p.pix))
	}
	for _, factor := range []float64{1.2, 2, 3.7} {
		q, err := p.reduced(context.Background(), factor)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := mean(q), mean(p); math.Abs(got-want) > 0.5 {
			t.Errorf("%v times smaller: %.2f bright, was %.2f", factor, got, want)
		}
	}
}

// A drawing of few edges, saved as a JPEG of low quality, is a lossy picture all the same:
// the waves beside its edges make no colours.
func TestTrace_FewEdgesInALossyFile(t *testing.T) {
	const side = 400
	s := float64(side)
	white := color.NRGBA{255, 255, 255, 255}
	img := paint(side, side, []geometry.Path{geometry.RectXYWH(0, 0, s, s).Path(), roundedRect(0.05*s, 0.05*s, 0.9*s, 0.9*s, 0.1*s),
		letter(s, 0.28, 0.8, 0.45, 0.2, 0.55, 0.2, 0.72, 0.8, 0.62, 0.8, 0.5, 0.33, 0.38, 0.8)}, []color.NRGBA{white, {221, 46, 68, 255}, white})
	for _, quality := range []int{40, 50, 60} {
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, img, quality)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Layers) != 2 || len(outlinesOf(res)) != 5 {
			t.Errorf("quality %d: %d colours, %d outlines", quality, len(res.Layers), len(outlinesOf(res)))
		}
	}
}
