package sheets

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/drawer"
	"abut/internal/words"
	"abut/ui/controls"
)

// entry returns the entry beneath a caption of the form.
func (r *rig) entry(id string) *controls.Entry {
	r.t.Helper()
	caption := words.Say(id)
	var at fyne.Position
	d := fyne.CurrentApp().Driver()
	for _, l := range shown[*controls.Line](r) {
		if l.Text() == caption {
			at = d.AbsolutePositionForObject(l)
		}
	}
	var best *controls.Entry
	for _, e := range shown[*controls.Entry](r) {
		p := d.AbsolutePositionForObject(e)
		if p.X <= at.X+1 && p.X+e.Size().Width > at.X && p.Y > at.Y && (best == nil || p.Y < d.AbsolutePositionForObject(best).Y) {
			best = e
		}
	}
	if best == nil {
		r.t.Fatalf("no entry %q", caption)
	}
	return best
}

func (r *rig) write(id, text string) { r.t.Helper(); r.entry(id).SetText(text); r.settle() }

func TestAmountOf(t *testing.T) {
	for _, c := range []struct {
		count, offcuts int
		want           string
	}{{-1, 0, ""}, {0, 0, "0"}, {3, 0, "3"}, {-1, 1, "1 offcut"}, {2, 3, "2 + 3 offcuts"}} {
		s := drawer.Sheet{Count: c.count, Offcuts: make([]drawer.Size, c.offcuts)}
		if got := amountOf(&s); got != c.want {
			t.Errorf("%d sheets and %d offcuts: %q, want %q", c.count, c.offcuts, got, c.want)
		}
	}
}

// What cannot be read is named and not kept, and neither is what stood there before; once it is put right the sentence goes, and
// all of it is kept as it is shown.
func TestDrawer_KeepsOnlyWhatCanBeRead(t *testing.T) {
	r := newRig(t)
	r.drawer(drawer.Sheet{Name: "Tomato", Pressed: rgb(208, 47, 33), Unpressed: rgb(144, 80, 72), WidthMM: 300, HeightMM: 200, Count: 2, Price: 2.5, Other: map[string]string{"shop": "harbour"}})
	r.Drawer()
	for _, c := range []struct{ entry, text, right string }{
		{"ui-drawer-name", "  ", "Rose"}, {"ui-drawer-width", "wide", "210,5"}, {"ui-drawer-height", "-3", "297"},
		{"ui-drawer-price", "2.5 or so", "3.456"}, {"ui-drawer-count", "1.5", "7"}, {"ui-drawer-offcuts", "100 x", "100 x 50"},
	} {
		r.write(c.entry, c.text)
		if !r.tells("ui-drawer-wrong", "what", words.Say(c.entry)) {
			t.Errorf("%s %q: it says\n%s", c.entry, c.text, r.said())
		}
		r.tap("ui-drawer-keep")
		if now, _ := r.Session.Drawer(); !r.Desk.Open() || now[0].Name != "Tomato" {
			t.Fatalf("%s %q is kept", c.entry, c.text)
		}
		r.write(c.entry, c.right)
		if r.tells("ui-drawer-wrong", "what", words.Say(c.entry)) {
			t.Errorf("%s %q is still said to be wrong", c.entry, c.right)
		}
	}
	r.tap("ui-drawer-keep")
	got, _ := r.Session.Drawer()
	s := got[0]
	if r.Desk.Open() || s.Name != "Rose" || s.WidthMM != 210.5 || s.HeightMM != 297 || s.Price != 3.46 || s.Count != 7 || len(s.Offcuts) != 1 || s.Offcuts[0] != (drawer.Size{WidthMM: 100, HeightMM: 50}) {
		t.Errorf("kept %+v", s)
	}
	if s.Pressed != rgb(208, 47, 33) || s.Unpressed != rgb(144, 80, 72) || s.Other["shop"] != "harbour" {
		t.Errorf("what was not touched is %+v", s)
	}
}

// A new sheet is as large and dear as the one that was chosen, and its name waits to be typed over; what is removed is gone, and
// the one before it is chosen. Cancel keeps nothing of it.
func TestDrawer_AddsAndRemoves(t *testing.T) {
	r := newRig(t)
	r.drawer(drawer.Sheet{Name: "Tomato", WidthMM: 300, HeightMM: 200, Count: -1, Price: 2.5}, drawer.Sheet{Name: "Royal", Count: 4})
	r.Drawer()
	r.tap("ui-drawer-add")
	test.Type(r.win.Canvas().Focused(), "Moss")
	if r.entry("ui-drawer-name").Text != "Moss" || r.entry("ui-drawer-width").Text != "300" || r.entry("ui-drawer-price").Text != "2.5" || r.entry("ui-drawer-count").Text != "1" {
		t.Errorf("the new one: %q", r.entry("ui-drawer-name").Text)
	}
	r.tap("ui-drawer-remove")
	if got := r.entry("ui-drawer-name").Text; got != "Royal" {
		t.Errorf("after removing it %q is chosen", got)
	}
	r.tap("ui-drawer-remove")
	r.tap("ui-drawer-remove")
	if !r.tells("ui-drawer-begin") {
		t.Errorf("without sheets it says\n%s", r.said())
	}
	r.tap("ui-drawer-remove") // there is none: nothing happens
	r.tap("ui-drawer-keep")
	if got, _ := r.Session.Drawer(); len(got) != 0 {
		t.Errorf("left: %+v", got)
	}
}

// Sheets from a file replace those of their name, in their place; a file that is none leaves all as it is, and is told.
func TestDrawer_TakesInByName(t *testing.T) {
	r := newRig(t)
	r.drawer(drawer.Sheet{Name: "Tomato", Count: 1}, drawer.Sheet{Name: "Royal", Count: 4})
	file := filepath.Join(t.TempDir(), "new.csv")
	if err := os.WriteFile(file, []byte("name,pressed,count\nTomato,#d02f21,9\nMoss,#406020,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Drawer()
	r.tap("ui-drawer-import")
	path := shown[*controls.Entry](r)[0]
	path.SetText(file)
	r.tap("ui-open")
	r.tap("ui-drawer-keep")
	got, _ := r.Session.Drawer()
	if len(got) != 3 || got[0].Name != "Tomato" || got[0].Count != 9 || got[1].Count != 4 || got[2].Name != "Moss" {
		t.Errorf("taken in: %+v", got)
	}
	if err := os.WriteFile(file, []byte("no table of sheets"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Drawer()
	r.tap("ui-drawer-import")
	shown[*controls.Entry](r)[0].SetText(file)
	r.tap("ui-open")
	before := len(got)
	r.tap("ui-drawer-keep")
	if got, _ = r.Session.Drawer(); len(got) != before || got[0].Count != 9 {
		t.Errorf("after a file that is none: %+v", got)
	}
}
