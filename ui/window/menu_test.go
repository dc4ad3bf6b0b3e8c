package window

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"abut/internal/words"
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
		if c.Fades {
			continue // see TestMenu_HasTheFilesThatWereOpenLast
		}
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

// The files that were open last are in the menu, the last one first, by names that
// tell them apart; without any there is no room for them.
func TestMenu_HasTheFilesThatWereOpenLast(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	labels := func() (out []string) {
		for _, i := range s.bar.Main.Items[0].Items {
			if i.IsSeparator {
				out = append(out, "-")
			} else {
				out = append(out, i.Label)
			}
		}
		return out
	}
	if got := strings.Join(labels(), "\n"); strings.Contains(got, "-\n-") || strings.Contains(got, "\n\n") {
		t.Errorf("without files: %q", got)
	}
	without := len(labels())
	for _, name := range []string{"mugs/Buoy.svg", "bags/Buoy.svg", "bags/Teapot.svg"} {
		path := filepath.Join(s.options.Home, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(shades), 0o600); err != nil {
			t.Fatal(err)
		}
		s.Open(path)
		s.settle()
	}
	got := labels()
	at := slices.Index(got, "Teapot.svg")
	if at < 1 || !slices.Equal(got[at-1:at+4], []string{"-", "Teapot.svg", "Buoy.svg · bags", "Buoy.svg · mugs", "-"}) || len(got) != without+4 {
		t.Fatalf("%q", got)
	}
	s.bar.Main.Items[0].Items[at+2].Action()
	s.settle()
	if !strings.HasSuffix(s.session.Origin(), "mugs/Buoy.svg") {
		t.Errorf("opened %q", s.session.Origin())
	}
	if got := labels()[at]; got != "Buoy.svg · mugs" {
		t.Errorf("the last one is %q", got)
	}
}

// Built anew, the menu is as long as before. The toolkit makes sure that the first
// menu ends with Quit, and adds a line and one of its own where it does not find
// one (addMissingQuitForMainMenu of its desktop driver).
func TestMenu_IsAsLongWhenBuiltAnew(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	var count func(items []*fyne.MenuItem) int
	count = func(items []*fyne.MenuItem) int {
		n := len(items)
		for _, i := range items {
			if i.ChildMenu != nil {
				n += count(i.ChildMenu.Items)
			}
		}
		return n
	}
	length := func() (all []int) {
		first := s.win.MainMenu().Items[0].Items
		if last := first[len(first)-1]; !last.IsQuit || last.Action == nil {
			t.Errorf("the first menu ends with %q", last.Label)
		}
		for _, m := range s.win.MainMenu().Items {
			all = append(all, count(m.Items))
		}
		return all
	}
	before := length()
	spoken := words.Chosen()
	t.Cleanup(func() { words.Use(spoken) })
	for _, tag := range []string{"de", "en", "de", "en"} {
		words.Use(words.For(tag))
		s.Rebuild()
		if now := length(); !slices.Equal(now, before) {
			t.Fatalf("in %q the menus have %v entries, before %v", tag, now, before)
		}
	}
}

// Whoever types one word where the menu has two finds it all the same.
func TestFind_TakesOneWordForTwo(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	for text, id := range map[string]string{"layout": "layout", "knockout": "knock-all", "savecopy": ""} {
		found := ""
		if all := s.commands.Find(text); len(all) > 0 {
			found = all[0].ID
		}
		if found != id {
			t.Errorf("%q finds %q", text, found)
		}
	}
}
