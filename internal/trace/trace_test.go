package trace

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/job"
)

var (
	sky   = color.NRGBA{150, 205, 240, 255}
	sea   = color.NRGBA{30, 90, 150, 255}
	red   = color.NRGBA{205, 40, 45, 255}
	soot  = color.NRGBA{35, 35, 45, 255}
	light = color.NRGBA{255, 225, 90, 255}
)

// lighthouse is a picture of our own, of many edges that meet: a striped tower on
// a rock, its light, and lines of a pixel or two at 200 pixels.
func lighthouse(side int) *image.NRGBA {
	k := float64(side) / 100
	var paths []geometry.Path
	var colours []color.NRGBA
	add := func(c color.NRGBA, p geometry.Path) {
		paths, colours = append(paths, p.Transform(geometry.Scale(k, k))), append(colours, c)
	}
	poly := func(v ...float64) geometry.Path {
		var p []geometry.Point
		for i := 0; i < len(v); i += 2 {
			p = append(p, geometry.Pt(v[i], v[i+1]))
		}
		return geometry.Path{geometry.Polygon(p...)}
	}
	add(sky, geometry.RectXYWH(0, 0, 100, 100).Path())
	add(paper, geometry.Path{geometry.Ellipse(geometry.Pt(21, 22), 13, 6)})
	add(sea, poly(0, 74.3, 40, 71, 100, 75.7, 100, 100, 0, 100))
	add(amber, geometry.Path{geometry.Ellipse(geometry.Pt(57, 86), 31, 12)})
	add(paper, poly(48, 84, 51.2, 34, 64.8, 34, 68, 84))
	add(red, poly(49, 71, 49.8, 58, 66.2, 58, 67, 71))
	add(red, poly(50.4, 46, 51.1, 35.5, 64.9, 35.5, 65.6, 46))
	add(soot, poly(49, 36.2, 49, 33.5, 67, 33.5, 67, 36.2))
	add(light, poly(52, 33.5, 52, 24, 64, 24, 64, 33.5))
	add(soot, poly(57.6, 33.5, 57.6, 24, 58.4, 24, 58.4, 33.5))
	add(red, poly(50.5, 24, 58, 16, 65.5, 24))
	add(soot, poly(5, 97, 5.6, 96.2, 31, 88, 30.7, 89.1))
	return paint(side, side, paths, colours)
}

// checkMap puts the layers on one map: none lies over another, and in an opaque
// picture none leaves a gap. It returns the area that is covered.
func checkMap(t *testing.T, res *Result) float64 {
	t.Helper()
	var layers []planar.Layer
	for _, l := range res.Layers {
		var figures []planar.Figure
		for _, s := range job.Shapes(l.Content) {
			figures = append(figures, planar.Figure{Path: s.Path, Rule: s.Rule})
		}
		layers = append(layers, planar.Layer{Figures: figures})
	}
	m, err := planar.Build(context.Background(), layers, planar.Options{})
	if err != nil {
		t.Fatal(err)
	}
	covered, stacked := 0.0, 0.0
	for f := range planar.FaceID(m.NumFaces()) {
		switch k := len(m.Cover(f)); {
		case k > 1:
			stacked += m.AreaMM2(f)
			fallthrough
		case k == 1:
			covered += m.AreaMM2(f)
		}
	}
	if stacked > 1e-3 {
		t.Errorf("%.4f square pixels lie under two layers", stacked)
	}
	return covered
}

func asJPEG(t *testing.T, img image.Image, quality int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestTrace_StacksNothingAndLeavesNoGap(t *testing.T) {
	for _, side := range []int{60, 200, 333} {
		img := lighthouse(side)
		check := func(name string, res *Result) {
			want := res.Canvas.Width() * res.Canvas.Height()
			if got := checkMap(t, res); math.Abs(got-want) > 1e-2 {
				t.Errorf("%s at %d px: %.4f square pixels of %v are covered", name, side, got, want)
			}
		}
		check("PNG", traced(t, img, Options{}))
		res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, img, 40)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		check("JPEG", res)
	}
	// Noise is the worst there is: nothing but junctions.
	r := rand.New(rand.NewPCG(4, 0))
	img := image.NewNRGBA(image.Rect(0, 0, 48, 48))
	for i := range img.Pix {
		img.Pix[i] = uint8(r.UintN(2) * 255)
		if i%4 == 3 {
			img.Pix[i] = 255
		}
	}
	checkMap(t, traced(t, img, Options{}))
}

// crowded is a picture of squares in which every other pixel is another of their colours
// or a blend of two: nothing finer can be drawn.
func crowded(seed uint64) *image.NRGBA {
	const side, square = 32, 8
	r := rand.New(rand.NewPCG(seed, 1))
	inks := []color.NRGBA{paper, sea, red}
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	for i := range side * side {
		x, y := i%side, i/side
		c := inks[(x/square+y/square)%3]
		if x%square > 1 && y%square > 1 && r.IntN(2) == 0 {
			c = inks[r.IntN(3)]
			if r.IntN(2) == 0 {
				d, share := inks[r.IntN(3)], r.Float64()
				mix := func(a, b uint8) uint8 { return uint8(float64(a)*share + float64(b)*(1-share)) }
				c = color.NRGBA{mix(c.R, d.R), mix(c.G, d.G), mix(c.B, d.B), 255}
			}
		}
		img.SetNRGBA(x, y, c)
	}
	return img
}

// The first five are the only ones of 12,000 in which something stacked: an outline ran
// through a point twice and crossed itself there, one turned inside out, two met the
// border in the wrong order, one ran along itself.
func TestTrace_StacksNothingWherePixelsAreCrowded(t *testing.T) {
	seeds := []uint64{901, 1209, 1311, 3244, 11177}
	for seed := range uint64(100) {
		seeds = append(seeds, seed)
	}
	for _, seed := range seeds {
		if checkMap(t, traced(t, crowded(seed), Options{})); t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

// Islands of a few pixels stay in what they lie in, however coarsely that is drawn.
func TestTrace_KeepsIslandsInTheirRegions(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 0))
	for range 30 {
		// Stripes three pixels wide that wander, with dots of another colour on them.
		img := image.NewNRGBA(image.Rect(0, 0, 64, 64))
		colours := []color.NRGBA{sky, sea, red}
		shift := 0
		for y := range 64 {
			shift += r.IntN(3) - 1
			for x := range 64 {
				c := colours[((x+shift+300)/3)%3]
				if r.IntN(12) == 0 {
					c = light
				}
				img.SetNRGBA(x, y, c)
			}
		}
		res := traced(t, img, Options{Tracing: job.Tracing{Detail: 2}})
		if got := checkMap(t, res); math.Abs(got-64*64) > 1e-2 {
			t.Errorf("%.4f square pixels of %d are covered", got, 64*64)
		}
	}
}

// A lossy file has no colour quite as it was, and may have one more.
func TestTrace_FindsTheColoursThatWereDrawn(t *testing.T) {
	drawn := []color.NRGBA{sky, sea, red, soot, light, amber, paper}
	check := func(name string, res *Result, same float64, more int) {
		far := 0
		for _, l := range res.Layers {
			near := math.Inf(1)
			for _, c := range drawn {
				near = math.Min(near, l.Colour.DeltaE(rgba{c.R, c.G, c.B, 255}.onWhite()))
			}
			if near > same {
				far++
				t.Logf("%s: %s was not drawn", name, l.Colour)
			}
		}
		if far > more || len(res.Layers)-far != len(drawn) {
			t.Errorf("%s: %d colours of %d, and %d others", name, len(res.Layers)-far, len(drawn), far)
		}
	}
	for _, side := range []int{200, 400} {
		check("PNG", traced(t, lighthouse(side), Options{}), 1, 0)
	}
	res, err := Trace(context.Background(), bytes.NewReader(asJPEG(t, lighthouse(400), 90)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	check("JPEG", res, 8, 1)
}

func TestTrace_KeepsToAGivenNumberOfColours(t *testing.T) {
	img := lighthouse(200)
	for _, n := range []int{1, 2, 3, 5, 7, 20} {
		res := traced(t, img, Options{Tracing: job.Tracing{Colours: n}})
		if got := len(res.Layers); got != min(n, 7) {
			t.Errorf("%d colours where %d are allowed", got, n)
		}
	}
}

// Two colours that are joined are one, with the edges that both had.
func TestTrace_JoinsColoursWhereTheirEdgesWere(t *testing.T) {
	rgb := func(c color.NRGBA) colour.RGB { return colour.RGB{R: c.R, G: c.G, B: c.B} }
	all := geometry.RectXYWH(0, 0, 160, 160).Path()
	left, right := geometry.Path{geometry.Ellipse(geometry.Pt(62, 80), 41.3, 41.3)}, geometry.Path{geometry.Ellipse(geometry.Pt(104, 80), 33.3, 33.3)}
	img := paint(160, 160, []geometry.Path{all, left, right}, []color.NRGBA{paper, red, light})
	res := traced(t, img, Options{Tracing: job.Tracing{Joined: []job.Joined{{From: rgb(light), To: rgb(red)}}, BareGround: true}})
	if len(res.Layers) != 1 || len(res.Inks) != 3 {
		t.Fatalf("%d layers of %d colours", len(res.Layers), len(res.Inks))
	}
	got := layerOf(res, red)
	for _, c := range got {
		from := c.Start
		for _, s := range c.Segments {
			for k := range 9 {
				p := s.At(from, float64(k)/8)
				if d := math.Min(left.Distance(p), right.Distance(p)); d > 0.6 {
					t.Fatalf("%.2f px from both circles at %v", d, p)
				}
			}
			from = s.End
		}
	}
}

// A ground of one colour is found, also where it shows through a hole, and left
// bare; a colour left bare is cut nowhere.
func TestTrace_LeavesGroundAndColoursBareWhenAsked(t *testing.T) {
	img := lighthouse(200)
	plain := traced(t, img, Options{})
	ground := 0
	for _, k := range plain.Inks {
		if k.Ground {
			ground++
			t.Logf("the ground is %s", k.Colour)
		}
	}
	if ground > 1 {
		t.Errorf("%d grounds", ground)
	}
	c := geometry.Pt(60, 60)
	ring := append(geometry.Path{geometry.Ellipse(c, 40, 40)}, geometry.Path{geometry.Ellipse(c, 20, 20)}.Reverse()...)
	res := traced(t, paint(120, 120, []geometry.Path{geometry.RectXYWH(0, 0, 120, 120).Path(), ring}, []color.NRGBA{amber, sea}), Options{Tracing: job.Tracing{BareGround: true}})
	want := math.Pi * (40*40 - 20*20)
	if got := checkMap(t, res); len(res.Layers) != 1 || math.Abs(got-want) > 0.002*want {
		t.Errorf("%d layers cover %.1f square pixels, want one and %.1f", len(res.Layers), got, want)
	}
	res = traced(t, img, Options{Tracing: job.Tracing{Bare: []colour.RGB{{R: red.R, G: red.G, B: red.B}}}})
	if len(res.Layers) != len(plain.Layers)-1 || layerOf(res, red) != nil {
		t.Errorf("red left bare: %d layers of %d", len(res.Layers), len(plain.Layers))
	}
}

func TestTrace_LeavesTransparentBare(t *testing.T) {
	c := geometry.Pt(50, 50)
	outer, inner := geometry.Path{geometry.Ellipse(c, 40, 40)}, geometry.Path{geometry.Ellipse(c, 20, 20)}
	res := traced(t, paint(100, 100, []geometry.Path{append(outer, inner.Reverse()...)}, []color.NRGBA{red}), Options{})
	want := math.Pi * (40*40 - 20*20)
	if got := checkMap(t, res); len(res.Layers) != 1 || math.Abs(got-want) > 0.002*want {
		t.Errorf("%d layers cover %.1f square pixels, want one and %.1f", len(res.Layers), got, want)
	}
	// What is half there is told.
	half := traced(t, blocks(20, red, paper, color.NRGBA{20, 80, 180, 128}, paper), Options{})
	if !says(half, WarnClear) || len(half.Layers) != 3 {
		t.Errorf("see-through: %d layers, %v", len(half.Layers), half.Warnings)
	}
}

func says(res *Result, id string) bool {
	for _, w := range res.Warnings {
		if w.ID == id {
			return true
		}
	}
	return false
}

func TestTrace_CountsSpecks(t *testing.T) {
	img := blocks(40, sky, sea, sky, sea)
	for i := range 5 {
		img.SetNRGBA(10+11*i, 20, red)
	}
	for y := range 4 {
		for x := range 4 {
			img.SetNRGBA(60+x, 60+y, red)
		}
	}
	res := traced(t, img, Options{})
	for _, w := range res.Warnings {
		if w.ID == WarnSpecks && w.Args["count"] == "5" {
			return
		}
	}
	t.Errorf("five specks: %v", res.Warnings)
}

// A line that is one pixel wide is a line, in a colour that is nowhere else.
func TestTrace_KeepsLinesOfOnePixel(t *testing.T) {
	all := geometry.RectXYWH(0, 0, 120, 120).Path()
	for _, angle := range []float64{0, 0.2, 0.6, 0.785} {
		line := geometry.RectXYWH(-45, -0.5, 90, 1).Path().Transform(geometry.Translate(60.3, 60.4).Mul(geometry.Rotate(angle)))
		res := traced(t, paint(120, 120, []geometry.Path{all, line}, []color.NRGBA{paper, sea}), Options{})
		got := 0.0
		for _, l := range res.Layers {
			if l.Colour != (rgba{255, 255, 255, 255}).onWhite() {
				for _, s := range job.Shapes(l.Content) {
					got += s.Path.SignedArea()
				}
			}
		}
		if len(res.Layers) != 2 || got < 70 || got > 105 {
			t.Errorf("at %.3f rad: %d layers, a line of %.1f square pixels, drawn with 90", angle, len(res.Layers), got)
		}
	}
}

func TestTrace_IsTheSameEachTime(t *testing.T) {
	file := asJPEG(t, lighthouse(200), 60)
	first, err := Trace(context.Background(), bytes.NewReader(file), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		again, err := Trace(context.Background(), bytes.NewReader(file), Options{})
		if err != nil || !reflect.DeepEqual(first, again) {
			t.Fatalf("another drawing: %v", err)
		}
	}
}

// countdown is a context that ends when it has been asked so many times.
type countdown struct {
	context.Context
	left int
}

func (c *countdown) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestTrace_StopsWhereverItsContextEnds(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, lighthouse(120)); err != nil {
		t.Fatal(err)
	}
	stopped := 0
	for n := 0; ; n = n*3/2 + 1 {
		_, err := Trace(&countdown{context.Background(), n}, bytes.NewReader(b.Bytes()), Options{})
		if err == nil {
			break
		}
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("asked %d times: %v", n, err)
		}
		stopped++
	}
	if stopped < 10 {
		t.Errorf("it asks hardly ever: %d", stopped)
	}
}

func TestResult_SVGIsTheDrawing(t *testing.T) {
	res := traced(t, blocks(8, red, sea, sea, red), Options{})
	var b strings.Builder
	if err := res.WriteSVG(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`viewBox="0 0 16 16"`, `fill="#cd282d"`, `fill="#1e5a96"`, "L8 8"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %s in %s", want, b.String())
		}
	}
}

// Every id has its sentence, every warning its remedy, in each language.
func TestIDs_HaveSentences(t *testing.T) {
	for _, language := range []string{"en", "de"} {
		data, err := os.ReadFile(filepath.Join("..", "words", "messages", "trace."+language+".json"))
		if err != nil {
			t.Fatal(err)
		}
		var words map[string]string
		if err := json.Unmarshal(data, &words); err != nil {
			t.Fatal(err)
		}
		for _, id := range []string{ErrTooBig, ErrTooMany, ErrBroken, ErrTruncated, ErrNothing, ErrGrain, ErrRead, ErrFormat} {
			if words[id] == "" {
				t.Errorf("%s: no sentence for %s", language, id)
			}
		}
		for _, id := range []string{WarnColours, WarnTones, WarnSpecks, WarnFaint, WarnClear, WarnStill, WarnDots, WarnSoft, WarnHatched, WarnProfile, WarnSheet} {
			if words[id] == "" || words[id+".remedy"] == "" {
				t.Errorf("%s: no sentence or no remedy for %s", language, id)
			}
		}
	}
}

// A column at the rim that is a blend with what lies beyond is closed by its edges:
// of that there is no layer, and its ink is not told of.
func TestTrace_MakesNoLayerOfNothing(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 64, 64))
	for i := range 64 * 64 {
		x, y := i%64, i/64
		c := color.NRGBA{222, 33, 16, 255}
		if x == 0 && y > 20 && y < 50 {
			c = color.NRGBA{230, 84, 45, 255}
		} else if y < 10 {
			c = color.NRGBA{255, 222, 8, 255}
		}
		img.SetNRGBA(x, y, c)
	}
	res := traced(t, img, Options{})
	for _, l := range res.Layers {
		area := 0.0
		for _, s := range job.Shapes(l.Content) {
			area += s.Path.SignedArea()
		}
		if area < 0.01 {
			t.Errorf("a layer of %s has no area", l.Colour)
		}
	}
	if len(res.Inks) != len(res.Layers) {
		t.Errorf("%d inks are told of %d layers", len(res.Inks), len(res.Layers))
	}
}

// Where a shape ends within the last row of pixels what is beyond shines through: that
// is no colour of its own.
func TestTrace_TakesNoRimForAColour(t *testing.T) {
	red, yellow := color.NRGBA{222, 33, 16, 255}, color.NRGBA{255, 222, 8, 255}
	rim := image.NewNRGBA(image.Rect(0, 0, 90, 90))
	for i := range 90 * 90 {
		c := red
		if i%90 >= 40 {
			c = yellow
		}
		if i < 90 { // seven tenths of it on white
			c = color.NRGBA{uint8(76 + int(c.R)*7/10), uint8(76 + int(c.G)*7/10), uint8(76 + int(c.B)*7/10), 255}
		}
		rim.SetNRGBA(i%90, i/90, c)
	}
	if res := traced(t, rim, Options{}); len(res.Inks) != 2 {
		t.Errorf("%d inks of red and yellow", len(res.Inks))
	}
}
