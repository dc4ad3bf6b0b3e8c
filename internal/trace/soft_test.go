package trace

import (
	"context"
	"image"
	"image/color"
	"math"
	"testing"

	"abut/geometry"
)

// halo returns how much there is at a place of a shadow beneath the buoy, which fades out over so many pixels from
// its outline on.
func halo(outline geometry.Path, over, most float64) func(x, y float64) float64 {
	inside := geometry.NewEnclosure(outline)
	return func(x, y float64) float64 {
		p := geometry.Pt(x, y)
		if inside.Holds(p) {
			return most
		}
		return most * math.Max(0, 1-outline.Distance(p)/over)
	}
}

// over lays a picture over a colour of which there is so much at each place.
func over(img *image.NRGBA, c color.NRGBA, share func(x, y float64) float64) *image.NRGBA {
	out := image.NewNRGBA(img.Rect)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			top := img.NRGBAAt(x, y)
			a := float64(top.A) / 255
			b := (1 - a) * math.Round(255*share(float64(x)+0.5, float64(y)+0.5)) / 255
			if a+b == 0 {
				continue
			}
			at := func(u, v uint8) uint8 { return uint8(math.Round((float64(u)*a + float64(v)*b) / (a + b))) }
			out.SetNRGBA(x, y, color.NRGBA{at(top.R, c.R), at(top.G, c.G), at(top.B, c.B), uint8(math.Round(255 * (a + b)))})
		}
	}
	return out
}

// What fades out around shapes is no shape: they are as they were drawn, and it is told.
func TestTrace_LeavesOutSoftShadows(t *testing.T) {
	paths, colours := buoy()
	img := paint(160, 150, paths, colours)
	clean := traced(t, img, Options{})
	whole := layerOf(clean, red)
	outline := paths[0].Flatten(0.05)
	below := outline.Transform(geometry.Translate(3, 3))
	for name, c := range map[string]struct {
		colour color.NRGBA
		share  func(x, y float64) float64
	}{
		"a shadow":       {color.NRGBA{0, 0, 0, 255}, halo(below, 9, 0.5)},
		"a glow":         {color.NRGBA{255, 220, 120, 255}, halo(outline, 10, 0.9)},
		"a small shadow": {color.NRGBA{40, 0, 40, 255}, halo(outline, 6, 0.6)},
		"on the ground": {color.NRGBA{0, 0, 0, 255}, func(x, y float64) float64 {
			return math.Max(0, 0.5-math.Hypot((x-30)/26, (y-30)/15)/2)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			got := traced(t, over(img, c.colour, c.share), Options{})
			if len(got.Inks) != len(clean.Inks) || rings(got) != rings(clean) || !warned(got, WarnSoft) {
				t.Errorf("%d colours and %d rings, want %d and %d, told: %v", len(got.Inks), rings(got), len(clean.Inks), rings(clean), warned(got, WarnSoft))
			}
			if off := far(layerOf(got, red), whole); off > 0.4 || len(layerOf(got, red)) == 0 {
				t.Errorf("the float lies %.2f pixels off", off)
			}
		})
	}
	if warned(clean, WarnSoft) {
		t.Error("smoothed edges are taken for soft ones")
	}
}

// A rim that fades out, of the colour of what it is the rim of, ends where it is half there.
func TestTrace_SoftRimEndsHalfway(t *testing.T) {
	disc := func(r float64) geometry.Path { return geometry.Path{geometry.Ellipse(geometry.Pt(70.2, 70.4), r, r)} }
	img := paint(140, 140, []geometry.Path{disc(40), disc(30)}, []color.NRGBA{paper, sea})
	got := traced(t, over(img, paper, halo(disc(39).Flatten(0.05), 12, 1)), Options{})
	if want := math.Pi * 45 * 45; math.Abs(outlinesOf(got).SignedArea()-want) > 0.02*want || len(got.Inks) != 2 || rings(got) != 3 {
		t.Errorf("%.0f square pixels, want %.0f; %d colours in %d rings", outlinesOf(got).SignedArea(), want, len(got.Inks), rings(got))
	}
	if !warned(got, WarnSoft) {
		t.Error("it is not told")
	}
}

// Glass, a beam of light with sharp sides, and what is soft all over are no shadows.
func TestHardened_LeavesOthersAlone(t *testing.T) {
	disc := func(x, y, r float64) geometry.Path { return geometry.Path{geometry.Ellipse(geometry.Pt(x, y), r, r)} }
	plain := paint(140, 140, []geometry.Path{disc(50, 70, 30)}, []color.NRGBA{sea})
	beam := letter(1, 80, 66, 138, 40, 138, 100, 80, 74)
	in := geometry.NewEnclosure(beam)
	for name, img := range map[string]*image.NRGBA{
		"smoothed": plain,
		"glass":    over(plain, light, func(x, y float64) float64 { return 0.4 * halo(disc(90, 70, 40).Flatten(0.05), 0.5, 1)(x, y) }),
		"beam": over(plain, light, func(x, y float64) float64 {
			if !in.Holds(geometry.Pt(x, y)) {
				return 0
			}
			return 0.8 * (140 - x) / 60
		}),
		"cloud": over(image.NewNRGBA(image.Rect(0, 0, 140, 140)), sky, halo(disc(70, 70, 20).Flatten(0.05), 40, 1)),
	} {
		p := pictureOf(img)
		q, is, err := p.hardened(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if is || q != p {
			t.Errorf("%s is taken for a shadow, or for a soft rim", name)
		}
	}
}
