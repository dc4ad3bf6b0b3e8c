package controls

import "fyne.io/fyne/v2"

// Beside is a layout of a press and of what is noted about it. The note stands at the right
// of the press, and beneath it where the label would be cut otherwise.
type Beside struct{ width float32 }

// NewBeside returns a press with its note laid out so.
func NewBeside(press *Press, note fyne.CanvasObject) *fyne.Container {
	return &fyne.Container{Layout: &Beside{}, Objects: []fyne.CanvasObject{press, note}}
}

// below reports whether the note is beneath the press.
func (b *Beside) below(o []fyne.CanvasObject, width float32) bool {
	return o[0].(*Press).Whole()+o[1].MinSize().Width > width
}

// MinSize implements fyne.Layout: as high as it was at the last width.
func (b *Beside) MinSize(o []fyne.CanvasObject) fyne.Size {
	press, note := o[0].MinSize(), o[1].MinSize()
	if b.width > 0 && b.below(o, b.width) {
		return fyne.NewSize(max(press.Width, note.Width), press.Height+note.Height)
	}
	return fyne.NewSize(press.Width+note.Width, max(press.Height, note.Height))
}

// Layout implements fyne.Layout.
func (b *Beside) Layout(o []fyne.CanvasObject, size fyne.Size) {
	b.width = size.Width
	press, note := o[0].MinSize(), o[1].MinSize()
	put := func(x fyne.CanvasObject, left, top, width, height float32) {
		x.Move(fyne.NewPos(left, top))
		x.Resize(fyne.NewSize(width, height))
	}
	if b.below(o, size.Width) {
		put(o[0], 0, 0, size.Width, press.Height)
		put(o[1], size.Width-note.Width, press.Height, note.Width, note.Height)
		return
	}
	put(o[0], 0, 0, size.Width-note.Width, press.Height)
	put(o[1], size.Width-note.Width, (press.Height-note.Height)/2, note.Width, note.Height)
}
