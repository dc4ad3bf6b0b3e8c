package window

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/ui/controls"
	"abut/ui/theme"
)

// tints are the colours in the form of My sheets, and tint chooses another.
func (s *stage) tints() (out []colour.RGB) {
	for _, x := range overlay[*controls.Swatch](s) {
		out = append(out, x.Colour)
	}
	return out[len(out)-2:]
}

func (s *stage) tint(n int, code string) {
	s.t.Helper()
	var found []*controls.Press
	for _, p := range overlay[*controls.Press](s) {
		if p.Hint == say("ui-drawer-tint") {
			found = append(found, p)
		}
	}
	found[n].Tapped(nil)
	e := overlay[*controls.Entry](s)[0]
	if s.win.Canvas().Focused() != e {
		s.t.Fatal("the code has not got the keyboard")
	}
	test.Type(e, code) // it is all marked
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
}

// Who has no list begins with plain colours.
func TestDrawer_BeginsWithPlainColours(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.sheets.Drawer()
	s.press(say("ui-drawer-start")).Tapped(nil)
	s.press(say("ui-drawer-keep")).Tapped(nil)
	got, err := s.session.Drawer()
	if err != nil || len(got) != len(drawer.Plain) || got[0].Name != "Black" {
		t.Errorf("%v, %v", got, err)
	}
	s.sheets.Drawer()
	if find(s.win.Canvas().Overlays().Top(), say("ui-drawer-start")) != nil {
		t.Error("it is offered beside a list")
	}
}

func TestDrawer_IsEditedAndKept(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.session.KeepDrawerIn(filepath.Join(t.TempDir(), "abut", "drawer.csv"))
	s.sheets.Drawer()
	s.press(say("ui-drawer-add")).Tapped(nil)
	entries := overlay[*controls.Entry](s)
	if len(entries) != 7 {
		t.Fatalf("%d entries", len(entries))
	}
	for i, text := range []string{"Tomato", "12 in", "200", "2", "2,5", "120x80", ""} {
		entries[i].SetText(text)
	}
	s.tint(0, "#d02f21")
	if got := s.tints()[1]; got != (colour.RGB{R: 0xd0, G: 0x2f, B: 0x21}) {
		t.Errorf("what looked alike before is now %v", got)
	}
	s.tint(1, "#905048")
	s.press(say("ui-drawer-upright")).Tapped(nil)
	entries[3].SetText("several")
	s.press(say("ui-drawer-keep")).Tapped(nil)
	if !s.desk.Open() {
		t.Fatal("what is no number is kept")
	}
	entries[3].SetText("2")
	s.press(say("ui-drawer-keep")).Tapped(nil)
	want := drawer.Sheet{Name: "Tomato", Pressed: colour.RGB{R: 0xd0, G: 0x2f, B: 0x21}, Unpressed: colour.RGB{R: 0x90, G: 0x50, B: 0x48},
		WidthMM: 304.8, HeightMM: 200, Count: 2, Price: 2.5, Direction: drawer.Upright, Offcuts: []drawer.Size{{WidthMM: 120, HeightMM: 80}}}
	if got, err := s.session.Drawer(); err != nil || len(got) != 1 || !reflect.DeepEqual(got[0], want) || s.desk.Open() {
		t.Errorf("%+v, %v", got, err)
	}
	// What the form does not show stays what it is.
	want.Other = map[string]string{"shelf": "A1"}
	if err := s.session.SetDrawer([]drawer.Sheet{want}); err != nil {
		t.Fatal(err)
	}
	s.sheets.Drawer()
	overlay[*controls.Entry](s)[0].SetText("Tomato red")
	s.press(say("ui-drawer-keep")).Tapped(nil)
	want.Name = "Tomato red"
	if got, err := s.session.Drawer(); err != nil || len(got) != 1 || !reflect.DeepEqual(got[0], want) {
		t.Errorf("%+v, %v", got, err)
	}
	s.sheets.Drawer()
	s.press(say("ui-drawer-remove")).Tapped(nil)
	s.press(say("ui-cancel")).Tapped(nil)
	if find(s.win.Canvas().Overlays().Top(), say("ask-discard")) == nil {
		t.Fatal("what was removed is lost without a word")
	}
	s.press(say("ask-discard")).Tapped(nil)
	if got, _ := s.session.Drawer(); len(got) != 1 {
		t.Error("cancelling keeps what was done")
	}
}

func TestDrawer_ReadsAndWritesTables(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.withDrawer(mySheets)
	file := filepath.Join(t.TempDir(), "sheets.csv")
	if err := os.WriteFile(file, []byte("name;pressed;count\nRoyal;#2040c0;7\nMint;#a0e0c0;1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	enter := func(path string) { // into the dialog that asks for a file
		e := overlay[*controls.Entry](s)[0]
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
		test.Type(e, path)
		e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	}
	out := filepath.Join(t.TempDir(), "out.csv")
	s.sheets.Drawer()
	s.press(say("ui-drawer-import")).Tapped(nil)
	enter(file)
	bad := filepath.Join(t.TempDir(), "bad.csv")
	if err := os.WriteFile(bad, []byte("colour\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	s.press(say("ui-drawer-import")).Tapped(nil)
	enter(bad)
	if !slices.ContainsFunc(overlay[*controls.Para](s), func(p *controls.Para) bool {
		return strings.Contains(p.Text(), say("drawer-no-column", "what", "name"))
	}) {
		t.Error("a list without names is taken")
	}
	s.press(say("ui-drawer-export")).Tapped(nil)
	if e := overlay[*controls.Entry](s)[0]; !strings.HasSuffix(e.Text, ".csv") {
		t.Errorf("the file is called %q", e.Text)
	}
	enter(strings.TrimSuffix(out, ".csv"))
	s.press(say("ui-drawer-keep")).Tapped(nil)
	got, err := s.session.Drawer()
	if err != nil || len(got) != 5 || got[1].Count != 7 || got[4].Name != "Mint" {
		t.Errorf("%+v, %v", got, err)
	}
	if written, err := drawer.Open(out); err != nil || !reflect.DeepEqual(written, got) {
		t.Errorf("%+v, %v", written, err)
	}
}
