package controls

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// Rows that stay keep their widgets and the keyboard; where its row is gone, it is
// on the next one.
func TestRows_KeepTheKeyboardsPlace(t *testing.T) {
	test.NewTempApp(t)
	r := NewRows(4)
	made := 0
	show := func(keys ...string) bool {
		var rows []Row
		for _, key := range keys {
			rows = append(rows, Row{key, func() fyne.CanvasObject {
				made++
				return NewDock(nil, nil, NewLine("name", Text), nil, NewFramed("", key, "", func() {}))
			}})
		}
		return r.Show(rows...)
	}
	show("a", "b", "c")
	w := test.NewTempWindow(t, r.Object)
	on := func() string {
		p, _ := w.Canvas().Focused().(*Press)
		if p == nil {
			return ""
		}
		return p.Label
	}
	w.Canvas().Focus(find(r.Object.Objects[1], usable))
	for _, c := range []struct {
		keys []string
		on   string
		made int
	}{
		{[]string{"a", "b", "c"}, "b", 3}, {[]string{"x", "b", "c"}, "b", 4}, {[]string{"b"}, "b", 4}, {[]string{"b", "d"}, "b", 5},
		{[]string{"e", "d"}, "e", 6}, {[]string{"f", "g", "d"}, "f", 8}, {[]string{"h"}, "h", 9}, {nil, "h", 9},
	} {
		before := made
		changed := show(c.keys...)
		if on() != c.on || made != c.made {
			t.Errorf("%v: the keyboard is on %q, %d made, want %q and %d", c.keys, on(), made, c.on, c.made)
		}
		if first := before == 3 && len(c.keys) == 3 && c.keys[0] == "a"; changed == first {
			t.Errorf("%v: changed %v", c.keys, changed)
		}
	}
}
