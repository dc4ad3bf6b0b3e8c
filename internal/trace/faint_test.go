package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// asRGB is a colour without its opacity.
func asRGB(c color.NRGBA) colour.RGB { return colour.RGB{R: c.R, G: c.G, B: c.B} }

func middle(p geometry.Path) geometry.Point { return p.Bounds().Min.Lerp(p.Bounds().Max, 0.5) }

// countNear returns how many pieces have their middle within two pixels of one of some places and a colour nearer to
// one than to another.
func countNear(res *Result, places []geometry.Point, one, other color.NRGBA) (n int) {
	for _, at := range places {
		if slices.ContainsFunc(res.Layers, func(l job.Layer) bool {
			return l.Colour.DeltaE(asRGB(one)) < l.Colour.DeltaE(asRGB(other)) && slices.ContainsFunc(job.Shapes(l.Content), func(s job.Shape) bool {
				return middle(s.Path).Sub(at).Len() < 2
			})
		}) {
			n++
		}
	}
	return n
}

// lossy traces a picture that was saved as a JPEG.
func lossy(t *testing.T, img image.Image, quality int) *Result {
	t.Helper()
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, img, quality)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// Black eyes of eight pixels are all the black that there is in a face: they stay black, sharpened and in a
// lossy file. They came out bare: black was taken for a tint of what is transparent.
func TestTrace_SmallBlackEyesStay(t *testing.T) {
	sky, face, black := color.NRGBA{0xbf, 0xe3, 0xf2, 255}, color.NRGBA{0xff, 0xd8, 0x4d, 255}, color.NRGBA{0, 0, 0, 255}
	eyes := []geometry.Point{geometry.Pt(136.3, 128.1), geometry.Pt(184.2, 128.4)}
	paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 320, 320).Path(), {geometry.Ellipse(geometry.Pt(160, 170), 100, 100)}}, []color.NRGBA{sky, face}
	for _, at := range eyes {
		paths, colours = append(paths, geometry.Path{geometry.Ellipse(at, 4, 4)}), append(colours, black)
	}
	drawn := paint(320, 320, paths, colours)
	for name, res := range map[string]*Result{
		"PNG": traced(t, drawn, Options{}), "JPEG 75": lossy(t, drawn, 75), "JPEG 90": lossy(t, drawn, 90),
		"sharpened JPEG": lossy(t, sharpened(drawn), 85), "sharpened twice": traced(t, sharpened(sharpened(drawn)), Options{}),
	} {
		if n := countNear(res, eyes, black, face); n != 2 {
			t.Errorf("%s: %d eyes of 2, %v", name, n, res.Inks)
		}
	}
}

// Freckles in a colour between those of skin and hair stay, though each pixel could be a blend of these.
func TestTrace_FrecklesStay(t *testing.T) {
	skin, hair, freckle := color.NRGBA{0xf6, 0xcf, 0xa8, 255}, color.NRGBA{0x5c, 0x34, 0x18, 255}, color.NRGBA{0xc9, 0x8a, 0x5e, 255}
	paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 300, 300).Path(), geometry.RectXYWH(0, 0, 300, 90).Path()}, []color.NRGBA{skin, hair}
	var places []geometry.Point
	for k := range 8 {
		at := geometry.Pt(60.3+25.4*float64(k), 180.2+7.7*float64(k%3))
		places = append(places, at)
		paths, colours = append(paths, geometry.Path{geometry.Ellipse(at, 2.5, 2.5)}), append(colours, freckle)
	}
	drawn := paint(300, 300, paths, colours)
	for name, res := range map[string]*Result{"PNG": traced(t, drawn, Options{}), "JPEG 75": lossy(t, drawn, 75), "JPEG 85": lossy(t, drawn, 85)} {
		if n := countNear(res, places, freckle, skin); n != len(places) {
			t.Errorf("%s: %d freckles of %d", name, n, len(places))
		}
	}
}

// The bars of letters stay that are narrower than a pixel, wherever between pixels they lie.
func TestTrace_ThinBarsOfLettersStay(t *testing.T) {
	white, black := color.NRGBA{255, 255, 255, 255}, color.NRGBA{0x20, 0x20, 0x20, 255}
	paths, colours := []geometry.Path{geometry.RectXYWH(0, 0, 300, 60).Path(), geometry.RectXYWH(10, 45, 280, 8).Path()}, []color.NRGBA{white, black}
	var bars []geometry.Point
	for k := range 12 { // H: stems of 1.4 pixels, a bar of 0.8
		x, y := 12.3+23.37*float64(k), 10.2+1.3*float64(k)
		paths = append(paths, geometry.RectXYWH(x, y, 1.4, 15).Path(), geometry.RectXYWH(x+8, y, 1.4, 15).Path(), geometry.RectXYWH(x, y+7, 9, 0.8).Path())
		colours = append(colours, black, black, black)
		bars = append(bars, geometry.Pt(x+4.7, y+7.4))
	}
	drawn := paint(300, 60, paths, colours)
	for name, res := range map[string]*Result{"PNG": traced(t, drawn, Options{}), "JPEG 85": lossy(t, drawn, 85)} {
		n := 0
		for _, l := range res.Layers {
			if l.Colour.DeltaE(asRGB(black)) > l.Colour.DeltaE(asRGB(white)) {
				continue
			}
			for _, s := range job.Shapes(l.Content) {
				in := geometry.NewEnclosure(s.Path.Flatten(0.01))
				for _, at := range bars {
					if in.Holds(at) {
						n++
					}
				}
			}
		}
		if n < len(bars)-1 { // the edges of one that lies half in either row may miss its middle
			t.Errorf("%s: %d bars of %d", name, n, len(bars))
		}
	}
}

// What shows and cannot be kept is told, with a place and how large a picture helps.
func TestTrace_TellsWhatIsTooFaint(t *testing.T) {
	white, navy := color.NRGBA{255, 255, 255, 255}, color.NRGBA{20, 40, 80, 255}
	dot := geometry.Pt(40.5, 60.5)
	img := paint(200, 120, []geometry.Path{geometry.RectXYWH(0, 0, 200, 120).Path(), geometry.RectXYWH(120, 0, 80, 120).Path(), {geometry.Ellipse(dot, 1.4, 1.4)}},
		[]color.NRGBA{white, navy, {240, 180, 180, 255}})
	res := traced(t, img, Options{})
	told := slices.IndexFunc(res.Warnings, func(w job.Warning) bool { return w.ID == WarnFaint || w.ID == WarnSpecks })
	kept := slices.ContainsFunc(outlinesOf(res), func(c geometry.Contour) bool {
		return middle(geometry.Path{c}).Sub(dot).Len() < 2
	})
	if kept || told < 0 {
		t.Fatalf("kept %v, warnings %v", kept, res.Warnings)
	}
	if w := res.Warnings[told]; w.ID != WarnFaint || w.Args["x"] != "40" || w.Args["y"] != "60" || w.Args["side"] != "400" {
		t.Errorf("%v", w)
	}
}

// Of ten thousand dots of as many colours, as a dithered picture has them, the colour comes first that the most of them looks like.
func TestMostOf_IsTheColourThatMostLooksLike(t *testing.T) {
	var list []faintThing
	for i := range 10_000 {
		list = append(list, faintThing{ground: uint8(i % 2), peak: rgba{uint8(i % 250), uint8(i / 250 * 6), 0, 255}, worth: 1})
	}
	list = append(list, faintThing{peak: rgba{90, 90, 250, 255}, worth: 4000}, faintThing{peak: rgba{91, 90, 250, 255}, worth: 4000}, faintThing{peak: rgba{0, 250, 250, 255}, worth: 5000})
	tr := &tracer{strange: 3}
	if best := tr.mostOf(list); best.count != 8000 || best.c[2] != 250 || best.c[0] < 90 {
		t.Errorf("%v, worth %d", best.c, best.count)
	}
}
