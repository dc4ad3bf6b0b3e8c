package layers

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/ui/controls"
	"abut/ui/theme"
)

// row is the widget of one row in view.
type row struct {
	widget.BaseWidget
	l        *List
	index    int
	data     Row
	selected bool
	dragged  bool
	hovered  bool

	swatch *controls.Swatch
	name   *controls.Line
	warn   *controls.Mark
	knocks *controls.Mark
	eye    *controls.Mark
	lock   *controls.Mark
	use    *controls.Line
}

var (
	_ fyne.Tappable     = (*row)(nil)
	_ fyne.Draggable    = (*row)(nil)
	_ desktop.Hoverable = (*row)(nil)
)

func newRow(l *List) *row {
	r := &row{l: l, index: -1}
	r.swatch = controls.NewSwatch(r.data.Colour, 20)
	r.name = controls.NewLine("", controls.Text)
	r.name.Shrinks = true
	r.warn = controls.NewMark("warning", "", func() {
		if l.OnStacks != nil {
			l.OnStacks(r.data.ID)
		}
	})
	r.warn.Tone = controls.Care
	r.knocks = controls.NewMark("knock-out", "", func() {
		if l.OnKnocks != nil {
			l.OnKnocks(r.data.ID, !r.data.Knocks)
		}
	})
	r.eye = controls.NewMark("eye", "", func() {
		if l.OnShown != nil {
			l.OnShown(r.data.ID, !r.data.Shown)
		}
	})
	r.knocks.Plain = true
	r.lock = controls.NewMark("lock", l.Hints.Unlock, func() {
		if l.OnLocked != nil {
			l.OnLocked(r.data.ID, false)
		}
	})
	r.lock.Tone = controls.Quiet
	r.lock.Hide()
	r.use = controls.NewLine("", controls.Quiet)
	r.use.Shrinks = true
	r.ExtendBaseWidget(r)
	return r
}

// show makes the widget stand for a row.
func (r *row) show(i int, d Row, selected, dragged bool) {
	if r.index == i && r.data == d && r.selected == selected && r.dragged == dragged {
		return
	}
	if r.index != i {
		r.hovered = false
	}
	r.index, r.data, r.selected, r.dragged = i, d, selected, dragged
	r.swatch.Colour, r.swatch.Bare = d.Colour, d.Bare
	r.name.Tone = controls.Text
	if !d.Shown {
		r.name.Tone = controls.Quiet
	}
	r.name.SetText(d.Name)
	r.warn.Hint = d.Stacks
	r.warn.Hidden = d.Stacks == ""
	r.lock.Hidden = !d.Locked
	r.use.SetText(d.Use)
	r.use.Hidden = d.Use == ""
	r.knocks.SetOn(d.Knocks)
	h := r.l.Hints
	if d.Knocks {
		r.knocks.SetIcon("knock-out", h.KnocksOn)
	} else {
		r.knocks.SetIcon("knock-out", h.KnocksOff)
	}
	r.knocks.Tone = controls.Quiet
	if d.Knocks {
		r.knocks.Tone = nil
	}
	if d.Shown {
		r.eye.SetIcon("eye", h.Hide)
	} else {
		r.eye.SetIcon("eye-off", h.Show)
	}
	r.Refresh()
}

// Tapped implements fyne.Tappable.
func (r *row) Tapped(*fyne.PointEvent) { r.l.tapped(r.index) }

// TappedSecondary implements fyne.SecondaryTappable.
func (r *row) TappedSecondary(e *fyne.PointEvent) { r.l.context(r.index, e.AbsolutePosition) }

// MouseIn implements desktop.Hoverable.
func (r *row) MouseIn(*desktop.MouseEvent) { r.hovered = true; r.Refresh() }

// MouseMoved implements desktop.Hoverable.
func (r *row) MouseMoved(*desktop.MouseEvent) {}

// MouseOut implements desktop.Hoverable.
func (r *row) MouseOut() { r.hovered = false; r.Refresh() }

// Dragged implements fyne.Draggable.
func (r *row) Dragged(e *fyne.DragEvent) {
	i := r.index
	if r.l.drag >= 0 {
		i = r.l.drag
	}
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(r.l.table)
	r.l.dragged(i, e.AbsolutePosition.Y-at.Y)
}

// DragEnd implements fyne.Draggable.
func (r *row) DragEnd() { r.l.dragEnd() }

// CreateRenderer implements fyne.Widget.
func (r *row) CreateRenderer() fyne.WidgetRenderer {
	x := &rowRenderer{r: r, back: canvas.NewRectangle(color.Transparent), bar: canvas.NewRectangle(color.Transparent)}
	x.back.CornerRadius, x.bar.CornerRadius = 6, 1.5
	x.Refresh()
	return x
}

type rowRenderer struct {
	r         *row
	back, bar *canvas.Rectangle
}

func (x *rowRenderer) MinSize() fyne.Size { return fyne.NewSize(120, rowHigh()) }

func (x *rowRenderer) Layout(size fyne.Size) {
	r := x.r
	x.back.Move(fyne.NewPos(4, 1))
	x.back.Resize(size.SubtractWidthHeight(8, 2))
	x.bar.Move(fyne.NewPos(4, 8))
	x.bar.Resize(fyne.NewSize(3, size.Height-16))
	r.swatch.Move(fyne.NewPos(14, 0))
	r.swatch.Resize(fyne.NewSize(20, size.Height))
	right := size.Width - 8
	for _, p := range []*controls.Mark{r.eye, r.knocks, r.lock, r.warn} {
		if p.Hidden {
			continue
		}
		right -= 32
		p.Move(fyne.NewPos(right, (size.Height-32)/2))
		p.Resize(fyne.NewSquareSize(32))
	}
	r.name.Move(fyne.NewPos(42, 0))
	high := size.Height
	if !r.use.Hidden {
		high = size.Height/2 + 2
		r.use.Move(fyne.NewPos(42, size.Height/2-2))
		r.use.Resize(fyne.NewSize(max(right-46, 0), size.Height/2))
	}
	r.name.Resize(fyne.NewSize(max(right-46, 0), high))
}

func (x *rowRenderer) Refresh() {
	r, p := x.r, theme.Current()
	x.back.FillColor = color.Transparent
	switch {
	case r.dragged:
		x.back.FillColor = theme.Faded(p.Accent, 0x40)
	case r.selected:
		x.back.FillColor = theme.Mix(p.Accent, p.Surface, 0.16)
	case r.hovered:
		x.back.FillColor = theme.Faded(p.Text, 0x10)
	}
	x.bar.FillColor = color.Transparent
	if r.selected {
		x.bar.FillColor = p.Accent
	}
	x.Layout(r.Size())
	canvas.Refresh(x.back)
	canvas.Refresh(x.bar)
	for _, o := range []fyne.CanvasObject{r.swatch, r.name, r.use, r.warn, r.lock, r.knocks, r.eye} {
		o.Refresh()
	}
}

func (x *rowRenderer) Objects() []fyne.CanvasObject {
	r := x.r
	return []fyne.CanvasObject{x.back, x.bar, r.swatch, r.name, r.use, r.warn, r.lock, r.knocks, r.eye}
}

func (x *rowRenderer) Destroy() {}
