package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// photographed returns a drawing on white paper, half as large again, under a light of each colour
// at a place from 0 0 to 1 1, with grain.
func photographed(img image.Image, light func(x, y float64) [3]float64) *image.RGBA {
	b := img.Bounds()
	w, h := b.Dx()*3/2, b.Dy()*3/2
	r := rand.New(rand.NewPCG(7, 0))
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := [3]float64{247, 244, 238}
			if p := image.Pt(x-w/6, y-h/6); p.In(image.Rectangle{Max: b.Size()}) {
				if r, g, b, a := img.At(b.Min.X+p.X, b.Min.Y+p.Y).RGBA(); a > 0x8000 {
					c = [3]float64{float64(r >> 8), float64(g >> 8), float64(b >> 8)}
				}
			}
			for k, l := range light(float64(x)/float64(w), float64(y)/float64(h)) {
				c[k] = math.Max(0, math.Min(255, c[k]*l+3*r.NormFloat64()))
			}
			out.SetRGBA(x, y, color.RGBA{uint8(c[0]), uint8(c[1]), uint8(c[2]), 255})
		}
	}
	return out
}

// shadow is how dark a shadow is whose edge runs aslant, some of the picture's width broad.
func shadow(x, y, broad float64) float64 {
	return 1 / (1 + math.Exp(-4*(y-0.45-0.4*x)/broad))
}

// byHand is the light beside a hand, a little bluer in its shadow.
func byHand(x, y float64) [3]float64 {
	s := shadow(x, y, 0.06)
	return [3]float64{1 - 0.34*s, 1 - 0.33*s, 1 - 0.31*s}
}

// The shadow of a hand is not cut: what was drawn comes back as without it.
func TestTrace_CutsNoShadow(t *testing.T) {
	drawn := []color.NRGBA{sky, sea, red, soot, light, amber, paper}
	img := lighthouse(560)
	even := func(_, _ float64) [3]float64 { return [3]float64{0.97, 0.97, 0.97} }
	pieces := func(light func(x, y float64) [3]float64) map[any]int {
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, photographed(img, light), 85)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		return piecesOf(res, drawn)
	}
	want, got := pieces(even), pieces(byHand)
	for _, c := range append([]any{nil}, any(sky), any(sea), any(red), any(soot), any(light), any(amber), any(paper)) {
		if got[c] != want[c] {
			t.Errorf("%d pieces of %v, %d under even light", got[c], c, want[c])
		}
	}
}

// What is soft on paper need not be a shadow: a wash of colour, soft pencil within the drawing, and
// light that falls off, which a surface follows, are none.
func TestShadow_IsDarkOfNoColourAndComesIn(t *testing.T) {
	img := lighthouse(400)
	for _, l := range []struct {
		name  string
		light func(x, y float64) [3]float64
		want  bool
	}{
		{"a hand", byHand, true},
		{"a blue wash", func(x, y float64) [3]float64 {
			s := shadow(x, y, 0.2)
			return [3]float64{1 - 0.3*s, 1 - 0.15*s, 1 - 0.02*s}
		}, false},
		{"soft pencil", func(x, y float64) [3]float64 {
			s := 0.4 * math.Exp(-60*((x-0.75)*(x-0.75)+(y-0.75)*(y-0.75)))
			return [3]float64{1 - s, 1 - s, 1 - s}
		}, false},
		{"a lamp to one side", func(x, y float64) [3]float64 {
			s := 0.25*x + 0.1*y*y
			return [3]float64{1 - s, 1 - s, 1 - s}
		}, false},
		{"none", func(_, _ float64) [3]float64 { return [3]float64{0.97, 0.97, 0.97} }, false},
	} {
		p, err := Read(context.Background(), bytes.NewReader(asJPEG(t, photographed(img, l.light), 85)))
		if err != nil {
			t.Fatal(err)
		}
		pic, err := p.pic.smoothed(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		all := pic.bright()
		k, _ := lightOn(paperOf(all), len(all))
		f, err := pic.shadow(context.Background(), func(x, y float64) (v [3]float64) {
			v[0] = dot(k, terms(x, y))
			return v
		})
		if err != nil || (f != nil) != l.want {
			t.Errorf("%s: taken for a shadow %v, %v", l.name, f != nil, err)
		}
	}
}

// Paper that a lamp made yellow is white, and so is cream paper on a scanner; beige that was painted is not.
func TestTrace_TakesPaperForWhite(t *testing.T) {
	img := lighthouse(560)
	of := func(c color.NRGBA) func(_, _ float64) [3]float64 {
		return func(_, _ float64) [3]float64 {
			return [3]float64{float64(c.R) / 247, float64(c.G) / 244, float64(c.B) / 238}
		}
	}
	for _, l := range []struct {
		name  string
		light func(x, y float64) [3]float64
		white bool
	}{
		{"a lamp to one side", func(x, y float64) [3]float64 {
			s := 1 - 0.2*x
			return [3]float64{0.95 * s, 0.88 * s, 0.72 * s}
		}, true},
		{"cream paper", of(color.NRGBA{243, 239, 229, 255}), true},
		{"beige", of(color.NRGBA{232, 214, 178, 255}), false},
	} {
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, photographed(img, l.light), 85)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range res.Inks {
			if far := k.Colour.DeltaE(rgba{255, 255, 255, 255}.onWhite()); k.Ground && (far < 3) != l.white {
				t.Errorf("%s: the ground is %s, ΔE %.1f from white", l.name, k.Colour, far)
			}
		}
		if l.white && !slices.ContainsFunc(res.Inks, func(k Ink) bool { return k.Colour.DeltaE(rgba{red.R, red.G, red.B, 255}.onWhite()) < 6 }) {
			t.Errorf("%s: no red among %v", l.name, res.Inks)
		}
	}
}

// Of a photographed drawing, too, it is told what its file left open: that it has several pictures, or
// colours of its own.
func TestEvened_IsFromTheSameFile(t *testing.T) {
	p, err := Read(context.Background(), bytes.NewReader(asJPEG(t, photographed(lighthouse(300), byHand), 85)))
	if err != nil {
		t.Fatal(err)
	}
	p.pic.several, p.pic.profiled = true, true
	even, err := p.pic.evened(context.Background())
	if err != nil || even == nil || !even.several || !even.profiled {
		t.Errorf("%+v, %v", even != nil && even.several && even.profiled, err)
	}
}

// A pale tint beside the paper, of which both lie in the light and in the shadow, hides no shadow.
func TestShadow_IsSeenBesideAPaleTint(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 500, 500))
	for y := range 500 {
		for x := range 500 {
			switch d := math.Hypot(float64(x)-250, float64(y)-250); {
			case d < 90:
				img.SetNRGBA(x, y, color.NRGBA{50, 65, 215, 255})
			case d < 240:
				img.SetNRGBA(x, y, color.NRGBA{222, 237, 255, 255})
			}
		}
	}
	p, err := Read(context.Background(), bytes.NewReader(asJPEG(t, photographed(img, byHand), 85)))
	if err != nil {
		t.Fatal(err)
	}
	pic, err := p.pic.smoothed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	all := pic.bright()
	k, _ := lightOn(paperOf(all), len(all))
	f, err := pic.shadow(context.Background(), func(x, y float64) [3]float64 { return [3]float64{dot(k, terms(x, y))} })
	if err != nil || f == nil {
		t.Errorf("no shadow is seen, %v", err)
	}
}
