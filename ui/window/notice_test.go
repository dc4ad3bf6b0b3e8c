package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/theme"
)

// redrawn writes a picture as another program does some time later.
func (s *stage) redrawn(path, text string) {
	s.t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		s.t.Fatal(err)
	}
	redrawnAt = redrawnAt.Add(time.Second)
	if err := os.Chtimes(path, redrawnAt, redrawnAt); err != nil {
		s.t.Fatal(err)
	}
	s.LookForChanges()
	s.settle()
}

var redrawnAt = time.Now()

// Who goes back and forth between a drawing program and this one is told, decides, and can go back.
func TestNotice_OfAPictureThatAnotherProgramChanged(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	path := filepath.Join(t.TempDir(), "Buoy.svg")
	s.redrawn(path, buoy)
	s.Open(path)
	s.settle()
	s.desk.Clear()
	s.run("knock-all")
	s.LookForChanges()
	s.settle()
	if got := s.notice.Text(); got != "" {
		t.Errorf("nothing changed, and it says %q", got)
	}
	wide := strings.Replace(buoy, `width="60"`, `width="70"`, 1)
	s.redrawn(path, wide)
	if got := s.notice.Text(); got != say("ui-renew-changed", "file", "Buoy.svg") {
		t.Fatalf("it says %q", got)
	}
	find(s.win.Content(), say("ui-renew-leave")).Tapped(nil)
	s.LookForChanges()
	s.settle()
	if got := s.notice.Text(); got != "" {
		t.Errorf("it is to stay, and it says %q", got)
	}
	s.redrawn(path, strings.Replace(wide, "</svg>", `<rect width="9" height="9" fill="#2040d0"/></svg>`, 1))
	find(s.win.Content(), say("ui-renew-take")).Tapped(nil)
	s.settle()
	what := say("ui-renewed-changed", "count", words.Count(1)) + ", " + say("ui-renewed-new", "count", words.Count(1))
	if got := s.notice.Text(); got != say("ui-renewed", "file", "Buoy.svg", "what", what) {
		t.Errorf("it says %q", got)
	}
	if l := s.session.Job().Items[0].Layers; len(l) != 2 || !l[1].Knocks {
		t.Errorf("%d layers", len(l))
	}
	find(s.win.Content(), say("ui-undo")).Tapped(nil)
	s.settle()
	if l := s.session.Job().Items[0].Layers; len(l) != 1 || s.notice.Text() != "" {
		t.Errorf("undone: %d layers, and it says %q", len(l), s.notice.Text())
	}
}

// What is said of it goes with the next step and with the document; nothing goes over what is asked.
func TestNotice_GoesWhenItIsOver(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	path := filepath.Join(t.TempDir(), "Buoy.svg")
	s.redrawn(path, buoy)
	s.Open(path)
	s.settle()
	s.desk.Clear()
	s.run("renew")
	s.settle()
	if got := s.notice.Text(); got != say("ui-renewed", "file", "Buoy.svg", "what", say("ui-renewed-same")) {
		t.Errorf("it says %q", got)
	}
	if err := s.session.Do("name", func(j job.Job) (job.Job, error) { return job.Rename(j, j.LayerIDs()[0], "other") }); err != nil {
		t.Fatal(err)
	}
	s.settle()
	if got := s.notice.Text(); got != "" {
		t.Errorf("after a step it says %q", got)
	}
	s.redrawn(path, strings.Replace(buoy, `width="60"`, `width="70"`, 1))
	before := s.notice.Text()
	if err := s.session.Do("name", func(j job.Job) (job.Job, error) { return job.Rename(j, j.LayerIDs()[0], "third") }); err != nil {
		t.Fatal(err)
	}
	s.settle()
	if got := s.notice.Text(); got != before || got == "" {
		t.Errorf("asked %q, and after a step %q", before, got)
	}
	s.run("renew") // by the menu
	s.settle()
	find(s.win.Content(), say("ui-ok")).Tapped(nil)
	if got := s.notice.Text(); got != "" {
		t.Errorf("it was read again, and it says %q", got)
	}
	// What passes gives way to what was asked before it.
	s.leftOf(t.TempDir(), path)
	s.offerLost()
	s.settle()
	before = s.notice.Text()
	s.run("renew")
	s.settle()
	if got := s.notice.Text(); got == before || before == "" {
		t.Errorf("read again, and it says %q, asked was %q", got, before)
	}
	find(s.win.Content(), say("ui-ok")).Tapped(nil)
	if got := s.notice.Text(); got != before {
		t.Errorf("that is read, and it says %q, asked was %q", got, before)
	}
	s.session.Close()
	s.settle()
	if got := s.notice.Text(); got != "" {
		t.Errorf("closed, and it says %q", got)
	}
}

// Mends that were made for what another program has drawn otherwise are told with what was read.
func TestNotice_TellsOfMendsThatNoLongerApply(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	path := filepath.Join(t.TempDir(), "Hairline.svg")
	s.redrawn(path, hairline)
	s.Open(path)
	s.settle()
	s.desk.Clear()
	s.run("knock-all")
	s.settle()
	s.run("mend")
	s.settle()
	if p := s.planNow(); len(p.Mends) != 1 || p.Lapsed() != 0 {
		t.Fatalf("mends: %+v", p.Mends)
	}
	s.redrawn(path, strings.Replace(hairline, `<rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/>`, "", 1))
	find(s.win.Content(), say("ui-renew-take")).Tapped(nil)
	s.settle()
	what := say("ui-renewed-gone", "count", words.Count(1)) + ", " + say("ui-renewed-mends", "count", words.Count(1))
	if got := s.notice.Text(); got != say("ui-renewed", "file", "Hairline.svg", "what", what) {
		t.Errorf("it says %q", got)
	}
	if !s.said(say("mends-lapsed.remedy")) {
		t.Error("nothing says what that means")
	}
	s.run("undo")
	s.settle()
	if p := s.planNow(); s.notice.Text() != "" || p.Lapsed() != 0 {
		t.Errorf("undone: it says %q, %d do not apply", s.notice.Text(), p.Lapsed())
	}
}

// A job that was saved beside its picture knows it again, and tells what was drawn on it meanwhile.
func TestNotice_OfAPictureThatWasChangedWhileItsJobWasClosed(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	dir := t.TempDir()
	path, saved := filepath.Join(dir, "Buoy.svg"), filepath.Join(dir, "Buoy.abut")
	s.redrawn(path, buoy)
	s.Open(path)
	s.settle()
	s.desk.Clear()
	s.session.Save(saved, false, func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	s.settle()
	s.run("close")
	s.settle()
	s.redrawn(path, strings.Replace(buoy, `width="60"`, `width="70"`, 1))
	s.Open(saved)
	s.settle()
	if got := s.notice.Text(); got != say("ui-renew-changed", "file", "Buoy.svg") {
		t.Fatalf("it says %q", got)
	}
	find(s.win.Content(), say("ui-renew-take")).Tapped(nil)
	s.settle()
	if got := s.notice.Text(); !strings.Contains(got, say("ui-renewed-changed", "count", words.Count(1))) {
		t.Errorf("it says %q", got)
	}
}
