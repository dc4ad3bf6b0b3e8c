package pick

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"abut/internal/colour"
	"abut/ui/controls"
	"abut/ui/theme"
)

// field is all colours to point at: a plane of those of one hue, from grey to full
// across and from dark to light upwards, and a strip of the hues beneath it.
type field struct {
	object        *fyne.Container
	plane, hues   *area
	hue, sat, val float64
	chosen        func(colour.RGB)
}

const (
	planeWide, planeHigh = 260, 130
	hueHigh              = 24
)

func newField(chosen func(colour.RGB)) *field {
	f := &field{chosen: chosen}
	f.plane = newArea(painted(func(x, y float64) colour.RGB { return ofHSV(f.hue, x, 1-y) }), fyne.NewSize(planeWide, planeHigh), func(x, y float64) {
		f.sat, f.val = x, 1-y
		f.pointed()
	})
	f.hues = newArea(painted(func(x, _ float64) colour.RGB { return ofHSV(x, 1, 1) }), fyne.NewSize(planeWide, hueHigh), func(x, _ float64) {
		f.hue = x
		if f.sat == 0 || f.val == 0 { // of grey all hues look alike
			f.sat, f.val = max(f.sat, 0.7), max(f.val, 0.7)
		}
		f.pointed()
	})
	f.object = &fyne.Container{Layout: &controls.Stack{Gap: 8}, Objects: []fyne.CanvasObject{f.plane, f.hues}}
	return f
}

func (f *field) pointed() {
	f.place()
	f.chosen(ofHSV(f.hue, f.sat, f.val))
}

// show marks a colour.
func (f *field) show(c colour.RGB) {
	h, s, v := hsv(c)
	if s > 0 && v > 0 {
		f.hue = h
	}
	f.sat, f.val = s, v
	f.place()
}

func (f *field) place() {
	f.plane.mark(f.sat, 1-f.val)
	f.hues.mark(f.hue, 0.5)
}

// ofHSV returns the colour of a hue, saturation and value in [0, 1], as A. R. Smith
// gives it: "Color Gamut Transform Pairs", 1978.
func ofHSV(h, s, v float64) colour.RGB {
	part := func(n float64) uint8 {
		k := math.Mod(n+6*h, 6)
		return uint8(math.Round(255 * (v - v*s*max(0, min(k, 4-k, 1)))))
	}
	return colour.RGB{R: part(5), G: part(3), B: part(1)}
}

// hsv is the inverse of ofHSV; the hue of a grey is 0.
func hsv(c colour.RGB) (h, s, v float64) {
	r, g, b := float64(c.R)/255, float64(c.G)/255, float64(c.B)/255
	v = max(r, g, b)
	span := v - min(r, g, b)
	if v > 0 {
		s = span / v
	}
	switch {
	case span == 0:
	case v == r:
		h = math.Mod((g-b)/span+6, 6)
	case v == g:
		h = (b-r)/span + 2
	default:
		h = (r-g)/span + 4
	}
	return h / 6, s, v
}

// area is a picture that is pointed at by pointer or arrows; places are shares of
// its width and height.
type area struct {
	widget.BaseWidget
	size    fyne.Size
	x, y    float64
	pointed func(x, y float64)
	picture fyne.CanvasObject
	// ring and inner mark the place.
	ring, inner *canvas.Circle
	edge        *canvas.Rectangle
	onKey       func(*fyne.KeyEvent)
	focused     bool
}

var (
	_ fyne.Focusable     = (*area)(nil)
	_ fyne.Draggable     = (*area)(nil)
	_ fyne.Tappable      = (*area)(nil)
	_ controls.Answering = (*area)(nil)
)

func newArea(picture fyne.CanvasObject, size fyne.Size, pointed func(x, y float64)) *area {
	a := &area{picture: picture, size: size, pointed: pointed, ring: canvas.NewCircle(color.Transparent), inner: canvas.NewCircle(color.Transparent), edge: canvas.NewRectangle(color.Transparent)}
	// Light on dark and dark on light, whatever lies beneath.
	a.ring.StrokeColor, a.inner.StrokeColor = color.White, color.Black
	a.ring.StrokeWidth, a.inner.StrokeWidth, a.edge.StrokeWidth, a.edge.CornerRadius = 2, 1, 2, 4
	a.ExtendBaseWidget(a)
	return a
}

// painted is a picture of a colour at each place.
func painted(at func(x, y float64) colour.RGB) fyne.CanvasObject {
	return canvas.NewRaster(func(w, h int) image.Image {
		img := image.NewNRGBA(image.Rect(0, 0, w, h))
		for y := range h {
			for x := range w {
				img.SetNRGBA(x, y, controls.NRGBA(at((float64(x)+0.5)/float64(w), (float64(y)+0.5)/float64(h))))
			}
		}
		return img
	})
}

func (a *area) mark(x, y float64) {
	a.x, a.y = x, y
	a.Refresh()
}

func (a *area) point(p fyne.Position) {
	share := func(v, all float32) float64 { return float64(max(0, min(v/all, 1))) }
	a.pointed(share(p.X, a.Size().Width), share(p.Y, a.Size().Height))
}

// Tapped implements fyne.Tappable.
func (a *area) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(a); c != nil {
		c.Focus(a)
	}
	a.point(e.Position)
}

// Dragged implements fyne.Draggable.
func (a *area) Dragged(e *fyne.DragEvent) { a.point(e.Position) }

// DragEnd implements fyne.Draggable.
func (a *area) DragEnd() {}

// FocusGained implements fyne.Focusable.
func (a *area) FocusGained() { a.focused = true; a.Refresh() }

// FocusLost implements fyne.Focusable.
func (a *area) FocusLost() { a.focused = false; a.Refresh() }

// TypedRune implements fyne.Focusable.
func (a *area) TypedRune(rune) {}

// SetOnKey implements controls.Answering.
func (a *area) SetOnKey(f func(*fyne.KeyEvent)) { a.onKey = f }

// TypedKey implements fyne.Focusable.
func (a *area) TypedKey(k *fyne.KeyEvent) {
	const step = 0.02
	by, is := map[fyne.KeyName][2]float64{fyne.KeyLeft: {-step, 0}, fyne.KeyRight: {step, 0}, fyne.KeyUp: {0, -step}, fyne.KeyDown: {0, step}}[k.Name]
	switch {
	case is:
		a.pointed(max(0, min(a.x+by[0], 1)), max(0, min(a.y+by[1], 1)))
	case a.onKey != nil:
		a.onKey(k)
	}
}

// CreateRenderer implements fyne.Widget.
func (a *area) CreateRenderer() fyne.WidgetRenderer { return &areaRenderer{a} }

type areaRenderer struct{ a *area }

func (r *areaRenderer) MinSize() fyne.Size { return r.a.size }

func (r *areaRenderer) Layout(size fyne.Size) {
	a := r.a
	a.picture.Resize(size)
	a.edge.Resize(size)
	for c, side := range map[*canvas.Circle]float32{a.ring: 14, a.inner: 10} {
		c.Resize(fyne.NewSquareSize(side))
		c.Move(fyne.NewPos(float32(a.x)*size.Width-side/2, float32(a.y)*size.Height-side/2))
	}
}

func (r *areaRenderer) Refresh() {
	a, p := r.a, theme.Current()
	r.Layout(a.Size())
	if a.edge.StrokeColor = p.Edge; a.focused {
		a.edge.StrokeColor = p.Accent
	}
	a.picture.Refresh()
	a.ring.Refresh()
	a.inner.Refresh()
	a.edge.Refresh()
}

func (r *areaRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.a.picture, r.a.ring, r.a.inner, r.a.edge}
}

func (r *areaRenderer) Destroy() {}
