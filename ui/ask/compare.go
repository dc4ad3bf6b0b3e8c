package ask

import (
	"image"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/ui/theme"
)

// slider shows two pictures of one size in one place, the first to the left of a
// line that can be moved, by pointer and by keys.
type slider struct {
	widget.BaseWidget
	size          fyne.Size
	before, after *image.RGBA
	// at is where the line is, from 0 to 1.
	at      float32
	focused bool
	onKey   func(*fyne.KeyEvent)
}

var (
	_ fyne.Draggable     = (*slider)(nil)
	_ fyne.Tappable      = (*slider)(nil)
	_ fyne.Focusable     = (*slider)(nil)
	_ desktop.Cursorable = (*slider)(nil)
)

func newSlider(size fyne.Size) *slider {
	s := &slider{size: size, at: 0.5}
	s.ExtendBaseWidget(s)
	return s
}

// set shows other pictures; nil for one that is not there yet.
func (s *slider) set(before, after *image.RGBA) {
	s.before, s.after = before, after
	s.Refresh()
}

func (s *slider) move(x float32) {
	s.at = max(0, min(1, x/max(1, s.Size().Width)))
	s.Refresh()
}

// Dragged implements fyne.Draggable.
func (s *slider) Dragged(e *fyne.DragEvent) { s.move(e.Position.X) }

// DragEnd implements fyne.Draggable.
func (s *slider) DragEnd() {}

// Tapped implements fyne.Tappable.
func (s *slider) Tapped(e *fyne.PointEvent) { s.move(e.Position.X) }

// Cursor implements desktop.Cursorable.
func (s *slider) Cursor() desktop.Cursor { return desktop.HResizeCursor }

// FocusGained implements fyne.Focusable.
func (s *slider) FocusGained() { s.focused = true; s.Refresh() }

// FocusLost implements fyne.Focusable.
func (s *slider) FocusLost() { s.focused = false; s.Refresh() }

// TypedRune implements fyne.Focusable.
func (s *slider) TypedRune(rune) {}

// SetOnKey has what it has no use for told.
func (s *slider) SetOnKey(f func(*fyne.KeyEvent)) { s.onKey = f }

// TypedKey implements fyne.Focusable.
func (s *slider) TypedKey(k *fyne.KeyEvent) {
	const step = 0.05
	switch k.Name {
	case fyne.KeyLeft:
		s.at = max(0, s.at-step)
	case fyne.KeyRight:
		s.at = min(1, s.at+step)
	case fyne.KeyHome:
		s.at = 0
	case fyne.KeyEnd:
		s.at = 1
	default:
		if s.onKey != nil {
			s.onKey(k)
		}
		return
	}
	s.Refresh()
}

// CreateRenderer implements fyne.Widget.
func (s *slider) CreateRenderer() fyne.WidgetRenderer {
	s.ExtendBaseWidget(s)
	r := &sliderRenderer{s: s, edge: canvas.NewRectangle(color.Transparent), dark: canvas.NewRectangle(theme.MarkDark), light: canvas.NewRectangle(theme.MarkLight), knob: canvas.NewCircle(theme.MarkLight)}
	r.img = canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))
	r.img.ScaleMode = canvas.ImageScaleFastest
	r.edge.StrokeWidth = 1
	r.knob.StrokeColor, r.knob.StrokeWidth = theme.MarkDark, 2
	r.Refresh()
	return r
}

type sliderRenderer struct {
	s           *slider
	img         *canvas.Image
	edge        *canvas.Rectangle
	dark, light *canvas.Rectangle
	knob        *canvas.Circle
}

func (r *sliderRenderer) MinSize() fyne.Size { return r.s.size }

func (r *sliderRenderer) Layout(size fyne.Size) {
	r.img.Resize(size)
	r.edge.Resize(size)
	x := size.Width * r.s.at
	r.dark.Move(fyne.NewPos(x-2, 0))
	r.dark.Resize(fyne.NewSize(4, size.Height))
	r.light.Move(fyne.NewPos(x-1, 0))
	r.light.Resize(fyne.NewSize(2, size.Height))
	const knob = 18
	r.knob.Move(fyne.NewPos(x-knob/2, size.Height/2-knob/2))
	r.knob.Resize(fyne.NewSquareSize(knob))
}

func (r *sliderRenderer) Refresh() {
	p := theme.Current()
	r.edge.StrokeColor, r.edge.StrokeWidth = p.Line, 1
	if r.s.focused {
		r.edge.StrokeColor, r.edge.StrokeWidth = p.Accent, 2
	}
	both := r.s.before != nil && r.s.after != nil
	r.dark.Hidden, r.light.Hidden, r.knob.Hidden = !both, !both, !both
	switch {
	case both:
		r.img.Image = beside(r.s.before, r.s.after, r.s.at)
	case r.s.before != nil:
		r.img.Image = r.s.before
	}
	r.Layout(r.s.Size())
	canvas.Refresh(r.img)
	canvas.Refresh(r.edge)
	canvas.Refresh(r.knob)
}

func (r *sliderRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.img, r.edge, r.dark, r.light, r.knob}
}
func (r *sliderRenderer) Destroy() {}

// beside puts the left of one picture and the right of another into one.
func beside(a, b *image.RGBA, at float32) *image.RGBA {
	out := image.NewRGBA(a.Rect)
	copy(out.Pix, b.Pix)
	n := 4 * int(float32(a.Rect.Dx())*at)
	for y := range a.Rect.Dy() {
		copy(out.Pix[y*out.Stride:y*out.Stride+n], a.Pix[y*a.Stride:y*a.Stride+n])
	}
	return out
}
