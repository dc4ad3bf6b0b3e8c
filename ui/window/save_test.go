package window

import (
	"os"
	"path/filepath"
	"testing"

	"abut/ui/theme"
)

func TestSave_AsksOnceAndRemembersTheFile(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.knockOut()
	s.settle()
	if got := s.win.Title(); got != "Little boat (changed) – Abut" {
		t.Errorf("the title is %q", got)
	}
	s.run("save")
	s.press(say("ui-save")).Tapped(nil)
	s.settle()
	file := filepath.Join(s.options.Home, "Little boat.abut")
	if _, err := os.Stat(file); err != nil || s.session.Changed() {
		t.Fatal(err, s.session.Changed())
	}
	s.run("undo")
	s.run("save") // without a question
	s.settle()
	if s.desk.Open() || s.session.Changed() {
		t.Error("saving to its own file asks")
	}
	s.session.Close()
	last := find(s.win.Content(), "Little boat.abut")
	if last == nil || last.Disabled() {
		t.Fatal("what was open last is not offered")
	}
	last.Tapped(nil)
	s.settle()
	if !s.session.Opened() || s.session.Name() != "Little boat" {
		t.Error("it does not open again")
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	s.session.Close()
	if gone := find(s.win.Content(), say("ui-start-missing", "file", "Little boat.abut")); gone == nil || !gone.Disabled() {
		t.Error("a file that is gone can be pressed")
	}
}

func TestSave_LeavingOffersIt(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.knockOut()
	s.demo("nested")
	s.press(say("ui-save")).Tapped(nil) // asks where
	s.press(say("ui-save")).Tapped(nil)
	s.settle()
	if s.session.Name() != "Compass rose" {
		t.Error("after saving the other picture does not open")
	}
	if _, err := os.Stat(filepath.Join(s.options.Home, "Little boat.abut")); err != nil {
		t.Error(err)
	}
}
