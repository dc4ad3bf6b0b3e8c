package board

import (
	"image"
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
