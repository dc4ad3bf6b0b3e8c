package window

import (
	"testing"

	"fyne.io/fyne/v2"

	"abut/ui/theme"
)

// Two entries with one shortcut: only the first would ever be reached.
func TestMenu_NoShortcutIsThereTwice(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	seen := map[string]string{}
	var walk func([]*fyne.MenuItem)
	walk = func(items []*fyne.MenuItem) {
		for _, i := range items {
			if i.Shortcut != nil {
				if other, twice := seen[i.Shortcut.ShortcutName()]; twice {
					t.Errorf("%q and %q have the same shortcut", other, i.Label)
				}
				seen[i.Shortcut.ShortcutName()] = i.Label
			}
			if i.ChildMenu != nil {
				walk(i.ChildMenu.Items)
			}
		}
	}
	for _, m := range s.menu.main.Items {
		walk(m.Items)
	}
	if len(seen) < 20 {
		t.Errorf("only %d shortcuts", len(seen))
	}
}

func TestKeys_AreListedAsPeopleWriteThem(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	listed := map[string]string{}
	for _, k := range s.menuKeys() {
		listed[k[1]] = k[0]
	}
	for what, want := range map[string]string{"Save": "Ctrl+S", "Save as": "Ctrl+Shift+S", "Undo": "Ctrl+Z", "Settings": "Ctrl+,", "Layer up": "Ctrl+Page up"} {
		if got := listed[what]; got != want {
			t.Errorf("%s: %q, want %q of %v", what, got, want, listed)
		}
	}
}

// What a dialog lies over is left alone until it is answered.
func TestMenu_ShortcutsWaitForTheDialog(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.askBlank()
	s.menu.knock.Action()
	if s.session.CanUndo() {
		t.Error("knocked out behind a dialog")
	}
	s.desk.Clear()
	s.menu.knock.Action()
	if !s.session.CanUndo() {
		t.Error("not knocked out without one")
	}
	s.settle()
}
