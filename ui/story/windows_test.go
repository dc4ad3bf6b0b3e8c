package story

import (
	"image"
	"path/filepath"
	"testing"
	"time"
)

// TestTwoWindows works in two windows: each has a document, steps and kept work
// of its own, and the program ends with the last of them.
func TestTwoWindows(t *testing.T) {
	s := boat(t)
	one := s.still("windows-1-one")
	s.key("ctrl+shift+n")
	s.until("a window without art", func(img image.Image) bool { return !equal(img, one) && count(img, red) == 0 })
	img := s.still("windows-2-new")
	round, _ := largest(img, sea, 0)
	s.click(middle(round))
	s.until("red in the second window", func(img image.Image) bool { return count(img, red) > 500 })
	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	s.until("the work of both kept", func(image.Image) bool {
		list, _ := filepath.Glob(filepath.Join(s.home, "state", "abut", "work", "*.abut"))
		return len(list) == 2
	})
	// One step was taken here: taking it back leaves the other window alone.
	s.key("ctrl+z")
	s.until("red again", func(img image.Image) bool { return count(img, red) > 500 })

	// There is nothing to lose here any more: this window goes, the other asks.
	s.key("ctrl+q")
	s.until("the first window, asking", func(img image.Image) bool {
		r, n := largest(img, accent, 200)
		return count(img, red) == 0 && n > 600 && r.Dx() > 40
	})
	s.still("windows-3-asked")
	s.key("Escape")
	s.until("the first window as it was", func(img image.Image) bool {
		r, _ := largest(img, hull, below)
		was, _ := largest(one, hull, below)
		return r == was && count(img, red) == 0
	})
	select {
	case err := <-s.ended:
		t.Fatal("the program ended although one window stayed: ", err)
	case <-time.After(300 * time.Millisecond):
	}
	s.key("ctrl+z")
	s.until("red in the first window", func(img image.Image) bool { return count(img, red) > 500 })
	s.key("ctrl+q")
	if err := s.end(); err != nil {
		t.Error(err)
	}
}
