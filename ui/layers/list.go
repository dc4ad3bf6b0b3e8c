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

	"abut/internal/colour"
	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Row is what the list shows of one layer.
type Row struct {
	ID     job.LayerID
	Name   string
	Colour colour.RGB
	// Bare: nothing is cut of it.
	Bare, Shown, Knocks, Locked bool
	// Use says what becomes of it unless it is cut, in a word, or of how many
	// pieces it is; ShortUse the same where there is little room.
	Use, ShortUse string
	Pieces        int
	// Stacks says with what, empty when it does not stack.
	Stacks string
	Groups Groups
}

// Hints are the words on a row's marks.
type Hints struct {
	Hide, Show, KnocksOn, KnocksOff, Unlock string
	// Filter stands in the empty filter; NoneFound is said where nothing is
	// called what it says.
	Filter, NoneFound string
	// Fold and Unfold are those of a group's heading; Sum says what is in it, at
	// length and shortly, Stack how many of its layers stack.
	Fold, Unfold string
	Sum          func(layers, pieces int) (long, short string)
	Stack        func(layers int) string
	// Moving says how many layers are being dragged.
	Moving func(layers int) string
}

// rowHigh is the height of a row: a finger's width.
func rowHigh() float32 { return theme.Scaled(40) }

// List is the list. Its callbacks report what the user wants; SetRows shows the
// outcome.
type List struct {
	widget.BaseWidget

	OnSelect func([]job.LayerID)
	OnShown  func(ids []job.LayerID, on bool)
	OnKnocks func(ids []job.LayerID, on bool)
	OnLocked func(ids []job.LayerID, on bool)
	// OnContext reports that the other button was pressed on a picked row, at a
	// place on the screen.
	OnContext func(fyne.Position)
	// OnStacks reports that a row's warning mark was pressed.
	OnStacks func(job.LayerID)
	// OnMove moves layers to right beneath another one, 0 for the top.
	OnMove     func(ids []job.LayerID, under job.LayerID)
	OnShortcut func(fyne.Shortcut)
	// OnDelete reports that the selection is to go.
	OnDelete  func()
	Modifiers func() fyne.KeyModifier
	Hints     Hints

	// all are the layers, lines what is shown of them: see tree.
	all      []Row
	lines    []line
	filter   *filter
	selected []job.LayerID
	picked   map[job.LayerID]bool // the same
	// cursor is the heading that was picked last, if one was.
	cursor headingKey
	// folds says which headings the user folded or unfolded; the others are
	// folded if startFolded. fresh: that is still to be decided.
	folds       map[headingKey]bool
	startFolded bool
	fresh       bool

	pool     []*row
	scroll   *container.Scroll
	table    *table
	renderer *listRenderer
	drag     drag
	focused  bool
}

var (
	_ fyne.Focusable    = (*List)(nil)
	_ fyne.Shortcutable = (*List)(nil)
)

// New returns an empty list.
func New(h Hints) *List {
	l := &List{Hints: h, drag: noDrag, folds: map[headingKey]bool{}, fresh: true}
	l.Modifiers = func() fyne.KeyModifier {
		if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
			return d.CurrentKeyModifiers()
		}
		return 0
	}
	l.ExtendBaseWidget(l)
	l.table = newTable(l)
	l.filter = newFilter(l)
	l.scroll = controls.NewScroll(l.table, func() { l.table.place() })
	return l
}

// foldFrom is how many layers a list begins with that has its groups folded: one
// no longer sees them at a glance.
const foldFrom = 25

// Reset makes the list ready for another document: no filter, nothing folded or
// unfolded by hand.
func (l *List) Reset() {
	l.folds, l.fresh = map[headingKey]bool{}, true
	l.filter.SetText("")
}

// SetRows shows the layers, the top one first.
func (l *List) SetRows(rows []Row) {
	if slices.Equal(rows, l.all) {
		return
	}
	l.all = rows
	if l.fresh && len(rows) > 0 {
		l.fresh, l.startFolded = false, len(rows) >= foldFrom
	}
	another := l.filter.update()
	l.showRows()
	if another {
		l.relayout()
	}
}

// Rows returns the layers as they are shown, the top one first.
func (l *List) Rows() []Row { return l.all }

// showRows shows what the filter and folded headings let through.
func (l *List) showRows() {
	lines := l.linesOf(l.filter.want())
	resize := len(lines) != len(l.lines)
	l.lines = lines
	l.filter.sayNone(len(lines) == 0 && len(l.all) > 0)
	if l.drag.from >= len(lines) {
		l.drag = noDrag
	}
	if resize {
		l.scroll.Refresh() // its content has another height
	}
	l.table.place()
}

// context picks the line unless it is picked, and asks for what can be done.
func (l *List) context(i int, at fyne.Position) {
	if i < 0 || i >= len(l.lines) || l.OnContext == nil {
		return
	}
	if l.pickedOf(i) < l.lines[i].count {
		l.pickLine(i)
	}
	l.OnContext(at)
}

// ask reports that a mark of all layers of a line is to be on or off.
func (l *List) ask(f func([]job.LayerID, bool), i int, on bool) {
	if f != nil && i >= 0 && i < len(l.lines) {
		f(l.idsOf(i), on)
	}
}

// askStacks asks to be shown where a line's topmost layer that stacks does so.
func (l *List) askStacks(i int) {
	n := &l.lines[i]
	for _, r := range l.all[n.first : n.first+n.count] {
		if r.Stacks != "" && l.OnStacks != nil {
			l.OnStacks(r.ID)
			return
		}
	}
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
