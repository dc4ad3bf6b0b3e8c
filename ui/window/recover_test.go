package window

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/abutfile"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// left leaves work in a folder as a process does that was killed, and opens the
// window's start page anew. The picture says nothing of its size.
func (s *stage) left(dir string) {
	s.t.Helper()
	s.leftOf(dir, "")
	s.session.FindLost(s.start.SetLost)
	s.settle()
}

// buoy is a picture that says nothing of its size.
const buoy = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect x="20" y="20" width="60" height="30" fill="#d03020"/></svg>`

// leftOf leaves work on a file in a folder.
func (s *stage) leftOf(dir, file string) {
	s.t.Helper()
	j, err := workshop.OpenSVG(context.Background(), "Buoy", bytes.NewReader([]byte(buoy)))
	if err != nil {
		s.t.Fatal(err)
	}
	j.Items[0].Layers[0].Name = "rescued"
	var b bytes.Buffer
	if err := abutfile.Write(&b, abutfile.Document{Job: j, Of: file}); err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "work-1-1.abut"), b.Bytes(), 0o600); err != nil {
		s.t.Fatal(err)
	}
	s.session.KeepIn(dir)
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

// Whoever opens the picture again after a crash does not see the page that offers what was
// rescued, and would do all of it anew.
func TestRecover_IsOfferedWhereTheFileIsOpenedAgain(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	dir, art := t.TempDir(), t.TempDir()
	path, other := filepath.Join(art, "Buoy.svg"), filepath.Join(art, "Boat.svg")
	for _, p := range []string{path, other} {
		if err := os.WriteFile(p, []byte(buoy), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s.leftOf(dir, path)
	s.Open(other)
	s.settle()
	s.desk.Clear()
	if got := s.notice.Text(); got != "" {
		t.Errorf("another file is opened, and it says %q", got)
	}
	s.Open(path)
	s.settle()
	s.desk.Clear()
	if s.notice.Text() == "" {
		t.Fatal("it is not offered")
	}
	s.Rebuild()
	if s.notice.Text() == "" {
		t.Fatal("it is not offered in a window made anew")
	}
	find(s.win.Content(), say("ui-lost-later")).Tapped(nil)
	s.settle()
	if got := s.notice.Text(); got != "" {
		t.Errorf("later, and it says %q", got)
	}
	s.Open(path)
	s.settle()
	s.desk.Clear()
	find(s.win.Content(), say("ui-lost-open")).Tapped(nil)
	s.settle()
	if l := s.session.Job().Items[0].Layers[0]; l.Name != "rescued" || s.notice.Text() != "" || !s.session.Changed() || s.session.Origin() != path {
		t.Errorf("the layer is %q, it says %q, changed %v, of %q", l.Name, s.notice.Text(), s.session.Changed(), s.session.Origin())
	}
}

// A window that a file was given to offers all that was rescued: no other page does.
func TestRecover_IsOfferedWhereTheProgramBeginsWithAFile(t *testing.T) {
	dir, path := t.TempDir(), filepath.Join(t.TempDir(), "Boat.svg")
	if err := os.WriteFile(path, []byte(buoy), 0o600); err != nil {
		t.Fatal(err)
	}
	s := stageKeeping(t, usual, theme.AlwaysLight, path, dir)
	s.leftOf(dir, "")
	s.settle()
	if s.notice.Text() == "" {
		t.Fatal("it is not offered")
	}
	s.desk.Clear()
	find(s.win.Content(), say("ui-lost-forget")).Tapped(nil)
	s.settle()
	if list, _ := os.ReadDir(dir); len(list) > 0 || s.notice.Text() != "" {
		t.Errorf("still kept: %v, and it says %q", list, s.notice.Text())
	}
}

// Names that were typed, and were no part of the job yet, are there again after a crash.
func TestRecover_HasWhatWasTypedInADialog(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	dir := t.TempDir()
	s.session.KeepIn(dir)
	s.demo("pair")
	s.run("list")
	s.settle()
	entry := controls.Entries(s.desk.Top().Body)[0]
	test.Type(entry, "Ada, Bea, Cleo")
	parked := false
	s.session.Park(func() { parked = true })
	for !parked {
		time.Sleep(time.Millisecond)
		s.settle()
	}
	list, err := filepath.Glob(filepath.Join(dir, "*.abut"))
	if err != nil || len(list) != 1 {
		t.Fatalf("kept is %v", list)
	}
	b, err := os.ReadFile(list[0])
	if err != nil {
		t.Fatal(err)
	}
	s = newStage(t, usual, theme.AlwaysLight)
	dir = t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "work-1-1.abut"), b, 0o600); err != nil {
		t.Fatal(err)
	}
	s.session.KeepIn(dir)
	s.session.FindLost(s.start.SetLost)
	s.settle()
	find(s.win.Content(), say("ui-lost-open")).Tapped(nil)
	s.settle()
	s.run("list")
	s.settle()
	if got := controls.Entries(s.desk.Top().Body)[0].Text; got != "Ada, Bea, Cleo" {
		t.Errorf("the dialog has %q", got)
	}
}

// Whoever has much that was rescued still sees where to drop a picture.
func TestRecover_ManyAreShownWhenAskedFor(t *testing.T) {
	s := newStage(t, fyne.NewSize(800, 600), theme.AlwaysLight)
	lost := make([]session.Lost, 7)
	for i := range lost {
		lost[i] = session.Lost{Name: fmt.Sprintf("buoy %d", i), Time: time.Date(2026, 3, 4, 17, 5, 0, 0, time.Local)}
	}
	s.start.SetLost(lost)
	drop := find(s.win.Content(), say("ui-start-open"))
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(drop)
	if bottom := at.Y + drop.Size().Height; bottom > 560 {
		t.Errorf("what opens a picture ends at %.0f of 600", bottom)
	}
	rows := func() (n int) {
		for _, o := range test.LaidOutObjects(s.win.Content()) {
			if p, ok := o.(*controls.Press); ok && p.Label == say("ui-lost-open") {
				n++
			}
		}
		return n
	}
	if got := rows(); got == 0 || got > 3 {
		t.Errorf("%d are shown at first", got)
	}
	find(s.win.Content(), say("ui-lost-more", "count", len(lost)-rows())).Tapped(nil)
	if got := rows(); got != len(lost) {
		t.Errorf("%d are shown once asked for, want %d", got, len(lost))
	}
}
