package story

import (
	"image"
	"os"
	"path/filepath"
	"testing"
)

// TestKilled knocks the boat out, is killed before saving, and is offered the
// work again; saved, it is not offered any more and opens from the list.
func TestKilled(t *testing.T) {
	s := open(t)
	first := s.still("killed-1-start")
	boat, _ := largest(first, sea, 0)
	s.click(middle(boat))
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	kept := func() bool {
		list, _ := filepath.Glob(filepath.Join(s.home, "state", "abut", "work", "*.abut"))
		return len(list) == 1
	}
	s.until("the work kept", func(image.Image) bool { return kept() })
	if err := s.program.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = s.end() // as killed

	s.start()
	s.until("the work offered", offered)
	img := s.still("killed-2-offered")
	button, _ := largest(img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(image.Rect(0, 0, 1280, 150)), accent, 60)
	s.click(middle(button))
	s.until("the art", func(img image.Image) bool { b, n := largest(img, sea, 100); return n > 20000 && b.Dx() > 200 })
	img = s.still("killed-3-back")
	if n := count(img, red); n != 0 {
		t.Errorf("%d red pixels: the knocking out is lost", n)
	}
	s.key("ctrl+s")
	s.still("killed-4-save")
	s.key("Return")
	file := filepath.Join(s.home, "Little boat.abut")
	s.until("the file", func(image.Image) bool { _, err := os.Stat(file); return err == nil && !kept() })
	s.key("ctrl+q")
	if err := s.end(); err != nil {
		t.Error(err)
	}
	s.start()
	s.still("killed-5-recent")
}

// offered reports whether there is an offer at the top.
func offered(img image.Image) bool {
	for y := 60; y < 130; y++ {
		for x := 900; x < 1270; x++ {
			if at(img, x, y) == accent {
				return true
			}
		}
	}
	return false
}
