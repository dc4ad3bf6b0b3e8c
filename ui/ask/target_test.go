package ask

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/show"
	"abut/internal/tree"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// place returns the entry for where something goes.
func (r *rig) place() *controls.Entry {
	r.t.Helper()
	return overlay[*controls.Entry](r)[0]
}

// That a file may be replaced is said of that file: with another name it is asked anew.
func TestTarget_MayBeReplacedOnlyWhereItWasSaid(t *testing.T) {
	for _, c := range []struct {
		dialog        string
		open          func(*rig)
		write, tick   string
		first, second string // what is there already
	}{
		{"save", func(r *rig) { r.SaveAs(func() {}) }, "ui-save", "ui-save-replace", "first.abut", "second.abut"},
		{"export", func(r *rig) { r.Export() }, "ui-export-write", "ui-export-replace", "first/mine", "second/mine"},
		{"handout", func(r *rig) { r.Handout(&show.Show{}) }, "ui-export-write", "class-handout-replace", "first/mine", "second/mine"},
	} {
		t.Run(c.dialog, func(t *testing.T) {
			r := newRig(t, usual, theme.AlwaysLight)
			r.demo("pair")
			r.Session.KnockOutAll()
			r.settle()
			for _, name := range []string{c.first, c.second} {
				tree.Put(t, filepath.Join(r.Home, name), "mine")
			}
			place := func(name string) string {
				if filepath.Dir(name) != "." {
					name = filepath.Dir(name)
				}
				return filepath.Join(r.Home, name)
			}
			c.open(r)
			r.place().SetText(place(c.first))
			r.tap(say(c.write))
			r.settle()
			r.box(say(c.tick)).SetChecked(true)
			r.place().SetText(place(c.second))
			if b := r.box(say(c.tick)); b.Checked || b.Visible() {
				t.Error("what was said of another place still counts")
			}
			r.tap(say(c.write))
			r.settle()
			if b, err := os.ReadFile(filepath.Join(r.Home, c.second)); err != nil || string(b) != "mine" {
				t.Errorf("replaced without being asked: %q, %v", b, err)
			}
			if r.box(say(c.tick)).Checked {
				t.Error("ticked by itself")
			}
		})
	}
}

// A name without a folder is one beside what was proposed, not where the program was started,
// and no name is said to be none.
func TestTarget_NamesWithoutAFolderLieBesideWhatWasProposed(t *testing.T) {
	t.Chdir(t.TempDir())
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	r.place().SetText(" ")
	r.tap(say("ui-export-write"))
	r.settle()
	if !r.said(say("ui-target-none")) {
		t.Error("that a name is missing is not said")
	}
	r.place().SetText("out")
	r.tap(say("ui-export-write"))
	r.settle()
	if _, err := os.Stat(filepath.Join(r.Home, "out", workshop.GuideFile)); err != nil {
		t.Error(err)
	}
	r.tap(say("ui-done"))
	r.SaveAs(func() {})
	r.place().SetText("")
	r.tap(say("ui-save"))
	r.settle()
	if !r.said(say("ui-target-none")) {
		t.Error("that a name is missing is not said")
	}
	r.place().SetText("puffin")
	r.tap(say("ui-save"))
	r.settle()
	if got := r.Session.File(); got != filepath.Join(r.Home, "puffin.abut") {
		t.Errorf("saved to %s", got)
	}
	if here, err := os.ReadDir("."); err != nil || len(here) > 0 {
		t.Errorf("%v, %v", here, err)
	}
}

// Whoever chooses a folder while no name is typed gets the one that was proposed, in that folder.
func TestTarget_ChoosingAFolderKeepsTheNameThatWasProposed(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	from, chosen := "", filepath.Join(r.Home, "elsewhere")
	r.PickFolder = func(at string, use func(dir string)) { from = at; use(chosen) }
	for name, open := range map[string]func(){"save": func() { r.SaveAs(func() {}) }, "export": func() { r.Export() }} {
		open()
		proposed := r.place().Text
		r.place().SetText("")
		r.tap(say("ui-export-choose"))
		if got, want := r.place().Text, filepath.Join(chosen, filepath.Base(proposed)); got != want || from != filepath.Dir(proposed) {
			t.Errorf("%s: %s from %s, proposed was %s", name, got, from, proposed)
		}
		r.tap(say("ui-cancel"))
	}
}

// Where something else changed the job's file, saving asks whether that may go.
func TestSave_AsksWhereSomethingElseChangedTheFile(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.SaveAs(func() {})
	r.tap(say("ui-save"))
	r.settle()
	file := r.Session.File()
	tree.Put(t, file, "theirs")
	r.Session.KnockOutAll()
	r.settle()
	saved := false
	r.Save(func() { saved = true })
	r.settle()
	if b, err := os.ReadFile(file); err != nil || string(b) != "theirs" || saved || !r.said(say("save-changed", "file", filepath.Base(file))) {
		t.Fatalf("%q, %v, saved %v", b, err, saved)
	}
	r.box(say("ui-save-replace")).SetChecked(true)
	r.tap(say("ui-save"))
	r.settle()
	if !saved || r.Session.Changed() || len(r.trouble) > 0 {
		t.Error(saved, r.trouble)
	}
}

// What is in the way is said where it is seen, in a window with little room too.
func TestTarget_WhatIsInTheWayIsInSight(t *testing.T) {
	r := newRig(t, fyne.NewSize(800, 420), theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	tree.Put(t, filepath.Join(r.Home, "there", "mine"), "mine")
	r.Export()
	r.settle()
	r.place().SetText(filepath.Join(r.Home, "there"))
	scroll := overlay[*container.Scroll](r)[0]
	scroll.ScrollToBottom()
	r.tap(say("ui-export-write"))
	r.settle()
	for _, p := range overlay[*controls.Para](r) {
		if p == r.exporting.to.wrong {
			scroll = overlay[*container.Scroll](r)[0]
			at := fyne.CurrentApp().Driver().AbsolutePositionForObject
			if top, y := at(scroll).Y, at(p).Y; y < top || y+p.Size().Height > top+scroll.Size().Height {
				t.Errorf("at %g, and %g to %g are seen", y, top, top+scroll.Size().Height)
			}
			return
		}
	}
	t.Error("it is not said")
}
