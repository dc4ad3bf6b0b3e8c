package trace

import (
	"bytes"
	"context"
	"image/color"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// Small letters of one colour stay of one colour in a lossy file, and of theirs, whatever
// other colours there are: lines of two pixels, beside areas of navy, green and yellow.
func TestTrace_SmallLettersInALossyFileAreOfOneColour(t *testing.T) {
	white, navy, green, yellow, brick := color.NRGBA{255, 255, 255, 255}, color.NRGBA{20, 40, 80, 255}, color.NRGBA{14, 98, 81, 255}, color.NRGBA{255, 236, 170, 255}, color.NRGBA{200, 60, 30, 255}
	paths := []geometry.Path{geometry.RectXYWH(0, 0, 320, 160).Path(), {geometry.Ellipse(geometry.Pt(60, 50), 45, 40)}, {geometry.Ellipse(geometry.Pt(60, 50), 25, 20)}, roundedRect(130, 20, 170, 60, 12)}
	colours := []color.NRGBA{white, green, yellow, navy}
	for k := range 12 {
		x, y := 12.3+25.37*float64(k), 112.2+1.3*float64(k)
		at := geometry.Translate(x, y)
		letters := []geometry.Path{
			append(geometry.Path{geometry.Ellipse(geometry.Pt(7, 7), 7, 7)}, geometry.Path{geometry.Ellipse(geometry.Pt(7, 7), 4.9, 4.9)}.Reverse()...),
			letter(16, 0, 0, 0.8, 0, 0.8, 0.13, 0.14, 0.13, 0.14, 0.43, 0.7, 0.43, 0.7, 0.56, 0.14, 0.56, 0.14, 0.87, 0.8, 0.87, 0.8, 1, 0, 1),
			letter(16, 0, 0, 0.16, 0, 0.5, 0.7, 0.84, 0, 1, 0, 0.58, 1, 0.42, 1),
		}
		paths, colours = append(paths, letters[k%3].Transform(at)), append(colours, brick)
	}
	drawn := paint(320, 160, paths, colours)
	for _, quality := range []int{60, 75, 90} {
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, drawn, quality)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		of := rgba{brick.R, brick.G, brick.B, 255}.onWhite()
		letters, others := 0, 0
		for _, l := range res.Layers {
			for _, s := range job.Shapes(l.Content) {
				b := s.Path.Bounds()
				switch {
				case b.Min.Y < 105:
				case l.Colour.DeltaE(of) < 12:
					letters++
				case b.Width() < 20 && l.Colour.DeltaE(rgba{255, 255, 255, 255}.onWhite()) > 5:
					others++
				}
			}
		}
		if letters != 12 || others > 0 {
			t.Errorf("quality %d: %d letters of 12, %d pieces of other colours in them; %v", quality, letters, others, res.Inks)
		}
	}
}

// What colour small letters have on white does not depend on others of theirs on a dark ground, from which they differ the other
// way.
func TestTrace_SmallLettersOnTwoGroundsKeepTheirColour(t *testing.T) {
	white, navy, brick := color.NRGBA{255, 255, 255, 255}, color.NRGBA{20, 40, 80, 255}, color.NRGBA{230, 60, 40, 255}
	inkOf := func(dark, quality int) rgba {
		paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 320, 200).Path(), geometry.RectXYWH(0, 100, 320, 100).Path()}, []color.NRGBA{white, navy}
		for k := range 12 + dark {
			at := geometry.Translate(12.3+25.37*float64(k%12), 60.3+80.1*float64(k/12))
			ring := append(geometry.Path{geometry.Ellipse(geometry.Pt(7, 7), 7, 7)}, geometry.Path{geometry.Ellipse(geometry.Pt(7, 7), 4.9, 4.9)}.Reverse()...)
			paths, colours = append(paths, ring.Transform(at)), append(colours, brick)
		}
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, paint(320, 200, paths, colours), quality)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range res.Layers {
			if c := l.Colour; c.R > 150 && c.G < 100 {
				return rgba{c.R, c.G, c.B, 255}
			}
		}
		t.Fatalf("quality %d: nothing red in %v", quality, res.Inks)
		return rgba{}
	}
	for _, quality := range []int{75, 90} {
		want := inkOf(0, quality)
		if got := inkOf(4, quality); got.onWhite().DeltaE(want.onWhite()) > 2 {
			t.Errorf("quality %d: %v with letters on navy, %v without", quality, got, want)
		}
	}
}

// The dots of small letters stay, as painted and in a lossy file; specks of an edge do not
// come with them.
func TestTrace_DotsOfSmallLettersStay(t *testing.T) {
	white, navy := color.NRGBA{255, 255, 255, 255}, color.NRGBA{20, 40, 80, 255}
	paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 240, 90).Path(), roundedRect(20, 10, 200, 30, 9)}, []color.NRGBA{white, navy}
	for k := range 9 {
		at := geometry.Translate(14.3+25.37*float64(k), 64.2+1.3*float64(k))
		for _, p := range []geometry.Path{
			append(geometry.Path{geometry.Ellipse(geometry.Pt(7, 7), 7, 7)}, geometry.Path{geometry.Ellipse(geometry.Pt(7, 7), 4.7, 4.7)}.Reverse()...),
			{geometry.Ellipse(geometry.Pt(4.2, -3.5), 1.3, 1.3)}, {geometry.Ellipse(geometry.Pt(9.8, -3.5), 1.3, 1.3)},
		} {
			paths, colours = append(paths, p.Transform(at)), append(colours, navy)
		}
	}
	drawn := paint(240, 90, paths, colours)
	check := func(name string, res *Result) {
		pieces := 0
		for _, l := range res.Layers {
			if l.Colour.DeltaE(rgba{navy.R, navy.G, navy.B, 255}.onWhite()) < 8 {
				pieces += len(job.Shapes(l.Content))
			}
		}
		if len(res.Layers) != 2 || pieces != 1+3*9 {
			t.Errorf("%s: %d colours, %d pieces of %d", name, len(res.Layers), pieces, 1+3*9)
		}
	}
	check("PNG", traced(t, drawn, Options{}))
	for _, quality := range []int{75, 90} {
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, drawn, quality)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		check("JPEG", res)
	}
}
