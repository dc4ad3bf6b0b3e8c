package window

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"abut/internal/abutfile"
	"abut/internal/workshop"
	"abut/ui/theme"
)

// left leaves work in a folder as a process does that was killed, and opens the
// window's start page anew. The picture says nothing of its size.
func (s *stage) left(dir string) {
	s.t.Helper()
	const noSize = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect x="20" y="20" width="60" height="30" fill="#d03020"/></svg>`
	j, err := workshop.OpenSVG(context.Background(), "Buoy", bytes.NewReader([]byte(noSize)))
	if err != nil {
		s.t.Fatal(err)
	}
	var b bytes.Buffer
	if err := abutfile.Write(&b, abutfile.Document{Job: j}); err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "work-1-1.abut"), b.Bytes(), 0o600); err != nil {
		s.t.Fatal(err)
	}
	s.session.KeepIn(dir)
	s.session.FindLost(s.start.SetLost)
	s.settle()
}

// Work that was rescued, saved and closed is safe: nobody is to rescue it again.
// Its size was known all the while.
func TestRecover_OnceSavedItIsNotOfferedAgain(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	dir := t.TempDir()
	s.left(dir)
	offer := func() bool { return find(s.win.Content(), say("ui-lost-open")) != nil }
	if !offer() {
		t.Fatal("it is not offered")
	}
	find(s.win.Content(), say("ui-lost-open")).Tapped(nil)
	s.settle()
	if !s.session.Opened() || s.desk.Open() {
		t.Fatalf("rescued: %v, asks: %v", s.session.Opened(), s.desk.Open())
	}
	s.run("save")
	s.press(say("ui-save")).Tapped(nil)
	s.settle()
	if s.session.Changed() || s.session.File() == "" {
		t.Fatal("it is not saved")
	}
	s.run("close")
	s.settle()
	if s.session.Opened() || offer() {
		t.Errorf("open: %v, offered again: %v", s.session.Opened(), offer())
	}
	if list, _ := os.ReadDir(dir); len(list) > 0 {
		t.Errorf("still kept: %v", list)
	}
	// Nor is a saved job asked about its size when it is opened.
	s.Open(filepath.Join(s.options.Home, "Buoy.abut"))
	s.settle()
	if !s.session.Opened() || s.desk.Open() {
		t.Errorf("opened: %v, asks: %v", s.session.Opened(), s.desk.Open())
	}
}

// What is lost while a document is open is offered once that is closed.
func TestRecover_IsOfferedOnceTheDocumentIsClosed(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.left(t.TempDir())
	s.start.SetLost(nil)
	s.run("close")
	s.settle()
	if find(s.win.Content(), say("ui-lost-open")) == nil {
		t.Error("it is not offered")
	}
}
