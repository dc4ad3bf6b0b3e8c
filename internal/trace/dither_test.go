package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"math"
	"slices"
	"testing"

	"abut/internal/job"
)

// landscape is a drawing with shades: a red house under a sky that grows paler, on ground that grows darker.
func landscape(side int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	for y := range side {
		c := color.NRGBA{R: uint8(60 + 160*y/side), G: uint8(150 + 80*y/side), B: 250, A: 255}
		if 3*y > 2*side {
			c = color.NRGBA{R: 40, G: uint8(255 - 200*y/side), B: 30, A: 255}
		}
		for x := range side {
			img.Set(x, y, c)
		}
	}
	draw.Draw(img, image.Rect(side/3, side/3, 2*side/3, side*3/4), image.NewUniform(red), image.Point{}, draw.Src)
	return img
}

// shades are 14 colours of such a drawing.
func shades() (p color.Palette) {
	for i := range 6 {
		p = append(p, color.NRGBA{R: uint8(60 + 32*i), G: uint8(150 + 16*i), B: 250, A: 255})
		p = append(p, color.NRGBA{R: 40, G: uint8(30 + 20*i), B: 30, A: 255})
	}
	return append(p, red, color.White)
}

func paletted(t *testing.T, img image.Image, p color.Palette, how draw.Drawer) []byte {
	t.Helper()
	out := image.NewPaletted(img.Bounds(), p)
	how.Draw(out, img.Bounds(), img, image.Point{})
	var b bytes.Buffer
	if err := gif.Encode(&b, out, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func rings(res *Result) (n int) {
	for _, l := range res.Layers {
		for _, s := range job.Shapes(l.Content) {
			n += len(s.Path)
		}
	}
	return n
}

func warned(res *Result, id string) bool {
	return slices.ContainsFunc(res.Warnings, func(w job.Warning) bool { return w.ID == id })
}

// What a GIF shows of shades by dots is traced as shades, in few pieces: as dots these are 2,000 and more.
func TestTrace_TakesDotsForTheShadesTheyShow(t *testing.T) {
	for _, palette := range []color.Palette{shades(), {color.Black, color.White, color.NRGBA{R: 200, A: 255}, color.NRGBA{B: 255, A: 255}, color.NRGBA{G: 200, A: 255}}} {
		file := paletted(t, landscape(300), palette, draw.FloydSteinberg)
		res, err := Trace(context.Background(), bytes.NewReader(file), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if n := rings(res); n > 150 || !warned(res, WarnDots) {
			t.Errorf("of %d colours: %d rings, %v", len(palette), n, res.Warnings)
		}
		if got := res.Canvas.Width(); got != 300 {
			t.Errorf("it is %v wide", got)
		}
	}
}

// The house is where it was drawn, to half a pixel.
func TestTrace_KeepsWhatLiesAmongDots(t *testing.T) {
	res, err := Trace(context.Background(), bytes.NewReader(paletted(t, landscape(300), shades(), draw.FloydSteinberg)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	house := layerOf(res, red)
	b := house.Bounds()
	for _, off := range []float64{b.Min.X - 100, b.Min.Y - 100, b.Max.X - 200, b.Max.Y - 225} {
		if off > 1 || off < -1 {
			t.Errorf("the house is at %v", b)
			break
		}
	}
}

// A palette alone makes no dots, nor do thin lines, or squares of an icon.
func TestTrace_TakesForDotsOnlyWhatIsStrewn(t *testing.T) {
	lines := image.NewNRGBA(image.Rect(0, 0, 240, 240))
	for y := range 240 {
		for x := range 240 {
			lines.Set(x, y, color.White)
			if x%4 == 0 || y%9 == 0 && x%3 > 0 {
				lines.Set(x, y, color.Black)
			}
		}
	}
	board := image.NewNRGBA(image.Rect(0, 0, 64, 64)) // an icon of squares of a pixel is meant to be
	for y := range 64 {
		for x := range 64 {
			board.Set(x, y, color.Gray{Y: uint8(255 * ((x + y) % 2))})
		}
	}
	for name, file := range map[string][]byte{
		"landscape":  paletted(t, landscape(300), shades(), draw.Src),
		"lighthouse": paletted(t, lighthouse(300), shades(), draw.Src),
		"lines":      paletted(t, lines, color.Palette{color.Black, color.White}, draw.Src),
		"board":      paletted(t, board, color.Palette{color.Black, color.White}, draw.Src),
	} {
		p, err := Read(context.Background(), bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if p.pic.isDithered() {
			t.Errorf("%s counts as dithered", name)
		}
	}
}

// A photo made black and white by dots has most of them in few places, where all else is plain: what they show is there, in
// few pieces.
func TestTrace_TakesDotsForShadesWhereMuchIsPlain(t *testing.T) {
	const side = 480
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			c := uint8(255)
			switch d := math.Hypot(float64(x-240), float64(y-200)); {
			case y > 360:
				c = 0
			case d < 130: // a ball
				c = uint8(40 + 200*max(0, 130-math.Hypot(float64(x-200), float64(y-160)))/130)
			}
			img.Set(x, y, color.Gray{Y: c})
		}
	}
	file := paletted(t, img, color.Palette{color.Black, color.White}, draw.FloydSteinberg)
	res, err := Trace(context.Background(), bytes.NewReader(file), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := rings(res); n > 60 || len(res.Inks) < 4 || !warned(res, WarnDots) {
		t.Errorf("%d rings of %d colours, %v", n, len(res.Inks), res.Warnings)
	}
}
