package class

import (
	"image"
	"image/color"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/show"
	"abut/ui/paint"
)

// screen is what a class sees of it: the drawing, and below it the sentence.
type screen struct {
	widget.BaseWidget
	c       *Class
	stage   paint.Stage
	picture *canvas.Raster
	// shown: the pointer, drawn here so that it is seen from the back, is there until
	// the timer ends.
	pointer [2]*canvas.Circle
	hides   *time.Timer
	moved   fyne.Position
	// aside: it is a small picture of the lesson, which nothing is done to.
	aside bool
}

var (
	_ fyne.Tappable = (*screen)(nil)

	_ fyne.SecondaryTappable = (*screen)(nil)
	_ fyne.Draggable         = (*screen)(nil)
	_ fyne.Scrollable        = (*screen)(nil)
	_ desktop.Hoverable      = (*screen)(nil)
	_ desktop.Cursorable     = (*screen)(nil)
)

func (c *Class) newScreen() *screen {
	s := &screen{c: c}
	s.picture = canvas.NewRaster(s.pixels)
	for i := range s.pointer {
		p := canvas.NewCircle(color.Transparent)
		p.StrokeWidth = float32(6 - 3*i)
		p.StrokeColor = nrgba([]colour.RGB{show.LightRoom.Paper, show.LightRoom.Ink}[i])
		p.Hide()
		s.pointer[i] = p
	}
	s.ExtendBaseWidget(s)
	c.screens = append(c.screens, s)
	return s
}

// view is how the stage lies on the screen: unit is how large one of its units is, wide
// how many there are across, and top where it begins.
type view struct {
	unit, wide float64
	top        float32
}

// narrowest is the least width of a stage, that of 4:3.
const narrowest = show.StageHeight * 4 / 3

func (s *screen) view() view {
	size := s.Size()
	w, h := float64(size.Width), float64(size.Height)
	u := max(min(h/show.StageHeight, w/narrowest), 1e-3)
	return view{unit: u, wide: w / u, top: float32((h - u*show.StageHeight) / 2)}
}

// pixels paints the drawing as large as the toolkit has room for.
func (s *screen) pixels(w, h int) image.Image {
	if w < 2 || h < 2 {
		return image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	}
	wide := float64(w) / float64(h) * show.PictureHeight
	return s.stage.Paint(s.c.scene(wide), s.c.room().Ground, w, h, s.c.moving != nil)
}

// redraw draws the picture anew, and nothing else.
func (s *screen) redraw() { s.picture.Refresh() }

// stageAt is a place of the stage.
func (s *screen) stageAt(p fyne.Position) geometry.Point {
	v := s.view()
	return geometry.Pt(float64(p.X)/v.unit, float64(p.Y-v.top)/v.unit)
}

// Tapped implements fyne.Tappable.
func (s *screen) Tapped(e *fyne.PointEvent) {
	if !s.aside {
		s.c.press(s.stageAt(e.Position), s.view().wide)
	}
}

// TappedSecondary implements fyne.SecondaryTappable: it goes on where a click answers.
func (s *screen) TappedSecondary(*fyne.PointEvent) {
	if !s.aside {
		s.c.Next()
	}
}

// Dragged implements fyne.Draggable.
func (s *screen) Dragged(e *fyne.DragEvent) {
	if s.aside {
		return
	}
	s.point(e.Position)
	before := e.Position.SubtractXY(e.Dragged.DX, e.Dragged.DY)
	s.c.drag(s.stageAt(before), s.stageAt(e.Position), s.view().wide)
}

// DragEnd implements fyne.Draggable.
func (s *screen) DragEnd() { s.c.letGo() }

// Scrolled implements fyne.Scrollable: it enlarges the place under the pointer.
func (s *screen) Scrolled(e *fyne.ScrollEvent) {
	switch {
	case s.aside:
	case e.Scrolled.DY > 0:
		s.c.enlarge(s.c.times*1.25, s.stageAt(e.Position))
	case e.Scrolled.DY < 0:
		s.c.enlarge(s.c.times/1.25, s.stageAt(e.Position))
	}
}

// MouseIn implements desktop.Hoverable.
func (s *screen) MouseIn(*desktop.MouseEvent) {}

// MouseMoved implements desktop.Hoverable.
func (s *screen) MouseMoved(e *desktop.MouseEvent) {
	if !s.aside {
		s.point(e.Position)
	}
}

// MouseOut implements desktop.Hoverable.
func (s *screen) MouseOut() { s.hidePointer() }

// Cursor implements desktop.Cursorable: the screen draws its own.
func (s *screen) Cursor() desktop.Cursor {
	if s.aside {
		return desktop.DefaultCursor
	}
	return desktop.HiddenCursor
}

// pointerHides is how long the pointer is seen after it was moved.
const pointerHides = 3 * time.Second

// point shows the pointer at a place.
func (s *screen) point(p fyne.Position) {
	s.c.pointed, s.moved = s.stageAt(p), p
	r := float32(13 * s.view().unit)
	for _, c := range s.pointer {
		c.Resize(fyne.NewSquareSize(2 * r))
		c.Move(p.SubtractXY(r, r))
		c.Show()
	}
	if s.hides == nil {
		if deliver := s.c.options.Deliver; deliver != nil {
			s.hides = time.AfterFunc(pointerHides, func() { deliver(s.hidePointer) })
		}
		return
	}
	s.hides.Reset(pointerHides)
}

func (s *screen) hidePointer() {
	for _, c := range s.pointer {
		c.Hide()
	}
}

// CreateRenderer implements fyne.Widget.
func (s *screen) CreateRenderer() fyne.WidgetRenderer {
	s.ExtendBaseWidget(s)
	r := &renderer{s: s, ground: canvas.NewRectangle(color.Transparent), lines: newTexts(2), count: newTexts(2)}
	r.Refresh()
	return r
}

func nrgba(c colour.RGB) color.NRGBA { return color.NRGBA{c.R, c.G, c.B, 255} }
