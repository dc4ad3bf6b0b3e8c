package layers

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/ui/theme"
)

func newList(t *testing.T, n int) *List {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	l := New(Hints{})
	l.Modifiers = func() fyne.KeyModifier { return 0 }
	var rows []Row
	for i := range n {
		rows = append(rows, Row{ID: job.LayerID(n - i), Name: "layer", Shown: true})
	}
	w := test.NewTempWindow(t, l)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(220, 400))
	l.SetRows(rows)
	w.Canvas().Capture()
	return l
}

// moved lets the list move its rows, as the window does.
func moved(l *List) {
	l.OnMove = func(ids []job.LayerID, under job.LayerID) {
		take := func(rows []Row, on bool) (out []Row) {
			for _, r := range rows {
				if slices.Contains(ids, r.ID) == on {
					out = append(out, r)
				}
			}
			return out
		}
		at := slices.IndexFunc(l.all, func(r Row) bool { return r.ID == under }) + 1
		l.SetRows(slices.Concat(take(l.all[:at], false), take(l.all, true), take(l.all[at:], false)))
	}
}

func order(l *List) (ids []job.LayerID) {
	for _, r := range l.all {
		ids = append(ids, r.ID)
	}
	return ids
}

func dragRow(l *List, from int, y float32) {
	var r *row
	for _, p := range l.pool {
		if p.index == from {
			r = p
		}
	}
	top := fyne.CurrentApp().Driver().AbsolutePositionForObject(l.table)
	r.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: fyne.NewPos(20, top.Y+y)}})
}

func TestDrag_PutsTheRowWhereTheLineIs(t *testing.T) {
	for _, c := range []struct {
		from int
		y    float32
		want []job.LayerID
	}{
		{0, 2.1 * rowHigh(), []job.LayerID{4, 5, 3, 2, 1}},
		{0, 4.9 * rowHigh(), []job.LayerID{4, 3, 2, 1, 5}},
		{4, 0.2 * rowHigh(), []job.LayerID{1, 5, 4, 3, 2}},
		{3, 1.4 * rowHigh(), []job.LayerID{5, 2, 4, 3, 1}},
		{2, 2.4 * rowHigh(), []job.LayerID{5, 4, 3, 2, 1}},
		{2, 3.2 * rowHigh(), []job.LayerID{5, 4, 3, 2, 1}}, // the gap right below itself is where it is
	} {
		l := newList(t, 5)
		moved(l)
		dragRow(l, c.from, c.y)
		if l.table.line.Hidden {
			t.Errorf("row %d: no insertion line", c.from)
		}
		l.dragEnd()
		if got := order(l); !slices.Equal(got, c.want) {
			t.Errorf("row %d dropped at %.1f rows: %v, want %v", c.from, c.y/rowHigh(), got, c.want)
		}
		if !l.table.line.Hidden {
			t.Error("the line stays")
		}
	}
}

func TestDrag_EscapeLeavesTheOrder(t *testing.T) {
	l := newList(t, 5)
	l.OnMove = func(ids []job.LayerID, under job.LayerID) { t.Errorf("moved %d under %d", ids, under) }
	dragRow(l, 0, 3*rowHigh())
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	dragRow(l, 0, 4*rowHigh())
	l.dragEnd()
}

func TestKeys_PickAndReorder(t *testing.T) {
	l := newList(t, 5)
	var picked [][]job.LayerID
	moved(l)
	l.OnSelect = func(ids []job.LayerID) { picked = append(picked, ids) }
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if len(picked) != 2 || picked[0][0] != 5 || picked[1][0] != 4 {
		t.Errorf("picked %v", picked)
	}
	for _, c := range []struct {
		key  fyne.KeyName
		mod  fyne.KeyModifier
		want []job.LayerID
	}{
		{fyne.KeyDown, fyne.KeyModifierShortcutDefault, []job.LayerID{5, 3, 4, 2, 1}},
		{fyne.KeyUp, fyne.KeyModifierAlt, []job.LayerID{5, 4, 3, 2, 1}},
		{fyne.KeyUp, fyne.KeyModifierAlt, []job.LayerID{4, 5, 3, 2, 1}},
		{fyne.KeyUp, fyne.KeyModifierAlt, []job.LayerID{4, 5, 3, 2, 1}},
	} {
		l.TypedShortcut(&desktop.CustomShortcut{KeyName: c.key, Modifier: c.mod})
		if got := order(l); !slices.Equal(got, c.want) {
			t.Errorf("%v, want %v", got, c.want)
		}
	}
	shown := true
	l.OnShown = func(_ []job.LayerID, on bool) { shown = on }
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if shown {
		t.Error("space does not hide")
	}
}

func TestList_ThousandsOfRowsCostAScreenful(t *testing.T) {
	l := newList(t, 10_000)
	if n := len(l.pool); n > 20 {
		t.Errorf("%d row widgets", n)
	}
	l.Select([]job.LayerID{3})
	if l.scroll.Offset.Y == 0 {
		t.Error("the selection is not brought into view")
	}
	seen := false
	for _, r := range l.pool {
		seen = seen || r.data.ID == 3 && r.picked == 1
	}
	if !seen {
		t.Error("the selected row is not shown")
	}
}
