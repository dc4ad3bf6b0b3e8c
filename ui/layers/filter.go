package layers

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"abut/internal/job"
	"abut/ui/controls"
)

// filterFrom is from how many layers on the list has a filter: more than one
// sees at a glance.
const filterFrom = 13

// filter is an entry above a long list: only layers with what it says in their
// names are shown.
type filter struct {
	widget.Entry
	l    *List
	none *controls.Line
}

func newFilter(l *List) *filter {
	f := &filter{l: l, none: controls.NewLine(l.Hints.NoneFound, controls.Quiet)}
	f.ExtendBaseWidget(f)
	f.PlaceHolder = l.Hints.Filter
	f.none.Shrinks = true
	f.none.Hide()
	f.OnChanged = func(string) { l.showRows() }
	f.Hide()
	return f
}

// update shows the filter while there are many layers; one that goes lets all
// through.
func (f *filter) update() {
	long := len(f.l.all) >= filterFrom
	if long == f.Visible() {
		return
	}
	if long {
		f.Show()
	} else {
		f.Text = ""
		f.Hide()
	}
	f.l.relayout()
}

// through returns the rows that are to be shown.
func (f *filter) through(all []Row) []Row {
	want := strings.ToLower(strings.TrimSpace(f.Text))
	rows := all
	if want != "" {
		rows = slices.DeleteFunc(slices.Clone(all), func(r Row) bool { return !strings.Contains(strings.ToLower(r.Name), want) })
	}
	if none := len(rows) == 0 && len(all) > 0; none != f.none.Visible() {
		f.none.Hidden = !none
		f.none.Refresh()
	}
	return rows
}

// layout puts the filter at the top of the list and returns where the rows
// begin.
func (f *filter) layout(width float32) float32 {
	if !f.Visible() {
		return 0
	}
	h := f.MinSize().Height
	f.Move(fyne.NewPos(12, 0))
	f.Resize(fyne.NewSize(max(width-24, 0), h))
	f.none.Move(fyne.NewPos(16, h+12))
	f.none.Resize(fyne.NewSize(max(width-32, 0), f.none.MinSize().Height))
	return h + 6
}

// TypedKey implements fyne.Focusable: Escape empties the filter; it and the keys
// that leave an entry go on in the list.
func (f *filter) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyEscape:
		f.SetText("")
	case fyne.KeyDown, fyne.KeyReturn, fyne.KeyEnter:
	default:
		f.Entry.TypedKey(k)
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(f); c != nil {
		c.Focus(f.l)
	}
	if len(f.l.rows) > 0 && k.Name != fyne.KeyEscape && !f.l.seesPicked() {
		f.l.pick([]job.LayerID{f.l.rows[0].ID})
	}
}

// ClearFilter lets all layers through, as for another document.
func (l *List) ClearFilter() { l.filter.SetText("") }

// FocusFilter lets one type what the layer looked for is called, where the list
// is long; in a short one it takes the keys itself.
func (l *List) FocusFilter() {
	c := fyne.CurrentApp().Driver().CanvasForObject(l)
	switch {
	case c == nil:
	case l.filter.Visible():
		c.Focus(l.filter)
	default:
		c.Focus(l)
	}
}

// seesPicked reports whether a picked row is among those shown.
func (l *List) seesPicked() bool {
	return slices.ContainsFunc(l.selected, func(id job.LayerID) bool { return l.index(id) >= 0 })
}
