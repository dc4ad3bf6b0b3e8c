package layers

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
)

// named gives the list's rows names, from the top.
func named(l *List, names ...string) {
	var rows []Row
	for i, n := range names {
		rows = append(rows, Row{ID: job.LayerID(len(names) - i), Name: n, Shown: true})
	}
	l.SetRows(rows)
}

func shownNames(l *List) (names []string) {
	for _, r := range l.lines {
		names = append(names, r.Name)
	}
	return names
}

var many = []string{"Lid", "Ear", "Left eye", "Right eye", "Nose", "Mouth", "Chin", "Hair", "Hat", "Hat band", "Collar", "Shirt", "Sky"}

func TestFilter_IsThereWhereTheListIsLong(t *testing.T) {
	l := newList(t, 3)
	if l.filter.Visible() || l.scroll.Position().Y != 0 {
		t.Error("a short list has a filter")
	}
	named(l, many...)
	if !l.filter.Visible() || l.scroll.Position().Y < l.filter.Size().Height || l.filter.Size().Width < 100 {
		t.Errorf("a list of %d: filter %v at %v, rows from %g on", len(many), l.filter.Size(), l.filter.Position(), l.scroll.Position().Y)
	}
	l.filter.SetText("eye")
	if got := shownNames(l); !slices.Equal(got, []string{"Left eye", "Right eye"}) {
		t.Errorf("%q", got)
	}
	l.filter.SetText(" HAT")
	if got := shownNames(l); !slices.Equal(got, []string{"Hat", "Hat band"}) {
		t.Errorf("%q", got)
	}
	l.filter.SetText("tail")
	if !l.filter.none.Visible() || len(l.lines) != 0 {
		t.Error("nothing says that nothing is found")
	}
	// Shorter again, it has none and lets all through.
	named(l, many[:12]...)
	if l.filter.Visible() || l.filter.none.Visible() || len(l.lines) != 12 || l.scroll.Position().Y != 0 {
		t.Error("the filter stays where the list is short")
	}
}

// What is put past a row that is seen goes past it in the whole list.
func TestFilter_ReorderCountsWhatIsNotSeen(t *testing.T) {
	l := newList(t, 0)
	named(l, many...)
	moved(l)
	l.filter.SetText("e")      // Ear, Left eye, Right eye, Nose
	dragRow(l, 0, 3*rowHigh()) // Ear to between Right eye and Nose
	l.dragEnd()
	l.filter.SetText("ha")                                                                                   // Hair, Hat, Hat band
	l.pickLine(2)                                                                                            // Hat band
	l.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyUp, Modifier: fyne.KeyModifierShortcutDefault}) // above Hat
	l.Reset()
	want := []string{"Lid", "Left eye", "Right eye", "Ear", "Nose", "Mouth", "Chin", "Hair", "Hat band", "Hat", "Collar", "Shirt", "Sky"}
	if got := shownNames(l); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

func TestFilter_KeysGoOnInTheList(t *testing.T) {
	l := newList(t, 0)
	named(l, many...)
	var picked []job.LayerID
	l.OnSelect = func(ids []job.LayerID) { picked = ids }
	l.FocusFilter()
	c := fyne.CurrentApp().Driver().CanvasForObject(l)
	if c.Focused() != fyne.Focusable(l.filter) {
		t.Fatalf("%T has the focus", c.Focused())
	}
	test.Type(l.filter, "hat")
	l.filter.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if c.Focused() != fyne.Focusable(l) || len(picked) != 1 || picked[0] != l.lines[0].ID {
		t.Errorf("%T has the focus, picked %v", c.Focused(), picked)
	}
	l.FocusFilter()
	l.filter.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if l.filter.Text != "" || len(l.lines) != len(many) {
		t.Error("Escape does not empty the filter")
	}
}
