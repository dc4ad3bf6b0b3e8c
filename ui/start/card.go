package start

import (
	"bytes"
	"context"
	"image"
	"image/color"

	"abut/assets"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/paint"
	"abut/ui/theme"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// cardRow lays cards of one width out in as few rows as they fit.
type cardRow struct {
	gap, rowHeight float32
	width          float32
}

func minCard() float32 {
	if theme.Scaled(1) > 1 {
		return theme.Scaled(200) // titles grow, the pictures need not
	}
	return 168
}

func (r *cardRow) columns(n int, width float32) int {
	if width <= 0 {
		return n
	}
	return max(1, min(n, int((width+r.gap)/(minCard()+r.gap))))
}

func (r *cardRow) MinSize(o []fyne.CanvasObject) fyne.Size {
	cols := r.columns(len(o), r.width)
	rows := (len(o) + cols - 1) / cols
	return fyne.NewSize(minCard(), float32(rows)*r.rowHeight+float32(rows-1)*r.gap)
}

func (r *cardRow) Layout(o []fyne.CanvasObject, size fyne.Size) {
	r.width = size.Width
	cols := r.columns(len(o), size.Width)
	w := (size.Width - float32(cols-1)*r.gap) / float32(cols)
	for i, c := range o {
		c.Move(fyne.NewPos(float32(i%cols)*(w+r.gap), float32(i/cols)*(r.rowHeight+r.gap)))
		c.Resize(fyne.NewSize(w, r.rowHeight))
	}
}

// card shows one of the program's own pictures, to be tapped.
type card struct {
	widget.BaseWidget
	demo     assets.Demo
	onTapped func()
	job      job.Job
	hovered  bool
	focused  bool
	back     *controls.Fill
	picture  *canvas.Raster
	name     *controls.Line
	line     *controls.Para
}

var (
	_ fyne.Tappable     = (*card)(nil)
	_ fyne.Focusable    = (*card)(nil)
	_ desktop.Hoverable = (*card)(nil)
)

func newCard(d assets.Demo, tapped func()) *card {
	c := &card{demo: d, onTapped: tapped}
	c.ExtendBaseWidget(c)
	// The program's own pictures are small: reading one takes under a
	// millisecond.
	c.job, _ = workshop.OpenSVG(context.Background(), d.Name, bytes.NewReader(d.SVG))
	c.back = controls.NewCard(func(p *theme.Palette) color.NRGBA {
		if c.hovered {
			return theme.Mix(p.Accent, p.Surface, 0.08)
		}
		return p.Surface
	}, func(p *theme.Palette) color.NRGBA {
		if c.focused || c.hovered {
			return p.Accent
		}
		return p.Line
	})
	c.picture = canvas.NewRaster(c.pixels)
	c.name = controls.NewHeading(words.Say("demo-" + d.ID))
	c.name.Shrinks = true
	c.line = controls.NewPara(words.Say("demo-"+d.ID+"-line"), controls.Quiet)
	return c
}

// pixels draws the picture as the board would, on a piece of the blank.
func (c *card) pixels(w, h int) image.Image { return paint.Thumb(c.job, w, h) }

func (c *card) Tapped(*fyne.PointEvent)        { c.onTapped() }
func (c *card) MouseIn(*desktop.MouseEvent)    { c.hovered = true; c.back.Refresh() }
func (c *card) MouseMoved(*desktop.MouseEvent) {}
func (c *card) MouseOut()                      { c.hovered = false; c.back.Refresh() }
func (c *card) FocusGained()                   { c.focused = true; c.back.Refresh() }
func (c *card) FocusLost()                     { c.focused = false; c.back.Refresh() }
func (c *card) TypedRune(rune)                 {}
func (c *card) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		c.onTapped()
	}
}

func (c *card) CreateRenderer() fyne.WidgetRenderer { return &cardRenderer{c} }

type cardRenderer struct{ c *card }

func (r *cardRenderer) MinSize() fyne.Size { return fyne.NewSize(minCard(), 200) }
func (r *cardRenderer) Layout(size fyne.Size) {
	c := r.c
	c.back.Resize(size)
	c.picture.Move(fyne.NewPos(10, 10))
	c.picture.Resize(fyne.NewSize(size.Width-20, 104))
	c.name.Move(fyne.NewPos(12, 120))
	c.name.Resize(fyne.NewSize(size.Width-24, 22))
	c.line.Move(fyne.NewPos(12, 144))
	c.line.Resize(fyne.NewSize(size.Width-24, size.Height-150))
}
func (r *cardRenderer) Refresh() {
	for _, o := range r.Objects() {
		o.Refresh()
	}
}
func (r *cardRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.c.back, r.c.picture, r.c.name, r.c.line}
}
func (r *cardRenderer) Destroy() {}
