package pick

import (
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
)

// Any colour can be pointed at, and is marked where one points.
func TestHSV_LeadsBackToEveryColour(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		c := colour.RGB{R: uint8(r.IntN(256)), G: uint8(r.IntN(256)), B: uint8(r.IntN(256))}
		h, s, v := hsv(c)
		if got := ofHSV(h, s, v); got != c || h < 0 || h >= 1 || s < 0 || s > 1 || v < 0 || v > 1 {
			t.Fatalf("%v: %v %v %v leads to %v", c, h, s, v, got)
		}
	}
	// Known from Smith's hexcone: its corners.
	for i, want := range []colour.RGB{{R: 255}, {R: 255, G: 255}, {G: 255}, {G: 255, B: 255}, {B: 255}, {R: 255, B: 255}} {
		if got := ofHSV(float64(i)/6, 1, 1); got != want {
			t.Errorf("corner %d: %v", i, got)
		}
	}
}

// A fine pattern of black and white looks as bright as the grey that sRGB calls
// 188, half the light (IEC 61966-2-1), and not 128.
func TestMean_IsOfTheLight(t *testing.T) {
	img := image.NewGray(image.Rect(10, 20, 410, 220))
	for y := img.Rect.Min.Y; y < img.Rect.Max.Y; y++ {
		for x := img.Rect.Min.X; x < img.Rect.Max.X; x++ {
			if (x+y)%2 == 0 {
				img.SetGray(x, y, color.Gray{255})
			}
		}
	}
	if got := mean(img, image.Pt(200, 100)); got.R < 186 || got.R > 190 || got.R != got.G || got.G != got.B {
		t.Errorf("%v", got)
	}
	// At a corner there is less of it, and no more.
	if got := mean(img, img.Rect.Min); got.R < 180 || got.R > 196 {
		t.Errorf("at a corner %v", got)
	}
}

func TestArea_FollowsPointerAndArrows(t *testing.T) {
	test.NewTempApp(t)
	var x, y float64
	var a *area
	a = newArea(canvas.NewRectangle(color.Black), fyne.NewSize(200, 100), func(px, py float64) {
		x, y = px, py
		a.mark(px, py)
	})
	w := test.NewTempWindow(t, a)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(200, 100))
	test.TapAt(a, fyne.NewPos(50, 75))
	if x != 0.25 || y != 0.75 {
		t.Errorf("pointed at %v, %v", x, y)
	}
	for range 60 {
		a.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
		a.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	}
	if x != 0 || y != 1 {
		t.Errorf("arrows lead beyond the edge: %v, %v", x, y)
	}
	given := fyne.KeyName("")
	a.SetOnKey(func(k *fyne.KeyEvent) { given = k.Name })
	a.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if given != fyne.KeyEscape {
		t.Error("Escape does not answer")
	}
}
