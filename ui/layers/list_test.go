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

func newList(t *testing.T, n int) (*List, *[]string) {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	l := New(Hints{})
	l.Modifiers = func() fyne.KeyModifier { return 0 }
	var rows []Row
	for i := range n {
		rows = append(rows, Row{ID: job.LayerID(n - i), Name: "layer", Shown: true})
	}
	log := &[]string{}
	w := test.NewTempWindow(t, l)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(220, 400))
	l.SetRows(rows)
	w.Canvas().Capture()
	return l, log
}

type move struct {
	id job.LayerID
	to int
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
		want []move
	}{
		{0, 2.1 * rowHigh(), []move{{5, 1}}},
		{0, 4.9 * rowHigh(), []move{{5, 4}}},
		{4, 0.2 * rowHigh(), []move{{1, 0}}},
		{3, 1.4 * rowHigh(), []move{{2, 1}}},
		{2, 2.4 * rowHigh(), nil},
		{2, 3.2 * rowHigh(), nil}, // the gap right below itself is where it is
	} {
		l, _ := newList(t, 5)
		var got []move
		l.OnReorder = func(id job.LayerID, to int) { got = append(got, move{id, to}) }
		dragRow(l, c.from, c.y)
		if l.table.line.Hidden {
			t.Errorf("row %d: no insertion line", c.from)
		}
		l.dragEnd()
		if !slices.Equal(got, c.want) {
			t.Errorf("row %d dropped at %.1f rows: %v, want %v", c.from, c.y/rowHigh(), got, c.want)
		}
		if !l.table.line.Hidden {
			t.Error("the line stays")
		}
	}
}

func TestDrag_EscapeLeavesTheOrder(t *testing.T) {
	l, _ := newList(t, 5)
	l.OnReorder = func(id job.LayerID, to int) { t.Errorf("moved %d to %d", id, to) }
	dragRow(l, 0, 3*rowHigh())
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	dragRow(l, 0, 4*rowHigh())
	l.dragEnd()
}

func TestKeys_PickAndReorder(t *testing.T) {
	l, _ := newList(t, 5)
	var picked [][]job.LayerID
	var got []move
	l.OnSelect = func(ids []job.LayerID) { picked = append(picked, ids) }
	l.OnReorder = func(id job.LayerID, to int) { got = append(got, move{id, to}) }
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if len(picked) != 2 || picked[0][0] != 5 || picked[1][0] != 4 {
		t.Errorf("picked %v", picked)
	}
	l.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyDown, Modifier: fyne.KeyModifierShortcutDefault})
	l.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyUp, Modifier: fyne.KeyModifierShortcutDefault})
	if !slices.Equal(got, []move{{4, 2}, {4, 0}}) {
		t.Errorf("moved %v", got)
	}
	shown := true
	l.OnShown = func(_ job.LayerID, on bool) { shown = on }
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if shown {
		t.Error("space does not hide")
	}
}

func TestList_ThousandsOfRowsCostAScreenful(t *testing.T) {
	l, _ := newList(t, 10_000)
	if n := len(l.pool); n > 20 {
		t.Errorf("%d row widgets", n)
	}
	l.Select([]job.LayerID{3})
	if l.scroll.Offset.Y == 0 {
		t.Error("the selection is not brought into view")
	}
	seen := false
	for _, r := range l.pool {
		seen = seen || r.data.ID == 3 && r.selected
	}
	if !seen {
		t.Error("the selected row is not shown")
	}
}
