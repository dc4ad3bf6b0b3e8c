package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/gif"
	"math"
	"testing"

	"abut/geometry"
)

// buoy is a picture of our own on nothing: a float with a band, a pole above it and a lamp.
func buoy() ([]geometry.Path, []color.NRGBA) {
	disc := func(x, y, r float64) geometry.Path { return geometry.Path{geometry.Ellipse(geometry.Pt(x, y), r, r)} }
	return []geometry.Path{
		disc(80.3, 105.6, 38.4),
		letter(1, 45, 98, 114, 92, 117, 103, 44, 109),
		letter(1, 76, 30, 84, 30, 86, 62, 74, 62),
		disc(80, 24, 9.3),
	}, []color.NRGBA{red, paper, soot, light}
}

// cut returns the picture as it is when it was smoothed against a colour and cut out: what has less than least of
// 255 of anything drawn is not there.
func cut(img *image.NRGBA, matte color.NRGBA, least uint8) *image.NRGBA {
	out := image.NewNRGBA(img.Rect)
	for i := 0; i < len(img.Pix); i += 4 {
		a := img.Pix[i+3]
		if a < least {
			continue
		}
		for k, m := range [3]uint8{matte.R, matte.G, matte.B} {
			out.Pix[i+k] = uint8((int(img.Pix[i+k])*int(a) + int(m)*(255-int(a)) + 127) / 255)
		}
		out.Pix[i+3] = 255
	}
	return out
}

// What was smoothed against a page, and cut out of it pixel by pixel, has a fringe of that page's colour, of which nothing is
// cut: pieces are as they were drawn.
func TestTrace_FringeOfAMatteIsTheShapes(t *testing.T) {
	paths, colours := buoy()
	img := paint(160, 150, paths, colours)
	clean := traced(t, img, Options{})
	whole := layerOf(clean, red)
	for name, c := range map[string]struct {
		matte color.NRGBA
		least uint8
	}{
		"white":       {color.NRGBA{255, 255, 255, 255}, 1},
		"black":       {color.NRGBA{0, 0, 0, 255}, 1},
		"grey":        {color.NRGBA{128, 128, 128, 255}, 1},
		"green":       {color.NRGBA{40, 160, 70, 255}, 1},
		"wand":        {color.NRGBA{255, 255, 255, 255}, 30},
		"half":        {color.NRGBA{255, 255, 255, 255}, 128},
		"black, half": {color.NRGBA{0, 0, 0, 255}, 128},
	} {
		t.Run(name, func(t *testing.T) {
			got := traced(t, cut(img, c.matte, c.least), Options{})
			if len(got.Inks) != len(clean.Inks) || rings(got) != rings(clean) {
				t.Errorf("%d colours and %d rings, want %d and %d: %v", len(got.Inks), rings(got), len(clean.Inks), rings(clean), got.Inks)
			}
			most := 0.4
			if c.least >= 128 { // the paler half of each edge is gone
				most = 0.9
			}
			if off := far(layerOf(got, red), whole); off > most || len(layerOf(got, red)) == 0 {
				t.Errorf("the float lies %.2f pixels off", off)
			}
		})
	}
}

// GIF has a palette, too, and one of its colours is nothing.
func TestTrace_FringeInAPalette(t *testing.T) {
	paths, colours := buoy()
	img := paint(160, 150, paths, colours)
	p := color.Palette{color.NRGBA{}}
	for _, c := range append(colours, color.NRGBA{255, 255, 255, 255}) {
		for k := range 6 { // as palettes are: steps towards the page
			at := func(v uint8) uint8 { return uint8((int(v)*(6-k) + 255*k) / 6) }
			p = append(p, color.NRGBA{at(c.R), at(c.G), at(c.B), 255})
		}
	}
	page := cut(img, color.NRGBA{255, 255, 255, 255}, 1)
	out := image.NewPaletted(img.Rect, p)
	for y := range 150 {
		for x := range 160 {
			if c := page.NRGBAAt(x, y); c.A > 0 {
				out.SetColorIndex(x, y, uint8(1+p[1:].Index(c)))
			}
		}
	}
	var b bytes.Buffer
	if err := gif.Encode(&b, out, nil); err != nil {
		t.Fatal(err)
	}
	res, err := Trace(context.Background(), &b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	clean := traced(t, img, Options{})
	if len(res.Inks) != len(clean.Inks) || rings(res) > rings(clean)+1 {
		t.Errorf("%d colours and %d rings, want %d and %d: %v", len(res.Inks), rings(res), len(clean.Inks), rings(clean), res.Inks)
	}
}

// An outline that somebody drew stays, also one of a blend of what it is around and of the page.
func TestTrace_DrawnOutlineIsNoFringe(t *testing.T) {
	pink := color.NRGBA{230, 148, 150, 255}
	for name, c := range map[string]struct {
		outline, matte color.NRGBA
		broad          float64
	}{
		"white sticker, white page":     {color.NRGBA{255, 255, 255, 255}, color.NRGBA{255, 255, 255, 255}, 5},
		"white sticker, black page":     {color.NRGBA{255, 255, 255, 255}, color.NRGBA{0, 0, 0, 255}, 5},
		"thin white line, white page":   {color.NRGBA{255, 255, 255, 255}, color.NRGBA{255, 255, 255, 255}, 2},
		"a blend of two, three pixels":  {pink, color.NRGBA{255, 255, 255, 255}, 3},
		"a blend of two, of two pixels": {pink, color.NRGBA{255, 255, 255, 255}, 2},
	} {
		t.Run(name, func(t *testing.T) {
			disc := func(r float64) geometry.Path { return geometry.Path{geometry.Ellipse(geometry.Pt(70.2, 70.4), r, r)} }
			img := paint(140, 140, []geometry.Path{disc(50 + c.broad), disc(50)}, []color.NRGBA{c.outline, red})
			res := traced(t, cut(img, c.matte, 1), Options{})
			want := math.Pi * ((50+c.broad)*(50+c.broad) - 50*50)
			if got := math.Abs(layerOf(res, c.outline).SignedArea()); math.Abs(got-want) > 0.35*want {
				t.Errorf("%.0f square pixels of the outline, want about %.0f: %v", got, want, res.Inks)
			}
		})
	}
}

// What was painted pixel by pixel is as it was painted: a dark rim around each figure is no fringe.
func TestUnmatted_LeavesOthersAlone(t *testing.T) {
	ctx := context.Background()
	paths, colours := buoy()
	same := func(name string, p *picture) {
		t.Helper()
		q, err := p.unmatted(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if q != p {
			t.Errorf("%s: taken for what was cut out of a page", name)
		}
	}
	same("smoothed", pictureOf(paint(160, 150, paths, colours)))
	same("not smoothed", pictureOf(jagged(160, 150, paths, colours)))
	same("opaque", pictureOf(lighthouse(100)))
	rimmed := jagged(160, 150, paths, colours)
	in := pictureOf(rimmed)
	whole, err := in.cutOut(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range whole.rims[1] {
		v := in.pix[i]
		in.pix[i] = rgba{v[0] / 2, v[1] / 2, v[2] / 2, 255}
	}
	same("with a dark rim", in)
}
