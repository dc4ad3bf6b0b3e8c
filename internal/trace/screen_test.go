package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"testing"
)

var (
	newsprint = color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	cyan      = color.NRGBA{R: 40, G: 120, B: 200, A: 255}
	magenta   = color.NRGBA{R: 230, G: 60, B: 60, A: 255}
	outline   = color.NRGBA{R: 20, G: 20, B: 20, A: 255}
)

// comic is a face with a red tint over a shirt with a blue one, drawn as printers do: screens of dots at their angles,
// with outline and eyes over them.
func comic(side int, pitch float64) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	dot := func(x, y, degrees, share float64) bool {
		s, c := math.Sincos(degrees * math.Pi / 180)
		u, v := (x*c+y*s)/pitch, (y*c-x*s)/pitch
		return math.Hypot(u-math.Round(u), v-math.Round(v)) < math.Sqrt(share/math.Pi)
	}
	at := func(x, y float64) color.NRGBA {
		u, v := x/float64(side), y/float64(side)
		d := math.Hypot(u-0.5, v-0.4)
		switch {
		case math.Abs(d-0.25) < 0.008, math.Hypot(u-0.42, v-0.35) < 0.03, math.Hypot(u-0.58, v-0.35) < 0.03:
			return outline
		case d < 0.25 && dot(x, y, 15, 0.25), d >= 0.25 && v > 0.75 && dot(x, y, 75, 0.4):
			if d < 0.25 {
				return magenta
			}
			return cyan
		}
		return newsprint
	}
	const fine = 4
	for y := range side {
		for x := range side {
			var sum [3]int
			for k := range fine * fine {
				c := at(float64(x)+(float64(k%fine)+0.5)/fine, float64(y)+(float64(k/fine)+0.5)/fine)
				sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
			}
			n := fine * fine
			img.Set(x, y, color.NRGBA{R: uint8(sum[0] / n), G: uint8(sum[1] / n), B: uint8(sum[2] / n), A: 255})
		}
	}
	return img
}

func pngOf(t *testing.T, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Of the screens of a printed comic come tints, in few pieces, under outlines and eyes as they were drawn: as dots these are 1,500.
func TestTrace_TakesScreensForTheTintsTheyShow(t *testing.T) {
	for _, side := range []int{400, 640} {
		res, err := Trace(context.Background(), bytes.NewReader(pngOf(t, comic(side, float64(side)/80))), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if n := rings(res); n > 60 || len(res.Inks) > 7 || !warned(res, WarnDots) {
			t.Errorf("%d pixels: %d rings of %d colours, %v", side, n, len(res.Inks), res.Warnings)
		}
		for what, want := range map[string]color.NRGBA{
			"outline": outline, "face": {R: 249, G: 206, B: 206, A: 255}, "shirt": {R: 169, G: 201, B: 233, A: 255},
		} {
			least := 255
			for _, ink := range res.Inks {
				least = min(least, apart(rgba{ink.Colour.R, ink.Colour.G, ink.Colour.B}, rgba{want.R, want.G, want.B}))
			}
			if least > 16 {
				t.Errorf("%d pixels: no colour is that of the %s: %v", side, what, res.Inks)
			}
		}
	}
}

// Outline and eyes keep their pixels, but for some where a dot touches them.
func TestTrace_KeepsWhatIsDrawnOverScreens(t *testing.T) {
	const side = 640
	p, err := Read(context.Background(), bytes.NewReader(pngOf(t, comic(side, 8))))
	if err != nil {
		t.Fatal(err)
	}
	q, was, err := p.pic.descreened(context.Background())
	if err != nil || !was {
		t.Fatalf("%v, screened %v", err, was)
	}
	dark := func(p *picture, x, y int) bool { return p.pix[y*side+x][0] < 128 && p.pix[y*side+x][2] < 110 }
	others, all := 0, 0
	for y := range side {
		for x := range side {
			if dark(p.pic, x, y) {
				all++
			}
			if dark(p.pic, x, y) != dark(q, x, y) {
				others++
			}
		}
	}
	if 50*others > all {
		t.Errorf("%d pixels of what is drawn are others, of %d", others, all)
	}
}

// Dots that are a pattern, few or irregular, and lines are no screen.
func TestDescreened_LeavesWhatIsMeant(t *testing.T) {
	draw := func(side int, is func(x, y int) bool) *image.NRGBA {
		img := image.NewNRGBA(image.Rect(0, 0, side, side))
		for y := range side {
			for x := range side {
				img.Set(x, y, newsprint)
				if is(x, y) {
					img.Set(x, y, cyan)
				}
			}
		}
		return img
	}
	strewn, r := map[[2]int]bool{}, rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		strewn[[2]int{r.IntN(400), r.IntN(400)}] = true
	}
	round := func(x, y, pitch, off int, r float64) bool {
		return math.Hypot(float64((x+off)%pitch-pitch/2), float64(y%pitch-pitch/2)) < r
	}
	for name, img := range map[string]image.Image{
		"polka dots":      draw(800, func(x, y int) bool { return round(x, y, 20, y/20%2*10, 5) }),
		"few small dots":  draw(800, func(x, y int) bool { return x < 200 && y < 200 && round(x, y, 10, 0, 3) }),
		"a board":         draw(512, func(x, y int) bool { return (x/16+y/16)%2 == 0 }),
		"lines":           draw(600, func(x, y int) bool { return x%8 < 3 }),
		"a grid":          draw(600, func(x, y int) bool { return x%20 < 3 || y%20 < 3 }),
		"strewn dots":     draw(800, func(x, y int) bool { return strewn[[2]int{x / 2, y / 2}] }),
		"dots of a pixel": draw(300, func(x, y int) bool { return x%2 == 0 && y%2 == 0 }),
	} {
		p, err := Read(context.Background(), bytes.NewReader(pngOf(t, img)))
		if err != nil {
			t.Fatal(err)
		}
		if _, was, err := p.pic.descreened(context.Background()); err != nil || was {
			t.Errorf("%s: %v, taken for a screen: %v", name, err, was)
		}
	}
}
