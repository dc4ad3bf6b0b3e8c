package dialogs

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"abut/ui/controls"
	"abut/ui/theme"
)

// overlay is a card with round corners in the middle of the window, over a scrim
// that keeps everything behind from being reached. The toolkit's own pop-up has
// square corners and no edge.
type overlay struct {
	widget.BaseWidget
	canvas  fyne.Canvas
	content fyne.CanvasObject
	card    fyne.Size
	shown   bool
	// aside: it lies at the right, and what is behind stays to be seen.
	aside bool
	// hints show what the icons do: those of the window lie beneath.
	hints *controls.Hints
}

// corner is how far the card's corners are rounded.
const corner = 10

func newOverlay(content fyne.CanvasObject, c fyne.Canvas) *overlay {
	o := &overlay{canvas: c, content: content, hints: controls.NewHints()}
	o.ExtendBaseWidget(o)
	return o
}

// SetCard makes the card, no smaller than its content, as large as that.
func (o *overlay) SetCard(size fyne.Size) {
	o.card = size
	o.Refresh()
}

// Show implements fyne.CanvasObject.
func (o *overlay) Show() {
	if !o.shown {
		o.shown = true
		o.canvas.Overlays().Add(o)
		o.hints.Use()
	}
	o.BaseWidget.Show()
	o.Resize(o.canvas.Size())
	o.Refresh()
}

// Hide implements fyne.CanvasObject.
func (o *overlay) Hide() {
	if o.shown {
		o.shown = false
		o.hints.Drop()
		o.canvas.Overlays().Remove(o)
	}
	o.BaseWidget.Hide()
}

// CreateRenderer implements fyne.Widget.
func (o *overlay) CreateRenderer() fyne.WidgetRenderer {
	r := &overlayRenderer{o: o, scrim: canvas.NewRectangle(nil), card: canvas.NewRectangle(nil)}
	r.card.CornerRadius, r.card.StrokeWidth = corner, 1
	r.paint()
	return r
}

type overlayRenderer struct {
	o           *overlay
	scrim, card *canvas.Rectangle
}

func (r *overlayRenderer) paint() {
	p := theme.Current()
	r.scrim.FillColor, r.card.FillColor, r.card.StrokeColor = p.Scrim, p.Dialog, p.DialogEdge
	if r.o.aside {
		r.scrim.FillColor = color.Transparent
	}
}

// Layout implements fyne.WidgetRenderer.
func (r *overlayRenderer) Layout(room fyne.Size) {
	r.scrim.Resize(room)
	r.o.hints.Layer().Resize(room)
	size := r.o.card.Max(r.o.content.MinSize()).Min(room)
	at := fyne.NewPos((room.Width-size.Width)/2, (room.Height-size.Height)/2)
	if r.o.aside {
		at.X = max(0, room.Width-size.Width-16)
	}
	for _, x := range []fyne.CanvasObject{r.card, r.o.content} {
		x.Move(at)
		x.Resize(size)
	}
}

// MinSize implements fyne.WidgetRenderer.
func (r *overlayRenderer) MinSize() fyne.Size { return r.o.content.MinSize() }

// Objects implements fyne.WidgetRenderer.
func (r *overlayRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.scrim, r.card, r.o.content, r.o.hints.Layer()}
}

// Refresh implements fyne.WidgetRenderer.
func (r *overlayRenderer) Refresh() {
	r.paint()
	r.Layout(r.o.Size())
	r.scrim.Refresh()
	r.card.Refresh()
	r.o.content.Refresh()
}

// Destroy implements fyne.WidgetRenderer.
func (r *overlayRenderer) Destroy() {}
