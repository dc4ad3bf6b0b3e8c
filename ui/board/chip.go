package board

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/ui/theme"
)

// wish is what is to be said and shown with the next picture.
type wish struct {
	text   string
	at     fyne.Position
	guides []guide
}

// sayWithPicture says something beside the pointer and shows guides as soon as
// the picture that they belong to is shown: anything on screen that changes by
// itself asks the toolkit for a whole new frame.
func (b *Board) sayWithPicture(text string, at fyne.Position, guides []guide) {
	b.wish = &wish{text, at, guides}
}

// noteBox is what a view says of itself, at the board's lower left corner.
type noteBox struct {
	text, short string
	back        *canvas.Rectangle
	line        *canvas.Text
}

func newNoteBox() noteBox {
	n := noteBox{back: canvas.NewRectangle(color.Transparent), line: canvas.NewText("", color.Transparent)}
	n.back.CornerRadius = 4
	n.line.TextSize = theme.Body
	return n
}

// SetNote says something about what the board shows, or nothing; short is said
// where there is no room for it.
func (b *Board) SetNote(text, short string) {
	b.note.text, b.note.short = text, short
	b.placeNote()
}

func (b *Board) placeNote() {
	n, p := &b.note, theme.Current()
	n.line.Text, n.line.Color, n.back.FillColor = n.text, p.Text, p.Ground
	if n.line.MinSize().Width > b.Size().Width-rulerSide-40 {
		n.line.Text = n.short
	}
	m := n.line.MinSize()
	at := fyne.NewPos(rulerSide+12, b.Size().Height-m.Height-16)
	n.line.Move(at)
	n.line.Resize(m)
	n.back.Move(at.SubtractXY(8, 4))
	n.back.Resize(m.AddWidthHeight(16, 8))
	n.line.Hidden, n.back.Hidden = n.text == "", n.text == ""
	canvas.Refresh(n.back)
	canvas.Refresh(n.line)
}

// showChip says something beside the pointer.
func (b *Board) showChip(text string, at fyne.Position) {
	if text == "" {
		b.hideChip()
		return
	}
	area := b.Size()
	m := b.fitChip(text, area.Width-rulerSide-24)
	size := m.AddWidthHeight(16, 8)
	x, y := at.X+16, at.Y+20
	if x+size.Width > area.Width-4 {
		x = at.X - size.Width - 12
	}
	if y+size.Height > area.Height-4 {
		y = at.Y - size.Height - 12
	}
	x = max(rulerSide+4, min(x, area.Width-size.Width-4))
	y = max(rulerSide+4, min(y, area.Height-size.Height-4))
	b.chip.Move(fyne.NewPos(x, y))
	b.chip.Resize(size)
	b.chipText.Move(fyne.NewPos(x+8, y+4))
	b.chipText.Resize(m)
	b.chip.Show()
	b.chipText.Show()
	canvas.Refresh(b.chip)
	canvas.Refresh(b.chipText)
}

// fitChip sets the chip's text, without its last parts where the board is too
// narrow for all of it, and returns its size.
func (b *Board) fitChip(text string, room float32) fyne.Size {
	for {
		b.chipText.Text = text
		m := b.chipText.MinSize()
		cut := strings.LastIndex(text, " · ")
		if m.Width <= room || cut < 0 {
			return m
		}
		text = text[:cut]
	}
}

func (b *Board) hideChip() {
	b.wish = nil
	if b.chip.Hidden && b.chipText.Text == "" {
		return // hiding anything asks the toolkit for a whole new frame
	}
	b.chipText.Text = ""
	b.chip.Hide()
	b.chipText.Hide()
}
