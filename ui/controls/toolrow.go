package controls

import (
	"slices"

	"fyne.io/fyne/v2"
)

// ToolRow is a layout of things side by side, each as wide as it needs. Where
// the row is too narrow for all, the presses in Yield give up their labels, one
// after the other: their icons stay, and the label becomes the hint.
type ToolRow struct {
	Gap   float32
	Yield []*Press
}

// width is how wide the row is with as many presses as icons only.
func (r *ToolRow) width(objects []fyne.CanvasObject, icons int) float32 {
	w := -r.Gap
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		if p, ok := o.(*Press); ok {
			i := slices.Index(r.Yield, p)
			w += p.width(i >= 0 && i < icons && p.IconName != "") + r.Gap
		} else {
			w += o.MinSize().Width + r.Gap
		}
	}
	return max(w, 0)
}

// MinSize implements fyne.Layout.
func (r *ToolRow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m := fyne.NewSize(r.width(objects, len(r.Yield)), 0)
	for _, o := range objects {
		if o.Visible() {
			m.Height = max(m.Height, o.MinSize().Height)
		}
	}
	return m
}

// Layout implements fyne.Layout.
func (r *ToolRow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	icons := 0
	for icons < len(r.Yield) && r.width(objects, icons) > size.Width {
		icons++
	}
	for i, p := range r.Yield {
		if on := i < icons && p.IconName != ""; on != p.iconOnly {
			p.iconOnly = on
			p.Refresh()
		}
	}
	x := float32(0)
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		m := o.MinSize()
		if p := fyne.NewPos(x, 0); o.Position() != p {
			o.Move(p)
		}
		o.Resize(fyne.NewSize(m.Width, size.Height))
		x += m.Width + r.Gap
	}
}
