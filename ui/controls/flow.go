package controls

import "fyne.io/fyne/v2"

// Flow is a layout that sets things of their own widths one after another, in
// as many lines as that takes.
type Flow struct {
	Gap   float32
	width float32
}

// MinSize implements fyne.Layout: as high as the lines were at the last width.
func (f *Flow) MinSize(o []fyne.CanvasObject) fyne.Size {
	w := f.width
	if w <= 0 {
		w = 1 << 20
	}
	least := float32(0)
	for _, x := range o {
		if x.Visible() {
			least = max(least, min(x.MinSize().Width, 160))
		}
	}
	return fyne.NewSize(least, f.lay(o, w, func(fyne.CanvasObject, float32, float32, fyne.Size) {}))
}

// Layout implements fyne.Layout.
func (f *Flow) Layout(o []fyne.CanvasObject, size fyne.Size) {
	f.width = size.Width
	f.lay(o, size.Width, func(x fyne.CanvasObject, left, top float32, m fyne.Size) {
		x.Move(fyne.NewPos(left, top))
		x.Resize(m)
	})
}

// Wrap lets a Stack ask for the height at a width before it lays out.
func (f *Flow) Wrap(width float32) { f.width = width }

func (f *Flow) lay(o []fyne.CanvasObject, width float32, put func(x fyne.CanvasObject, left, top float32, m fyne.Size)) float32 {
	left, top, line := float32(0), float32(0), float32(0)
	for _, x := range o {
		if !x.Visible() {
			continue
		}
		m := x.MinSize()
		m.Width = min(m.Width, width)
		if left > 0 && left+m.Width > width {
			left, top, line = 0, top+line+f.Gap, 0
		}
		put(x, left, top, m)
		left += m.Width + f.Gap
		line = max(line, m.Height)
	}
	return top + line
}
