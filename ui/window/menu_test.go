package window

import (
	"testing"

	"fyne.io/fyne/v2"

	"abut/ui/theme"
)

// Every command is in the main menu, or has a reason not to be.
func TestMenu_HasEveryCommand(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	inMenu := map[string]bool{}
	var walk func([]*fyne.MenuItem)
	walk = func(items []*fyne.MenuItem) {
		for _, i := range items {
			inMenu[i.Label] = true
			if i.ChildMenu != nil {
				walk(i.ChildMenu.Items)
			}
		}
	}
	for _, m := range s.bar.Main.Items {
		walk(m.Items)
	}
	elsewhere := map[string]bool{"add": true, "frame": true, "see": true, "mend": true, "sheets": true} // tools for what the menu spells out
	for _, c := range s.commands.All() {
		if label := s.commands.Label(c.ID); !inMenu[label] && !elsewhere[c.ID] {
			t.Errorf("%s (%q) is in no menu", c.ID, label)
		}
	}
}

func TestKeys_AreListedAsPeopleWriteThem(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	listed := map[string]string{}
	for _, k := range s.commands.Keys() {
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
	s.ask.Blank()
	s.run("knock-all")
	if s.session.CanUndo() {
		t.Error("knocked out behind a dialog")
	}
	s.desk.Clear()
	s.run("knock-all")
	if !s.session.CanUndo() {
		t.Error("not knocked out without one")
	}
	s.settle()
}
