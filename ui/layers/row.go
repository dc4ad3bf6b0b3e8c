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
	l       *List
	index   int
	data    line
	picked  int // of its layers
	dragged bool
	hovered bool

	swatch *controls.Swatch
	// open folds or unfolds a heading; in the swatch's place.
	open   *controls.Mark
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
	r.open = controls.NewMark("folded", "", func() { l.fold(r.index, !r.data.folded) })
	r.open.Tone = controls.Quiet
	r.name = controls.NewLine("", controls.Text)
	r.name.Shrinks, r.name.KeepsLast = true, true
	r.warn = controls.NewMark("warning", "", func() {
		l.askStacks(r.index)
	})
	r.warn.Tone = controls.Care
	r.knocks = controls.NewMark("knock-out", "", func() {
		l.ask(l.OnKnocks, r.index, !r.data.Knocks)
	})
	r.eye = controls.NewMark("eye", "", func() {
		l.ask(l.OnShown, r.index, !r.data.Shown)
	})
	r.knocks.Plain = true
	r.lock = controls.NewMark("lock", l.Hints.Unlock, func() {
		l.ask(l.OnLocked, r.index, false)
	})
	r.lock.Tone = controls.Quiet
	r.lock.Hide()
	r.use = controls.NewLine("", controls.Quiet)
	r.use.Shrinks = true
	r.ExtendBaseWidget(r)
	return r
}

// show makes the widget stand for a line, some of whose layers are picked.
func (r *row) show(i int, d line, picked int, dragged bool) {
	if r.index == i && r.data == d && r.picked == picked && r.dragged == dragged {
		return
	}
	if r.index != i {
		r.hovered = false
	}
	h := r.l.Hints
	r.index, r.data, r.picked, r.dragged = i, d, picked, dragged
	r.swatch.Colour, r.swatch.Bare = d.Colour, d.Bare
	r.swatch.Hidden, r.open.Hidden = d.isHeading(), !d.isHeading()
	if d.folded {
		r.open.SetIcon("folded", h.Unfold)
	} else {
		r.open.SetIcon("unfolded", h.Fold)
	}
	r.name.Bold = d.isHeading()
	r.name.Tone = controls.Text
	if !d.Shown {
		r.name.Tone = controls.Quiet
	}
	r.name.SetText(d.Name)
	r.warn.Hint = d.Stacks
	r.warn.Hidden = d.Stacks == ""
	r.lock.Hidden = !d.Locked
	r.use.SetTexts(d.Use, d.ShortUse)
	r.use.Hidden = d.Use == ""
	r.knocks.SetOn(d.Knocks)
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
	if r.l.drag.from >= 0 {
		i = r.l.drag.from
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

// indent is how far what is under so many headings is set in.
func indent(deep int) float32 { return float32(deep) * 14 }

func (x *rowRenderer) Layout(size fyne.Size) {
	r := x.r
	x.back.Move(fyne.NewPos(4, 1))
	x.back.Resize(size.SubtractWidthHeight(8, 2))
	x.bar.Move(fyne.NewPos(4, 8))
	x.bar.Resize(fyne.NewSize(3, size.Height-16))
	left := 14 + indent(r.data.deep)
	r.swatch.Move(fyne.NewPos(left, 0))
	r.swatch.Resize(fyne.NewSize(20, size.Height))
	r.open.Move(fyne.NewPos(left-6, (size.Height-32)/2))
	r.open.Resize(fyne.NewSquareSize(32))
	right := size.Width - 8
	for _, p := range []*controls.Mark{r.eye, r.knocks, r.lock, r.warn} {
		if p.Hidden {
			continue
		}
		right -= 32
		p.Move(fyne.NewPos(right, (size.Height-32)/2))
		p.Resize(fyne.NewSquareSize(32))
	}
	left += 28
	r.name.Move(fyne.NewPos(left, 0))
	wide, high := max(right-4-left, 0), size.Height
	if !r.use.Hidden {
		high = size.Height/2 + 2
		r.use.Move(fyne.NewPos(left, size.Height/2-2))
		r.use.Resize(fyne.NewSize(wide, size.Height/2))
	}
	r.name.Resize(fyne.NewSize(wide, high))
}

func (x *rowRenderer) Refresh() {
	r, p := x.r, theme.Current()
	x.back.FillColor = color.Transparent
	switch {
	case r.dragged:
		x.back.FillColor = theme.Faded(p.Accent, 0x40)
	case r.picked > 0 && r.picked == r.data.count:
		x.back.FillColor = theme.Mix(p.Accent, p.Surface, 0.16)
	case r.hovered:
		x.back.FillColor = theme.Faded(p.Text, 0x10)
	}
	x.bar.FillColor = color.Transparent
	if r.picked > 0 { // of a heading, some of what is under it
		x.bar.FillColor = p.Accent
	}
	x.Layout(r.Size())
	canvas.Refresh(x.back)
	canvas.Refresh(x.bar)
	for _, o := range []fyne.CanvasObject{r.swatch, r.open, r.name, r.use, r.warn, r.lock, r.knocks, r.eye} {
		o.Refresh()
	}
}

func (x *rowRenderer) Objects() []fyne.CanvasObject {
	r := x.r
	return []fyne.CanvasObject{x.back, x.bar, r.swatch, r.open, r.name, r.use, r.warn, r.lock, r.knocks, r.eye}
}

func (x *rowRenderer) Destroy() {}
