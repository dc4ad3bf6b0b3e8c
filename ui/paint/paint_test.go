package paint

import (
	"image"
	"image/color"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

func box(x, y, w, h float64) geometry.Path { return geometry.RectXYWH(x, y, w, h).Path() }

func outlines(shapes ...job.Shape) job.Outlines { return job.Outlines{Shapes: shapes} }

func shape(p geometry.Path) job.Shape { return job.Shape{Path: p} }

func white(r image.Rectangle) *image.RGBA {
	img := image.NewRGBA(r)
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	return img
}

func testJob(layers ...job.Layer) job.Job {
	for i := range layers {
		l := &layers[i]
		l.ID, l.Shown, l.Transform = job.LayerID(i+1), true, geometry.Identity()
		if l.Alpha == 0 {
			l.Alpha = 1
		}
	}
	return job.Job{Items: []job.Item{{ID: 1, Layers: layers, Placement: geometry.Identity()}}}
}

// star is a pentagram: its middle has winding number 2.
func star(c geometry.Point, r float64) geometry.Path {
	var pts []geometry.Point
	for i := range 5 {
		s, k := math.Sincos(float64(i) * 4 * math.Pi / 5)
		pts = append(pts, c.Add(geometry.Pt(s*r, -k*r)))
	}
	return geometry.Path{geometry.Polygon(pts...)}
}

var window = image.Rect(0, 0, 400, 300)

func TestMask_FillRules(t *testing.T) {
	ring := append(box(10, 10, 80, 80), box(30, 30, 40, 40)...)           // same direction
	hole := append(box(10, 10, 80, 80), box(30, 30, 40, 40).Reverse()...) // against it
	for _, c := range []struct {
		name    string
		path    geometry.Path
		rule    geometry.FillRule
		at      image.Point
		covered bool
	}{
		{"nonzero fills what winds the same way", ring, geometry.NonZero, image.Pt(50, 50), true},
		{"nonzero leaves what winds back", hole, geometry.NonZero, image.Pt(50, 50), false},
		{"even-odd leaves the hole", ring, geometry.EvenOdd, image.Pt(50, 50), false},
		{"even-odd fills around it", ring, geometry.EvenOdd, image.Pt(20, 50), true},
		{"even-odd leaves the star's middle", star(geometry.Pt(50, 50), 40), geometry.EvenOdd, image.Pt(50, 50), false},
		{"even-odd fills the star's tip", star(geometry.Pt(50, 50), 40), geometry.EvenOdd, image.Pt(50, 18), true},
		{"nonzero fills the star's middle", star(geometry.Pt(50, 50), 40), geometry.NonZero, image.Pt(50, 50), true},
	} {
		s := shape(c.path)
		s.Rule = c.rule
		m, whole := new(Masker).Layer(outlines(s), geometry.Identity(), 1, window)
		if got := m.At(c.at) == 255; got != c.covered || !whole {
			t.Errorf("%s: coverage %d (whole %v)", c.name, m.At(c.at), whole)
		}
	}
}

// The two rasterisers must agree on shapes where the rules do, edges included.
func TestMask_RulesAgreeOnSimpleShapes(t *testing.T) {
	path := geometry.Path{geometry.Ellipse(geometry.Pt(51.3, 47.9), 33.3, 21.7), geometry.Polygon(geometry.Pt(100, 10.5), geometry.Pt(190.25, 90), geometry.Pt(97, 44.75))}
	var k Masker
	// Past 512 pixels x/image/vector counts in floating point, as ours does.
	big := image.Rect(0, 0, 900, 900)
	a := k.Path(path, geometry.NonZero, 4.37, big)
	b := k.Path(path, geometry.EvenOdd, 4.37, big)
	for i := range a.Pix {
		if d := int(a.Pix[i]) - int(b.Pix[i]); d < -2 || d > 2 {
			t.Fatalf("pixel %d: nonzero %d, even-odd %d", i, a.Pix[i], b.Pix[i])
		}
	}
}

// A mask cut off by the window equals the whole mask inside it, for outlines
// that run far out on all sides.
func TestMask_WindowChangesNothingInside(t *testing.T) {
	for _, rule := range []geometry.FillRule{geometry.NonZero, geometry.EvenOdd} {
		path := append(star(geometry.Pt(150, 140), 230), geometry.Ellipse(geometry.Pt(160, 150), 120, 90))
		var k Masker
		whole := k.Path(path, rule, 1, image.Rect(-500, -500, 900, 900))
		part := k.Path(path, rule, 1, image.Rect(100, 90, 230, 170))
		for y := part.Box.Min.Y; y < part.Box.Max.Y; y++ {
			for x := part.Box.Min.X; x < part.Box.Max.X; x++ {
				p := image.Pt(x, y)
				if d := int(part.At(p)) - int(whole.At(p)); d < -5 || d > 5 {
					t.Fatalf("%v at %v: %d in the window, %d in the whole", rule, p, part.At(p), whole.At(p))
				}
			}
		}
	}
}

func TestMask_ClipsMultiply(t *testing.T) {
	inner := &job.Clip{Shapes: []job.Shape{shape(box(0, 0, 50, 100))}}
	both := &job.Clip{Shapes: []job.Shape{{Path: box(0, 0, 100, 50), Clips: []*job.Clip{inner}}, shape(box(80, 80, 10, 10))}}
	s := shape(box(10, 10, 90, 90))
	s.Clips = []*job.Clip{both}
	m, _ := new(Masker).Layer(outlines(s), geometry.Identity(), 1, window)
	for p, want := range map[image.Point]uint8{{20, 20}: 255, {60, 20}: 0, {20, 60}: 0, {85, 85}: 255, {95, 95}: 0, {5, 5}: 0} {
		if got := m.At(p); got != want {
			t.Errorf("coverage at %v is %d, want %d", p, got, want)
		}
	}
}

func TestMask_SelfClipEnds(t *testing.T) {
	c := &job.Clip{}
	c.Shapes = []job.Shape{{Path: box(0, 0, 50, 50), Clips: []*job.Clip{c}}}
	s := shape(box(0, 0, 90, 90))
	s.Clips = []*job.Clip{c}
	new(Masker).Layer(outlines(s), geometry.Identity(), 1, window)
}

func TestMask_HostileCoordinates(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), 1e30, -1e300} {
		p := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(v, 10), geometry.Pt(10, v))}
		m, _ := new(Masker).Layer(outlines(shape(p)), geometry.Identity(), 1, window)
		if !m.Box.In(window) {
			t.Errorf("%g: box %v leaves the window", v, m.Box)
		}
		new(Masker).Stroke(p, Pen{Width: 2}, 1, window)
	}
}

func TestCompose_PaintsBottomFirstWithOpacity(t *testing.T) {
	red, blue := colour.RGB{R: 200}, colour.RGB{B: 200}
	j := testJob(
		job.Layer{Content: outlines(shape(box(0, 0, 60, 60))), Colour: red},
		job.Layer{Content: outlines(shape(box(30, 0, 60, 60))), Colour: blue, Alpha: 0.5},
	)
	s := new(Builder).Scene(j, 1, window)
	img := white(window)
	s.Compose(img)
	for p, want := range map[image.Point]colour.RGB{
		{10, 10}: red, {45, 10}: blue.Over(red, 0.5), {80, 10}: blue.Over(colour.White, 0.5), {120, 10}: colour.White,
	} {
		got := img.RGBAAt(p.X, p.Y)
		if near(got.R, want.R) && near(got.G, want.G) && near(got.B, want.B) {
			continue
		}
		t.Errorf("%v shows %v, want %v", p, got, want)
	}
}

func near(a, b uint8) bool { return int(a)-int(b) <= 1 && int(b)-int(a) <= 1 }

// Inside an opacity group the lower layer does not shine through the upper one.
func TestCompose_GroupShowsItsTopmostOnly(t *testing.T) {
	j := testJob(
		job.Layer{Content: outlines(shape(box(0, 0, 60, 60))), Colour: colour.RGB{R: 200}, Alpha: 0.5, Group: 1},
		job.Layer{Content: outlines(shape(box(30, 0, 60, 60))), Colour: colour.RGB{B: 200}, Alpha: 0.5, Group: 1},
	)
	s := new(Builder).Scene(j, 1, window)
	img := white(window)
	s.Compose(img)
	want := colour.RGB{B: 200}.Over(colour.White, 0.5)
	if got := img.RGBAAt(45, 10); !near(got.R, want.R) || !near(got.B, want.B) {
		t.Errorf("overlap shows %v, want %v", got, want)
	}
	var c Counter
	if c.Count(s, window) {
		t.Error("a group stacks within itself")
	}
}

// A part of a frame painted alone equals that part of the whole frame, but for
// its last column and row, where marks would look beyond it: what dragging
// relies on.
func TestCompose_PartEqualsWhole(t *testing.T) {
	j := testJob(
		job.Layer{Content: outlines(shape(box(5, 5, 90, 70))), Colour: colour.RGB{R: 255, G: 180}},
		job.Layer{Content: outlines(shape(star(geometry.Pt(60, 60), 50))), Colour: colour.RGB{G: 90, B: 120}, Alpha: 0.7},
	)
	s := new(Builder).Scene(j, 2, window)
	s.Layers[1].Shift = image.Pt(13, -7)
	whole, part := white(window), white(image.Rect(40, 30, 171, 145))
	var c Counter
	for _, img := range []*image.RGBA{whole, part} {
		s.Compose(img)
		c.Count(s, img.Rect.Inset(-3).Intersect(window))
		c.Paint(img, 1, image.Point{})
	}
	for y := part.Rect.Min.Y; y < part.Rect.Max.Y-1; y++ {
		for x := part.Rect.Min.X; x < part.Rect.Max.X-1; x++ {
			if a, b := whole.RGBAAt(x, y), part.RGBAAt(x, y); a != b {
				t.Fatalf("at (%d, %d): %v in the whole, %v in the part", x, y, a, b)
			}
		}
	}
}

func TestCount_WhoStacks(t *testing.T) {
	lower := outlines(shape(box(0, 0, 60, 60)))
	upper := outlines(shape(box(30, 0, 60, 60)))
	beside := outlines(shape(box(60.4, 0, 30, 60)))
	red, blue := colour.RGB{R: 200}, colour.RGB{B: 200}
	for _, c := range []struct {
		name string
		j    job.Job
		want int
	}{
		{"two colours stack", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: blue}), 30 * 60},
		{"the upper knocks out", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: blue, Knocks: true}), 0},
		{"the lower knocks out: no help", testJob(job.Layer{Content: lower, Colour: red, Knocks: true}, job.Layer{Content: upper, Colour: blue}), 30 * 60},
		{"one colour never stacks", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: red}), 0},
		{"white is bare and knocks out", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: colour.White}), 0},
		{"a translucent layer stacks with what it mixes over", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: blue, Alpha: 0.5}), 30 * 60},
		{"steam that mixes to nearly white is bare", testJob(job.Layer{Content: lower, Colour: colour.RGB{R: 0xF4, G: 0xF5, B: 0xF6}}, job.Layer{Content: upper, Colour: colour.White, Alpha: 0.8}), 0},
		{"shade that mixes to the colour beneath does not stack", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: red, Alpha: 0.5}), 0},
		{"drawn never stacks", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: blue, Use: job.Drawn}), 0},
		{"left out never stacks", testJob(job.Layer{Content: lower, Colour: red}, job.Layer{Content: upper, Colour: blue, Use: job.LeftOut}), 0},
		{"abutting shares a pixel and does not stack", testJob(job.Layer{Content: outlines(shape(box(0, 0, 60.4, 60))), Colour: red}, job.Layer{Content: beside, Colour: blue}), 0},
	} {
		var k Counter
		any := k.Count(new(Builder).Scene(c.j, 1, window), window)
		if got := k.AreaPx(); got != c.want || any != (c.want > 0) {
			t.Errorf("%s: %d pixels (any %v), want %d", c.name, got, any, c.want)
		}
	}
}

// Nothing by colour alone: a stacked place carries white lines on its red, a
// dark line inside and a light one outside, on red art too.
func TestPaint_StackedShowsOnRedArt(t *testing.T) {
	j := testJob(
		job.Layer{Content: outlines(shape(box(0, 0, 100, 100))), Colour: StackedColour},
		job.Layer{Content: outlines(shape(box(20, 20, 60, 60))), Colour: colour.RGB{R: 0xD4, G: 0x10, B: 0x20}},
	)
	s := new(Builder).Scene(j, 1, window)
	img := white(window)
	s.Compose(img)
	var c Counter
	c.Count(s, window)
	c.Paint(img, 1, image.Point{})
	white, red := 0, 0
	for x := 25; x < 75; x++ {
		switch c := img.RGBAAt(x, 50); {
		case c.R > 200 && c.G > 200 && c.B > 200:
			white++
		case c == color.RGBA{StackedColour.R, StackedColour.G, StackedColour.B, 255}:
			red++
		}
	}
	if white < 8 || red < 12 {
		t.Errorf("along a row: %d white and %d red pixels of 50", white, red)
	}
	if got := img.RGBAAt(19, 50); got.G != 255 {
		t.Errorf("no light line outside: %v", got)
	}
	if got := img.RGBAAt(20, 50); got.R > 80 {
		t.Errorf("no dark line inside: %v", got)
	}
}

func TestHits_TopmostFirstAndThinLines(t *testing.T) {
	j := testJob(
		job.Layer{Content: outlines(shape(box(0, 0, 100, 100))), Colour: colour.RGB{R: 9}},
		job.Layer{Content: outlines(shape(box(40, 0, 1, 100))), Colour: colour.RGB{B: 9}},
	)
	s := new(Builder).Scene(j, 1, window)
	if got := s.Hits(image.Pt(40, 50)); len(got) != 2 || got[0] != 2 {
		t.Errorf("on the line: %v", got)
	}
	if got := s.Hits(image.Pt(43, 50)); len(got) != 2 || got[0] != 1 || got[1] != 2 {
		t.Errorf("beside the line: %v", got)
	}
	if got := s.Hits(image.Pt(200, 50)); len(got) != 0 {
		t.Errorf("outside: %v", got)
	}
}

func TestHalo_LightThenDarkOutside(t *testing.T) {
	m := new(Masker).Path(box(20, 20, 40, 40), geometry.NonZero, 1, window)
	h := NewHalo(m, 2)
	for x, want := range map[int][2]bool{20: {false, false}, 19: {true, false}, 18: {true, false}, 17: {false, true}, 16: {false, true}, 15: {false, false}} {
		p := image.Pt(x, 40)
		if h.Light.At(p) > 0 != want[0] || h.Dark.At(p) > 0 != want[1] {
			t.Errorf("x = %d: light %d, dark %d", x, h.Light.At(p), h.Dark.At(p))
		}
	}
}

func TestStroke_CoversTheLineOnly(t *testing.T) {
	m := new(Masker).Stroke(box(20, 20, 100, 60), Pen{Width: 2}, 2, window)
	for p, want := range map[image.Point]bool{{40, 100}: true, {39, 100}: true, {60, 100}: false, {36, 100}: false, {100, 40}: true} {
		if got := m.At(p) > 200; got != want {
			t.Errorf("at %v: %d", p, m.At(p))
		}
	}
}

func TestMask_WithoutLeavesTheRing(t *testing.T) {
	var k Masker
	window := image.Rect(0, 0, 40, 30)
	mask := func(x, y, w, h float64) *Mask {
		return k.Path(box(x, y, w, h), geometry.NonZero, 1, window)
	}
	outer := mask(5, 5, 20, 15)
	ring := outer.Without(mask(10, 8.5, 8, 6))
	for at, want := range map[image.Point]uint8{{4, 10}: 0, {5, 5}: 255, {24, 19}: 255, {9, 10}: 255, {10, 10}: 0, {17, 13}: 0, {18, 10}: 255, {12, 7}: 255} {
		if got := ring.At(at); got != want {
			t.Errorf("at %v %d, want %d", at, got, want)
		}
	}
	if got := ring.At(image.Pt(12, 8)); got < 120 || got > 135 || outer.At(image.Pt(12, 8)) != 255 {
		t.Errorf("half of a pixel is %d", got)
	}
	// What is not within it takes nothing elsewhere.
	if got := outer.Without(mask(30, 2, 5, 5)); got.At(image.Pt(6, 6)) != 255 || got.At(image.Pt(31, 3)) != 0 {
		t.Error("a mask beside it changes it")
	}
}
