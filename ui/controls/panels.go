package controls

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/ui/theme"
)

// Panels lays out three columns. The outer two keep their width, in units,
// while the window grows; they can be dragged wider and folded away. Where there is
// no room for both, the one that was opened last is there alone.
type Panels struct {
	widget.BaseWidget
	// OnResized reports the outer columns' widths after a drag.
	OnResized func(left, right float32)
	// OnRoom is told that there is room for both outer columns, or no more.
	OnRoom func()

	left, middle, right   fyne.CanvasObject
	leftWidth, rightWidth float32
	leftOpen, rightOpen   bool
	// narrow: there is no room for both outer columns; leftFirst: then it is the left one.
	narrow, leftFirst bool
	grips             [2]*grip
}

// gripWidth is the width of the line between two columns that can be caught.
const gripWidth = 7

// minColumn is the least width of an outer column, minMiddle of the middle one.
const (
	minColumn = 180
	minMiddle = 320
)

// NewPanels returns the columns at the given widths.
func NewPanels(left, middle, right fyne.CanvasObject, leftWidth, rightWidth float32) *Panels {
	p := &Panels{left: left, middle: middle, right: right, leftWidth: leftWidth, rightWidth: rightWidth, leftOpen: true, rightOpen: true}
	for i, by := range []func(float32){
		func(d float32) { p.leftWidth += d },
		func(d float32) { p.rightWidth -= d },
	} {
		g := &grip{by: by, p: p}
		g.ExtendBaseWidget(g)
		p.grips[i] = g
	}
	p.ExtendBaseWidget(p)
	return p
}

// Fold opens or folds the outer columns.
func (p *Panels) Fold(leftOpen, rightOpen bool) {
	if l, r := p.Open(); leftOpen && !l || rightOpen && !r {
		p.leftFirst = leftOpen && !l
	}
	p.leftOpen, p.rightOpen = leftOpen, rightOpen
	if !p.Hidden { // else it is laid out when it is shown
		p.Refresh()
	}
}

// Open reports which outer columns are to be seen.
func (p *Panels) Open() (left, right bool) {
	if p.narrow && p.leftOpen && p.rightOpen {
		return p.leftFirst, !p.leftFirst
	}
	return p.leftOpen, p.rightOpen
}

// Wanted reports which outer columns are open, or would be with more room.
func (p *Panels) Wanted() (left, right bool) { return p.leftOpen, p.rightOpen }

// CreateRenderer implements fyne.Widget.
func (p *Panels) CreateRenderer() fyne.WidgetRenderer { return &panelsRenderer{p} }

type panelsRenderer struct{ p *Panels }

func (r *panelsRenderer) MinSize() fyne.Size {
	w := float32(minMiddle)
	if r.p.leftOpen || r.p.rightOpen {
		w += minColumn
	}
	return fyne.NewSize(w, 240)
}

func (r *panelsRenderer) Layout(size fyne.Size) {
	p := r.p
	// A narrow window takes room from the outer columns alike, down to their
	// least width.
	p.leftWidth = max(p.leftWidth, minColumn)
	p.rightWidth = max(p.rightWidth, minColumn)
	if narrow := size.Width < minMiddle+2*minColumn; narrow != p.narrow && size.Width > 0 {
		p.narrow = narrow
		if p.OnRoom != nil {
			p.OnRoom()
		}
	}
	leftOpen, rightOpen := p.Open()
	lw, rw := p.leftWidth, p.rightWidth
	if !leftOpen {
		lw = 0
	}
	if !rightOpen {
		rw = 0
	}
	if over := lw + rw + minMiddle - size.Width; over > 0 {
		shrink := func(w *float32, by float32) float32 {
			d := min(by, max(*w-minColumn, 0))
			*w -= d
			return d
		}
		over -= shrink(&lw, over/2)
		over -= shrink(&rw, over)
		shrink(&lw, over)
	}
	place := func(o fyne.CanvasObject, x, w float32, open bool) {
		if !open {
			o.Hide()
			return
		}
		o.Show()
		o.Move(fyne.NewPos(x, 0))
		o.Resize(fyne.NewSize(w, size.Height))
	}
	place(p.left, 0, lw, leftOpen)
	place(p.middle, lw, size.Width-lw-rw, true)
	place(p.right, size.Width-rw, rw, rightOpen)
	place(p.grips[0], lw-gripWidth/2, gripWidth, leftOpen)
	place(p.grips[1], size.Width-rw-gripWidth/2, gripWidth, rightOpen)
}

func (r *panelsRenderer) Refresh() {
	r.Layout(r.p.Size())
	for _, o := range r.Objects() {
		o.Refresh()
	}
}

func (r *panelsRenderer) Objects() []fyne.CanvasObject {
	p := r.p
	return []fyne.CanvasObject{p.left, p.middle, p.right, p.grips[0], p.grips[1]}
}

func (r *panelsRenderer) Destroy() {}

// grip is the line between two columns.
type grip struct {
	widget.BaseWidget
	p       *Panels
	by      func(float32)
	hovered bool
}

var (
	_ fyne.Draggable     = (*grip)(nil)
	_ desktop.Hoverable  = (*grip)(nil)
	_ desktop.Cursorable = (*grip)(nil)
)

func (g *grip) Dragged(e *fyne.DragEvent) {
	g.by(e.Dragged.DX)
	g.p.Refresh()
}

func (g *grip) DragEnd() {
	if g.p.OnResized != nil {
		g.p.OnResized(g.p.leftWidth, g.p.rightWidth)
	}
}

func (g *grip) MouseIn(*desktop.MouseEvent)    { g.hovered = true; g.Refresh() }
func (g *grip) MouseMoved(*desktop.MouseEvent) {}
func (g *grip) MouseOut()                      { g.hovered = false; g.Refresh() }
func (g *grip) Cursor() desktop.Cursor         { return desktop.HResizeCursor }

func (g *grip) CreateRenderer() fyne.WidgetRenderer {
	r := &gripRenderer{g: g, line: canvas.NewRectangle(color.Transparent)}
	r.Refresh()
	return r
}

type gripRenderer struct {
	g    *grip
	line *canvas.Rectangle
}

func (r *gripRenderer) MinSize() fyne.Size { return fyne.NewSize(gripWidth, 8) }
func (r *gripRenderer) Layout(size fyne.Size) {
	w := float32(1)
	if r.g.hovered {
		w = 3
	}
	r.line.Move(fyne.NewPos((gripWidth-w)/2, 0))
	r.line.Resize(fyne.NewSize(w, size.Height))
}
func (r *gripRenderer) Refresh() {
	r.line.FillColor = theme.Current().Line
	if r.g.hovered {
		r.line.FillColor = theme.Current().Accent
	}
	r.Layout(r.g.Size())
	canvas.Refresh(r.line)
}
func (r *gripRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.line} }
func (r *gripRenderer) Destroy()                     {}
