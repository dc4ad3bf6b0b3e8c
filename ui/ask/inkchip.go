package ask

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/colour"
	"abut/ui/controls"
)

// inkChip is a colour of a traced picture: pressed it is chosen, dragged onto
// another it is joined to that.
type inkChip struct {
	widget.BaseWidget
	colour colour.RGB
	press  *controls.Press
	row    *fyne.Container
	// over is told where it is dragged to, dropped where it was let go.
	over, dropped func(at fyne.Position)
	last          fyne.Position
	dragged       bool
}

var _ fyne.Draggable = (*inkChip)(nil)

func newInkChip(c colour.RGB, label, hint string, bare bool, chosen func()) *inkChip {
	k := &inkChip{colour: c}
	k.press = controls.NewAction("", label, hint, chosen)
	k.press.Framed, k.press.Height = true, 34
	swatch := controls.NewSwatch(c, 22)
	swatch.Bare = bare
	k.row = container.NewBorder(nil, nil, container.NewCenter(swatch), nil, k.press)
	k.ExtendBaseWidget(k)
	return k
}

// CreateRenderer implements fyne.Widget.
func (k *inkChip) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(k.row) }

// Dragged implements fyne.Draggable.
func (k *inkChip) Dragged(e *fyne.DragEvent) {
	k.dragged, k.last = true, e.AbsolutePosition
	k.over(k.last)
}

// DragEnd implements fyne.Draggable.
func (k *inkChip) DragEnd() {
	if k.dragged {
		k.dragged = false
		k.dropped(k.last)
	}
}

// SetOnKey implements controls.Answering.
func (k *inkChip) SetOnKey(f func(*fyne.KeyEvent)) { k.press.SetOnKey(f) }

// holds reports whether something on the canvas is where an object is.
func holds(o fyne.CanvasObject, at fyne.Position) bool {
	p := fyne.CurrentApp().Driver().AbsolutePositionForObject(o)
	size := o.Size()
	return at.X >= p.X && at.Y >= p.Y && at.X < p.X+size.Width && at.Y < p.Y+size.Height
}
