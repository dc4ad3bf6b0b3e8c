package board

import (
	"image"
	"slices"
	"testing"

	"fyne.io/fyne/v2/driver/desktop"

	"abut/geometry"
	"abut/internal/colour"
	"abut/ui/paint"
)

func spotOf(r geometry.Rect) Spot { return Spot{Outline: r.Path(), Bounds: r, At: r.Centre()} }

// A spot is painted at its true size, kept ones as an outline only, and nothing
// of any is red.
func TestSpots_AreMarkedAtTrueSizeAndNotInRed(t *testing.T) {
	b, _, _ := newBoard(t)
	spot := spotOf(geometry.RectXYWH(15, 15, 10, 8))
	// marked returns which share of the pixels is striped well inside the spot,
	// and how many of those well outside.
	marked := func() (inside float64, outside int) {
		img := b.pic.base
		n, of := 0, 0
		for y := range img.Rect.Dy() {
			for x := range img.Rect.Dx() {
				i := img.PixOffset(x, y)
				c := colour.RGB{R: img.Pix[i], G: img.Pix[i+1], B: img.Pix[i+2]}
				if c == paint.StackedColour {
					t.Fatal("red")
				}
				at := b.view.mm(image.Pt(x, y))
				is := c == WeakColour || c == spotDark
				switch px := 4 / b.view.scale; {
				case spot.Bounds.Grow(-px).Contains(at):
					of++
					if is {
						n++
					}
				case !spot.Bounds.Grow(px).Contains(at) && is:
					outside++
				}
			}
		}
		return float64(n) / float64(of), outside
	}
	b.SetSpots([]Spot{spot})
	if in, out := marked(); in != 1 || out != 0 {
		t.Errorf("%g of the spot is striped, and %d pixels beyond it", in, out)
	}
	spot.Kept = true
	b.SetSpots([]Spot{spot})
	if in, out := marked(); in != 0 || out != 0 {
		t.Errorf("kept: %g of the spot is striped, and %d pixels beyond it", in, out)
	}
	b.SetSpots(nil)
	if in, out := marked(); in != 0 || out != 0 {
		t.Errorf("%g is marked of nothing, %d pixels beyond it", in, out)
	}
}

// Small spots side by side are ringed all together, so that what they are spots of is still to be seen: a word in
// thin letters has dozens. One that is alone has a ring of its own.
func TestSpots_SmallOnesSideBySideHideNothing(t *testing.T) {
	b, _, _ := newBoard(t)
	px := 1 / b.view.scale
	share := func(n int) (inside, ring float64) {
		var spots []Spot
		around := geometry.EmptyRect()
		for i := range n {
			at := geometry.Pt(30+float64(i%8)*5*px, 25+float64(i/8)*5*px)
			s := spotOf(geometry.RectXYWH(at.X, at.Y, px, px))
			spots, around = append(spots, s), around.Union(s.Bounds)
		}
		b.SetSpots(spots)
		img := b.pic.base
		var in, of, ringed float64
		for y := range img.Rect.Dy() {
			for x := range img.Rect.Dx() {
				i := img.PixOffset(x, y)
				c := colour.RGB{R: img.Pix[i], G: img.Pix[i+1], B: img.Pix[i+2]}
				at := b.view.mm(image.Pt(x, y))
				mark := c.DeltaE(WeakColour) < 10 || c.DeltaE(spotDark) < 10
				switch {
				case around.Contains(at):
					if of++; mark {
						in++
					}
				case mark:
					ringed++
				}
			}
		}
		return (in - float64(4*n)) / of, ringed // each dot covers up to four pixels
	}
	if in, ring := share(24); in > 0.05 || ring < 100 {
		t.Errorf("%.2f of the place between spots is hidden, %g pixels of a ring", in, ring)
	}
	if _, ring := share(1); ring < 40 {
		t.Errorf("one alone has %g pixels of a ring", ring)
	}
}

func TestGrouped_JoinsByChains(t *testing.T) {
	at := func(xy ...float64) (out []geometry.Point) {
		for i := 0; i < len(xy); i += 2 {
			out = append(out, geometry.Pt(xy[i], xy[i+1]))
		}
		return out
	}
	for _, c := range []struct {
		at   []geometry.Point
		want []geometry.Rect
	}{
		{nil, nil},
		{at(1, 1), []geometry.Rect{geometry.RectXYWH(1, 1, 0, 0)}},
		{at(0, 0, 9, 0, 18, 1, 40, 0), []geometry.Rect{geometry.RectXYWH(0, 0, 18, 1), geometry.RectXYWH(40, 0, 0, 0)}},
		{at(-1, 0, 8.9, 0, 19.1, 0), []geometry.Rect{geometry.RectXYWH(-1, 0, 9.9, 0), geometry.RectXYWH(19.1, 0, 0, 0)}},
		{at(7, 7, 14.5, 14.5, 0, 0), []geometry.Rect{geometry.RectXYWH(0, 0, 7, 7), geometry.RectXYWH(14.5, 14.5, 0, 0)}},
		{at(3, 3, 3, 3), []geometry.Rect{geometry.RectXYWH(3, 3, 0, 0)}},
	} {
		got := grouped(c.at, 10)
		if !slices.EqualFunc(got, c.want, func(a, b geometry.Rect) bool { return a.Min.Sub(b.Min).Len() < 1e-9 && a.Max.Sub(b.Max).Len() < 1e-9 }) {
			t.Errorf("%v: %v, want %v", c.at, got, c.want)
		}
	}
}

// A spot is caught a little beyond its outline, and told about.
func TestSpots_AreCaughtNearTheirOutline(t *testing.T) {
	b, _, _ := newBoard(t)
	pressed := -1
	b.OnSpot = func(i int) { pressed = i }
	b.SpotText = func(i int) string { return [...]string{"first", "second"}[i] }
	b.SetSpots([]Spot{spotOf(geometry.RectXYWH(15, 15, 10, 0.1)), spotOf(geometry.RectXYWH(50, 30, 0.1, 10))})
	for _, c := range []struct {
		x, y float64
		want string
		spot int
	}{{20, 15.05 + 3/b.view.scale, "first", 0}, {50.05, 39, "second", 1}, {35, 25, "", -1}, {20, 15.05 + 9/b.view.scale, "", -1}} {
		b.View(Fitted)
		e := &desktop.MouseEvent{Button: desktop.MouseButtonPrimary}
		e.Position = b.at(c.x, c.y)
		b.MouseMoved(e)
		if got := b.chipText.Text; got != c.want {
			t.Errorf("at %g, %g: %q", c.x, c.y, got)
		}
		pressed = -1
		b.MouseDown(e)
		b.MouseUp(e)
		if pressed != c.spot {
			t.Errorf("at %g, %g: spot %d is pressed", c.x, c.y, pressed)
		}
	}
}
