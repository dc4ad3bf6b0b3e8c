//go:build linux

package corpus

import (
	"image"
	"path/filepath"
	"testing"
	"time"
)

// The colours that the story looks for.
var (
	stackedRed = [3]uint8{0xd5, 0x18, 0x2b}
	accent     = [3]uint8{0x6a, 0x3a, 0x7c} // of what is to be pressed next, in the light theme
	boatSea    = [3]uint8{0x1f, 0x6f, 0x8b} // the disc beneath the boat
	boatHull   = [3]uint8{0xd9, 0x51, 0x2c}
)

// The window as a newcomer drives it: choose the boat, see red, knock out, see
// none, export, and find the files.
func TestStory_FromADemoPictureToTheFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("opens the real window: ./run test does")
	}
	bin := buildAbut(t)
	s := startScreen(t, 1280, 800)
	home := t.TempDir()
	cmd := s.start(home, bin)

	large := func(c [3]uint8, least int) func(*image.RGBA) bool {
		return func(img *image.RGBA) bool { _, n := blob(img, c); return n >= least }
	}
	first := s.waitFor("the start page with the boat", large(boatSea, 500))
	s.keep(first, "story-1-start")
	at, _ := blob(first, boatSea)
	s.click(at.Min.Add(image.Pt(at.Dx()/2, at.Dy()/8))) // the sea above the sails

	red := s.waitFor("red where the boat lies on the sea", large(stackedRed, 200))
	s.keep(red, "story-2-stacked")

	s.do("key", "ctrl+k")
	clear := s.waitFor("no red, and the boat", func(img *image.RGBA) bool {
		_, stacked := blob(img, stackedRed)
		_, hull := blob(img, boatHull)
		return stacked == 0 && hull > 2000
	})
	s.keep(clear, "story-3-knocked-out")

	s.do("key", "ctrl+z")
	s.waitFor("red again after undo", large(stackedRed, 200))
	s.do("key", "ctrl+k")
	settled := s.waitFor("no red after knocking out again", func(img *image.RGBA) bool { _, n := blob(img, stackedRed); return n == 0 })

	s.do("key", "ctrl+e")
	_, before := blob(settled, boatSea)
	dialog := s.waitFor("the dialog over the dimmed board", func(img *image.RGBA) bool {
		_, sea := blob(img, boatSea)
		_, button := blob(img, accent)
		return sea < before/2 && button > 800
	})
	s.keep(dialog, "story-4-export")
	button, _ := blob(dialog, accent)
	s.click(middle(button))

	var dir string
	for until := time.Now().Add(patience); dir == ""; time.Sleep(50 * time.Millisecond) {
		if found, _ := filepath.Glob(filepath.Join(home, "*", "job.json")); len(found) > 0 {
			dir = filepath.Dir(found[0])
		} else if time.Now().After(until) {
			img, err := s.picture()
			if err == nil {
				s.keep(img, "trouble")
			}
			t.Fatal("no files were written")
		}
	}
	w, err := readWritten(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(w.sheets) != 3 || w.StackedAfter != 0 {
		t.Errorf("%d sheets, %v mm² stack", len(w.sheets), w.StackedAfter)
	}
	after := s.waitFor("a picture after the export", func(*image.RGBA) bool { return true })
	s.keep(after, "story-5-written")

	s.do("key", "ctrl+q")
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	select {
	case err := <-done:
		if err != nil {
			t.Errorf("it ended with %v", err)
		}
	case <-time.After(patience):
		t.Error("Ctrl+Q did not end it")
	}
}
