package controls

import "fyne.io/fyne/v2"

// Dock is a layout of a middle with things at its sides, edge to edge. (The
// toolkit's own leaves gaps between them.) Any but the middle may be nil.
type Dock struct{ Top, Bottom, Left, Right fyne.CanvasObject }

// NewDock returns a container laid out so.
func NewDock(top, bottom, left, right, middle fyne.CanvasObject) *fyne.Container {
	c := &fyne.Container{Layout: &Dock{top, bottom, left, right}}
	for _, o := range []fyne.CanvasObject{middle, top, bottom, left, right} {
		if o != nil {
			c.Objects = append(c.Objects, o)
		}
	}
	return c
}

func least(o fyne.CanvasObject) fyne.Size {
	if o == nil || !o.Visible() {
		return fyne.Size{}
	}
	return o.MinSize()
}

// MinSize implements fyne.Layout.
func (d *Dock) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m := least(objects[0])
	l, r, t, b := least(d.Left), least(d.Right), least(d.Top), least(d.Bottom)
	w := max(m.Width+l.Width+r.Width, t.Width, b.Width)
	h := max(m.Height, l.Height, r.Height) + t.Height + b.Height
	return fyne.NewSize(w, h)
}

// Layout implements fyne.Layout.
func (d *Dock) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	wrapWithin(d.Top, size.Width)
	wrapWithin(d.Bottom, size.Width)
	l, r, t, b := least(d.Left), least(d.Right), least(d.Top), least(d.Bottom)
	h := max(size.Height-t.Height-b.Height, 0)
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		if o != nil {
			// A container asks for a whole new frame wherever it is moved to.
			if p := fyne.NewPos(x, y); o.Position() != p {
				o.Move(p)
			}
			o.Resize(fyne.NewSize(w, h))
		}
	}
	put(d.Top, 0, 0, size.Width, t.Height)
	put(d.Bottom, 0, size.Height-b.Height, size.Width, b.Height)
	put(d.Left, 0, t.Height, l.Width, h)
	put(d.Right, size.Width-r.Width, t.Height, r.Width, h)
	put(objects[0], l.Width, t.Height, max(size.Width-l.Width-r.Width, 0), h)
}
