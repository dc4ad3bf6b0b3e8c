// Package layers is the list of a job's layers, the one on top first: what each
// is called and looks like, whether it is shown, whether it knocks out, where
// it stacks; to be picked and put in another order.
package layers

import (
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/internal/job"
	"abut/ui/theme"
)

// Row is what the list shows of one layer.
type Row struct {
	ID     job.LayerID
	Name   string
	Colour job.Colour
	// Bare: nothing is cut of it.
	Bare, Shown, Knocks, Locked bool
	// Use says what becomes of it unless it is cut, in a word, or of how many
	// pieces it is.
	Use string
	// Stacks says with what, empty when it does not stack.
	Stacks string
}

// Hints are the words on a row's marks.
type Hints struct {
	Hide, Show, KnocksOn, KnocksOff, Unlock string
	// Filter stands in the empty filter; NoneFound is said where nothing is
	// called what it says.
	Filter, NoneFound string
}

// rowHigh is the height of a row: a finger's width.
func rowHigh() float32 { return theme.Scaled(40) }

// List is the list. Its callbacks report what the user wants; SetRows shows the
// outcome.
type List struct {
	widget.BaseWidget

	OnSelect func([]job.LayerID)
	OnShown  func(id job.LayerID, on bool)
	OnKnocks func(id job.LayerID, on bool)
	OnLocked func(id job.LayerID, on bool)
	// OnContext reports that the other button was pressed on a picked row, at a
	// place on the screen.
	OnContext func(fyne.Position)
	// OnStacks reports that a row's warning mark was pressed.
	OnStacks func(job.LayerID)
	// OnReorder moves a layer to a place counted from the top.
	OnReorder  func(id job.LayerID, to int)
	OnShortcut func(fyne.Shortcut)
	// OnDelete reports that the selection is to go.
	OnDelete  func()
	Modifiers func() fyne.KeyModifier
	Hints     Hints

	// all are the layers, rows those that the filter lets through.
	all, rows []Row
	filter    *filter
	selected  []job.LayerID
	pool      []*row
	scroll    *container.Scroll
	table     *table
	renderer  *listRenderer
	// drag is the index of the row that is being dragged, −1 for none; gap the
	// place it would go to: before row gap.
	drag, gap int
	spent     bool
	focused   bool
}

var (
	_ fyne.Focusable    = (*List)(nil)
	_ fyne.Shortcutable = (*List)(nil)
)

// New returns an empty list.
func New(h Hints) *List {
	l := &List{drag: -1, gap: -1, Hints: h}
	l.Modifiers = func() fyne.KeyModifier {
		if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
			return d.CurrentKeyModifiers()
		}
		return 0
	}
	l.ExtendBaseWidget(l)
	l.table = &table{l: l, line: canvas.NewRectangle(color.Transparent)}
	l.table.ExtendBaseWidget(l.table)
	l.filter = newFilter(l)
	l.scroll = container.NewVScroll(l.table)
	l.scroll.OnScrolled = func(fyne.Position) { l.table.place() }
	return l
}

// SetRows shows the rows, the top one first.
func (l *List) SetRows(rows []Row) {
	if slices.Equal(rows, l.all) {
		return
	}
	l.all = rows
	l.filter.update()
	l.showRows()
}

// showRows shows those of all rows that the filter lets through.
func (l *List) showRows() {
	rows := l.filter.through(l.all)
	resize := len(rows) != len(l.rows)
	l.rows = rows
	if l.drag >= len(rows) {
		l.drag = -1
	}
	if resize {
		l.scroll.Refresh() // its content has another height
	}
	l.table.place()
}

// Select marks rows as picked and brings the first into view.
func (l *List) Select(ids []job.LayerID) {
	if slices.Equal(ids, l.selected) {
		return
	}
	l.selected = slices.Clone(ids)
	if len(ids) > 0 {
		if i := l.index(ids[0]); i >= 0 {
			l.reveal(i)
		}
	}
	l.table.place()
}

func (l *List) index(id job.LayerID) int {
	return slices.IndexFunc(l.rows, func(r Row) bool { return r.ID == id })
}

func (l *List) reveal(i int) {
	top, bottom := float32(i)*rowHigh(), float32(i+1)*rowHigh()
	h := l.scroll.Size().Height
	switch {
	case h <= 0:
	case top < l.scroll.Offset.Y:
		l.scroll.ScrollToOffset(fyne.NewPos(0, top))
	case bottom > l.scroll.Offset.Y+h:
		l.scroll.ScrollToOffset(fyne.NewPos(0, bottom-h))
	}
}

// tapped picks a row; with Shift or Ctrl it joins or leaves the others.
func (l *List) tapped(i int) {
	if i < 0 || i >= len(l.rows) {
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(l); c != nil {
		c.Focus(l)
	}
	id := l.rows[i].ID
	ids := []job.LayerID{id}
	switch m := l.Modifiers(); {
	case m&fyne.KeyModifierShortcutDefault != 0:
		ids = slices.Clone(l.selected)
		if at := slices.Index(ids, id); at >= 0 {
			ids = slices.Delete(ids, at, at+1)
		} else {
			ids = append(ids, id)
		}
	case m&fyne.KeyModifierShift != 0 && len(l.selected) > 0:
		from := l.index(l.selected[0])
		ids = []job.LayerID{l.selected[0]}
		for k := min(from, i); k >= 0 && k <= max(from, i); k++ {
			if k != from {
				ids = append(ids, l.rows[k].ID)
			}
		}
	}
	l.pick(ids)
}

// context picks the row unless it is picked, and asks for what can be done.
func (l *List) context(i int, at fyne.Position) {
	if i < 0 || i >= len(l.rows) || l.OnContext == nil {
		return
	}
	if id := l.rows[i].ID; !slices.Contains(l.selected, id) {
		l.pick([]job.LayerID{id})
	}
	l.OnContext(at)
}

func (l *List) pick(ids []job.LayerID) {
	l.Select(ids)
	if l.OnSelect != nil {
		l.OnSelect(slices.Clone(ids))
	}
}

// FocusGained implements fyne.Focusable.
func (l *List) FocusGained() { l.focused = true; l.Refresh() }

// FocusLost implements fyne.Focusable.
func (l *List) FocusLost() { l.focused = false; l.Refresh() }

// TypedRune implements fyne.Focusable: k lets the picked row knock out, or not.
func (l *List) TypedRune(r rune) {
	if (r == 'k' || r == 'K') && len(l.selected) > 0 && l.OnKnocks != nil {
		if at := l.index(l.selected[0]); at >= 0 {
			l.OnKnocks(l.rows[at].ID, !l.rows[at].Knocks)
		}
	}
}

// TypedKey implements fyne.Focusable: arrows pick, space shows or hides, Escape
// gives a drag up.
func (l *List) TypedKey(k *fyne.KeyEvent) {
	at := -1
	if len(l.selected) > 0 {
		at = l.index(l.selected[0])
	}
	to := at
	switch k.Name {
	case fyne.KeyUp:
		to = max(at-1, 0)
	case fyne.KeyDown:
		to = min(at+1, len(l.rows)-1)
	case fyne.KeyHome:
		to = 0
	case fyne.KeyEnd:
		to = len(l.rows) - 1
	case fyne.KeySpace:
		if at >= 0 && l.OnShown != nil {
			l.OnShown(l.rows[at].ID, !l.rows[at].Shown)
		}
		return
	case fyne.KeyDelete, fyne.KeyBackspace:
		if l.OnDelete != nil {
			l.OnDelete()
		}
		return
	case fyne.KeyEscape:
		if l.drag >= 0 {
			l.drag, l.gap, l.spent = -1, -1, true
			l.table.place()
		}
		return
	}
	if l.Modifiers()&fyne.KeyModifierShift != 0 && len(l.selected) > 0 {
		l.extend(to - at)
		return
	}
	if to != at && to >= 0 && to < len(l.rows) {
		l.pick([]job.LayerID{l.rows[to].ID})
	}
}

// extend takes the rows up to the next one beyond those picked along, in a
// direction.
func (l *List) extend(by int) {
	edge := l.index(l.selected[0])
	for _, id := range l.selected {
		if i := l.index(id); by < 0 && i < edge || by > 0 && i > edge {
			edge = i
		}
	}
	ids := slices.Clone(l.selected)
	for step := min(max(by, -1), 1); by != 0; by -= step {
		if edge += step; edge < 0 || edge >= len(l.rows) {
			break
		}
		if id := l.rows[edge].ID; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	l.pick(ids)
}

// TypedShortcut implements fyne.Shortcutable: Ctrl with an arrow moves the row.
func (l *List) TypedShortcut(s fyne.Shortcut) {
	if c, ok := s.(*desktop.CustomShortcut); ok && c.Modifier == fyne.KeyModifierShortcutDefault && len(l.selected) == 1 {
		at := l.index(l.selected[0])
		switch {
		case c.KeyName == fyne.KeyUp && at > 0:
			l.reorder(at, at-1)
			return
		case c.KeyName == fyne.KeyDown && at >= 0 && at < len(l.rows)-1:
			l.reorder(at, at+1)
			return
		}
	}
	if l.OnShortcut != nil {
		l.OnShortcut(s)
	}
}

func (l *List) reorder(from, to int) {
	if l.OnReorder != nil && from != to {
		// Past the row that is there, whatever lies between them unseen.
		past := l.rows[to].ID
		l.OnReorder(l.rows[from].ID, slices.IndexFunc(l.all, func(r Row) bool { return r.ID == past }))
	}
}

// dragged follows the pointer; y is in the table's units.
func (l *List) dragged(i int, y float32) {
	if l.spent || i < 0 || i >= len(l.rows) {
		return
	}
	if l.drag < 0 {
		if l.rows[i].Locked {
			l.spent = true
			return
		}
		l.drag = i
		if !slices.Contains(l.selected, l.rows[i].ID) {
			l.pick([]job.LayerID{l.rows[i].ID})
		}
	}
	// Near an end of what is seen, more comes into view.
	h := l.scroll.Size().Height
	switch seen := y - l.scroll.Offset.Y; {
	case seen < rowHigh()/2 && l.scroll.Offset.Y > 0:
		l.scroll.ScrollToOffset(fyne.NewPos(0, max(0, l.scroll.Offset.Y-8)))
	case seen > h-rowHigh()/2 && l.scroll.Offset.Y < l.table.MinSize().Height-h:
		l.scroll.ScrollToOffset(fyne.NewPos(0, min(l.table.MinSize().Height-h, l.scroll.Offset.Y+8)))
	}
	l.gap = max(0, min(int(y/rowHigh()+0.5), len(l.rows)))
	l.table.place()
}

func (l *List) dragEnd() {
	from, gap := l.drag, l.gap
	l.drag, l.gap, l.spent = -1, -1, false
	l.table.place()
	if from < 0 || gap < 0 {
		return
	}
	to := gap
	if gap > from {
		to-- // the row itself leaves a place above the gap
	}
	l.reorder(from, to)
}

// CreateRenderer implements fyne.Widget.
func (l *List) CreateRenderer() fyne.WidgetRenderer {
	l.ExtendBaseWidget(l)
	ring := canvas.NewRectangle(color.Transparent)
	ring.CornerRadius = 4
	l.renderer = &listRenderer{l: l, ring: ring}
	return l.renderer
}

// relayout makes room for the filter, or takes it.
func (l *List) relayout() {
	if l.renderer != nil && l.Size().Width > 0 {
		l.renderer.Layout(l.Size())
	}
}

type listRenderer struct {
	l    *List
	ring *canvas.Rectangle
}

func (r *listRenderer) MinSize() fyne.Size { return fyne.NewSize(160, 2*rowHigh()) }
func (r *listRenderer) Layout(size fyne.Size) {
	top := r.l.filter.layout(size.Width)
	r.l.scroll.Move(fyne.NewPos(0, top))
	r.l.scroll.Resize(fyne.NewSize(size.Width, max(size.Height-top, 0)))
	r.ring.Move(fyne.NewPos(0, top))
	r.ring.Resize(r.l.scroll.Size())
	r.l.table.place()
}
func (r *listRenderer) Refresh() {
	r.ring.StrokeColor, r.ring.StrokeWidth = theme.Current().Accent, 0
	if r.l.focused {
		r.ring.StrokeWidth = 2
	}
	r.ring.Refresh()
	r.l.table.place()
	r.l.scroll.Refresh()
}
func (r *listRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.l.filter, r.l.filter.none, r.l.scroll, r.ring}
}
func (r *listRenderer) Destroy() {}

// table is the list's content: as tall as all rows, with row widgets only for
// those in view, so that a drawing of thousands of shapes costs no more than
// the screen holds.
type table struct {
	widget.BaseWidget
	l    *List
	line *canvas.Rectangle
	seen []fyne.CanvasObject
}

func (t *table) MinSize() fyne.Size {
	return fyne.NewSize(120, float32(len(t.l.rows))*rowHigh())
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
	last := min(len(l.rows), int((l.scroll.Offset.Y+l.scroll.Size().Height)/rowHigh())+2)
	for len(l.pool) < last-first {
		l.pool = append(l.pool, newRow(l))
	}
	t.seen = t.seen[:0]
	for i := first; i < last; i++ {
		// A row keeps its widget while it scrolls, so that a drag that started
		// on it goes on.
		r := l.pool[i%len(l.pool)]
		r.show(i, l.rows[i], slices.Contains(l.selected, l.rows[i].ID), l.drag == i)
		r.Move(fyne.NewPos(0, float32(i)*rowHigh()))
		r.Resize(fyne.NewSize(width, rowHigh()))
		t.seen = append(t.seen, r)
	}
	t.line.Hidden = l.gap < 0 || l.drag < 0
	t.line.FillColor = theme.Current().Accent
	t.line.CornerRadius = 1.5
	t.line.Move(fyne.NewPos(4, min(float32(l.gap)*rowHigh(), t.Size().Height-3)-1.5))
	t.line.Resize(fyne.NewSize(width-8, 3))
	t.Refresh()
}

func (t *table) CreateRenderer() fyne.WidgetRenderer { return &tableRenderer{t} }

type tableRenderer struct{ t *table }

func (r *tableRenderer) MinSize() fyne.Size { return r.t.MinSize() }
func (r *tableRenderer) Layout(fyne.Size)   {}
func (r *tableRenderer) Refresh()           { canvas.Refresh(r.t) }
func (r *tableRenderer) Objects() []fyne.CanvasObject {
	return append(slices.Clone(r.t.seen), r.t.line)
}
func (r *tableRenderer) Destroy() {}
