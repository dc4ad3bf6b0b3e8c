package controls

import "fyne.io/fyne/v2"

// Ends is a layout of two things at the ends of a row, and of the second beneath the first where they have no room
// beside each other.
type Ends struct {
	Gap   float32
	width float32
}

// Wrap lets a Stack ask for the height at a width before it lays out.
func (e *Ends) Wrap(width float32) { e.width = width }

// beneath reports whether the second is beneath the first.
func (e *Ends) beneath(o []fyne.CanvasObject, width float32) bool {
	return width > 0 && o[1].Visible() && o[0].MinSize().Width+e.Gap+o[1].MinSize().Width > width
}

// MinSize implements fyne.Layout: as high as it was at the last width. It may become as narrow as either.
func (e *Ends) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	if !o[1].Visible() {
		return a
	}
	w, h := max(a.Width, b.Width), max(a.Height, b.Height)
	if e.beneath(o, e.width) {
		h = a.Height + e.Gap + b.Height
	}
	return fyne.NewSize(w, h)
}

// Layout implements fyne.Layout.
func (e *Ends) Layout(o []fyne.CanvasObject, size fyne.Size) {
	e.width = size.Width
	a, b := o[0].MinSize(), o[1].MinSize()
	at := [...]fyne.Position{{Y: (size.Height - a.Height) / 2}, {X: size.Width - b.Width, Y: (size.Height - b.Height) / 2}}
	if e.beneath(o, size.Width) {
		at = [...]fyne.Position{{}, {Y: a.Height + e.Gap}}
	}
	for i, s := range [...]fyne.Size{a, b} {
		o[i].Move(at[i])
		o[i].Resize(s)
	}
}
