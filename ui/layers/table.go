package layers

import (
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"abut/ui/controls"
	"abut/ui/theme"
)

// table is the list's content: as tall as all rows, with row widgets only for
// those in view, so that a drawing of thousands of shapes costs no more than
// the screen holds.
type table struct {
	widget.BaseWidget
	l *List
	// line is where what is dragged would go, ghost and says how much it is.
	line, ghost *canvas.Rectangle
	says        *canvas.Text
	seen        []fyne.CanvasObject
}

func newTable(l *List) *table {
	t := &table{l: l, line: canvas.NewRectangle(color.Transparent), ghost: canvas.NewRectangle(color.Transparent), says: canvas.NewText("", color.Transparent)}
	t.line.CornerRadius, t.ghost.CornerRadius = 1.5, 6
	t.ExtendBaseWidget(t)
	return t
}

func (t *table) MinSize() fyne.Size {
	return fyne.NewSize(120, float32(len(t.l.lines))*rowHigh())
}

// place puts row widgets over the rows in view.
func (t *table) place() {
	l := t.l
	width := l.scroll.Size().Width
	if width <= 0 {
		return
	}
	t.Resize(fyne.NewSize(width, max(t.MinSize().Height, l.scroll.Size().Height)))
	first := max(0, int(l.scroll.Offset.Y/rowHigh()))
	last := min(len(l.lines), int((l.scroll.Offset.Y+l.scroll.Size().Height)/rowHigh())+2)
	for len(l.pool) < last-first {
		l.pool = append(l.pool, newRow(l))
	}
	t.seen = t.seen[:0]
	for i := first; i < last; i++ {
		// A row keeps its widget while it scrolls, so that a drag that started
		// on it goes on.
		r := l.pool[i%len(l.pool)]
		r.show(i, l.lines[i], l.pickedOf(i), l.drags(i))
		r.Move(fyne.NewPos(0, float32(i)*rowHigh()))
		r.Resize(fyne.NewSize(width, rowHigh()))
		t.seen = append(t.seen, r)
	}
	t.placeDrag(width)
	t.Refresh()
}

// placeDrag shows where what is dragged would go, and how much it is.
func (t *table) placeDrag(width float32) {
	d, p := t.l.drag, theme.Current()
	hidden := d.from < 0 || d.gap < 0
	t.line.Hidden, t.ghost.Hidden, t.says.Hidden = hidden, hidden, hidden
	if hidden {
		return
	}
	deep := 0
	if d.gap < len(t.l.lines) {
		deep = t.l.lines[d.gap].deep
	}
	x := 4 + indent(deep)
	t.line.FillColor = p.Accent
	t.line.Move(fyne.NewPos(x, min(float32(d.gap)*rowHigh(), t.Size().Height-3)-1.5))
	t.line.Resize(fyne.NewSize(width-4-x, 3))
	t.ghost.FillColor, t.says.Color = p.Accent, p.OnAccent
	text := t.l.lines[d.from].Name
	if n := len(d.ids); n > 1 && t.l.Hints.Moving != nil {
		text = t.l.Hints.Moving(n)
	}
	t.says.TextSize = theme.Body
	t.says.Text = controls.Shorten(text, width-64, t.says.TextSize, t.says.TextStyle)
	size := t.says.MinSize()
	at := fyne.NewPos(32, max(t.l.scroll.Offset.Y, min(d.y+4, t.l.scroll.Offset.Y+t.l.scroll.Size().Height-size.Height-10)))
	t.ghost.Move(at)
	t.ghost.Resize(size.AddWidthHeight(20, 8))
	t.says.Move(at.AddXY(10, 4))
	t.says.Resize(size)
}

func (t *table) CreateRenderer() fyne.WidgetRenderer { return &tableRenderer{t} }

type tableRenderer struct{ t *table }

func (r *tableRenderer) MinSize() fyne.Size { return r.t.MinSize() }
func (r *tableRenderer) Layout(fyne.Size)   {}
func (r *tableRenderer) Refresh()           { canvas.Refresh(r.t) }
func (r *tableRenderer) Objects() []fyne.CanvasObject {
	return append(slices.Clone(r.t.seen), r.t.line, r.t.ghost, r.t.says)
}
func (r *tableRenderer) Destroy() {}
