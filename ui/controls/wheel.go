package controls

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Wheel lies over an entry and takes the wheel for what the entry lies in: the
// toolkit's entries of several lines keep it to themselves. The pointer goes
// through it otherwise.
type Wheel struct {
	widget.BaseWidget
	to func() fyne.Scrollable
}

var _ fyne.Scrollable = (*Wheel)(nil)

// NewWheel returns what passes the wheel on; to says to what, nil for nothing.
func NewWheel(to func() fyne.Scrollable) *Wheel {
	w := &Wheel{to: to}
	w.ExtendBaseWidget(w)
	return w
}

// Scrolled implements fyne.Scrollable.
func (w *Wheel) Scrolled(e *fyne.ScrollEvent) {
	if s := w.to(); s != nil {
		s.Scrolled(e)
	}
}

// CreateRenderer implements fyne.Widget.
func (w *Wheel) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(canvas.NewRectangle(color.Transparent))
}
