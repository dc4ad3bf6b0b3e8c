package layers

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"abut/ui/controls"
)

// filterFrom is from how many layers on the list has a filter: more than one
// sees at a glance.
const filterFrom = 13

// filter is an entry above a long list: only layers with what it says in their
// names, or in those of groups
// around them, are shown.
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
// through. It reports whether that changes the list's layout.
func (f *filter) update() bool {
	long := len(f.l.all) >= filterFrom
	if long == f.Visible() {
		return false
	}
	if long {
		f.Show()
	} else {
		f.Text = ""
		f.Hide()
	}
	return true
}

// want is what is looked for, in small letters; empty lets all through.
func (f *filter) want() string { return strings.ToLower(strings.TrimSpace(f.Text)) }

// sayNone says that nothing is called that, or no longer.
func (f *filter) sayNone(none bool) {
	if none != f.none.Visible() {
		f.none.Hidden = !none
		f.none.Refresh()
	}
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
	if len(f.l.lines) > 0 && k.Name != fyne.KeyEscape && !f.l.seesPicked() {
		f.l.pickLine(f.l.firstLayer())
	}
}

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

// seesPicked reports whether a picked layer is among those shown.
func (l *List) seesPicked() bool {
	first, _ := l.span()
	return first >= 0
}

// firstLayer returns the first line that is not the heading of those after it.
func (l *List) firstLayer() int {
	return slices.IndexFunc(l.lines, func(n line) bool { return !n.opened() })
}
