package story

import (
	"image"
	"math"
	"os"
	"path/filepath"
	"testing"

	"abut/internal/abutfile"
	"abut/internal/job"
)

// TestTyped types a width and does something else without leaving the field: the
// number counts, once, and what is saved is what is on the screen.
func TestTyped(t *testing.T) {
	s := boat(t)
	s.move(image.Pt(640, 790))
	body, _ := largest(s.still("typed-1-knocked-out"), hull, 130)
	s.click(middle(body))
	s.still("typed-2-hull-selected")
	s.click(image.Pt(1062, 157)) // the width of the design, above all in Details
	s.key("ctrl+a")
	s.do("type", "60")
	s.key("ctrl+bracketleft") // turned to the left
	s.until("the hull upright", func(img image.Image) bool {
		r, n := largest(img, hull, 130)
		return n > 1000 && r.Dy() > r.Dx()
	})
	s.click(image.Pt(300, 700)) // beside the art
	s.still("typed-3-turned")
	s.key("ctrl+s")
	s.until("the dialog", asked)
	s.key("Return")
	file := filepath.Join(s.home, "Little boat.abut")
	s.until("the file", func(image.Image) bool { _, err := os.Stat(file); return err == nil })
	s.until("the window", func(img image.Image) bool { return !asked(img) })
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := abutfile.Read(f)
	if err != nil {
		t.Fatal(err)
	}
	if w := job.BoundsOf(doc.Job, doc.Job.LayerIDs()).Width(); math.Abs(w-60) > 0.01 {
		t.Errorf("%g mm wide, typed 60", w)
	}
	for _, id := range doc.Job.LayerIDs() {
		if l, _, _ := doc.Job.Layer(id); l.Name == "hull" || l.Name == "Hull" {
			if b := job.BoundsOf(doc.Job, []job.LayerID{id}); b.Width() >= b.Height() {
				t.Errorf("the hull is not turned: %v", b)
			}
		}
	}
}

// TestBehind presses the keys of what changes, writes and asks while a dialog is
// open: nothing behind it moves, no second one comes, and Escape leaves all as it
// was.
func TestBehind(t *testing.T) {
	s := boat(t)
	s.move(image.Pt(640, 790))
	without := s.still("behind-1-without")
	s.key("ctrl+b")
	s.until("the dialog", asked)
	with := s.still("behind-2-dialog")
	for _, k := range []string{"ctrl+z", "ctrl+y", "ctrl+v", "ctrl+a", "ctrl+e", "ctrl+comma", "ctrl+k", "ctrl+j", "ctrl+w", "ctrl+shift+x"} {
		s.key(k)
	}
	if !equal(with, s.still("behind-3-after-keys")) {
		t.Error("keys reach what is behind the dialog")
	}
	s.key("Escape")
	s.until("all as before", func(img image.Image) bool { return equal(without, img) })
}
