package story

import (
	"image"
	"testing"
)

// TestUndoAll does a bit of everything and takes all of it back: the picture is
// the first one again, to the pixel; then brings all of it again.
func TestUndoAll(t *testing.T) {
	s := open(t)
	round, _ := largest(s.still("undo-0-start"), sea, 0)
	s.click(middle(round))
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.move(image.Pt(640, 790))
	s.verdict("what stands in the way", care)
	s.key("Escape")
	first := s.still("undo-1-first")
	hullIs, _ := largest(first, sea, below) // the sea: the hull is red
	steps := 0
	did := func() { steps++ }

	s.key("ctrl+k") // knock out
	did()
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	r := s.hullAt("the hull", func(image.Rectangle) bool { return true })
	s.drag(middle(r), middle(r).Add(image.Pt(45, -35))) // move
	did()
	moved := s.hullAt("the hull moved", func(q image.Rectangle) bool { return q.Min.X > r.Min.X+30 })
	s.drag(moved.Max, moved.Max.Add(image.Pt(-50, -14))) // scale
	did()
	s.hullAt("the hull smaller", func(q image.Rectangle) bool { return q.Dx() < moved.Dx()-20 })
	for _, k := range []string{
		"ctrl+bracketright", // turn
		"Down",              // nudge
		"ctrl+d",            // duplicate
		"ctrl+Page_Down",    // lower
		"ctrl+Home",         // to the top
		"ctrl+m",            // centre
		"ctrl+l",            // lock
	} {
		before := s.still("")
		s.key(k)
		did()
		s.until("what "+k+" does", func(img image.Image) bool { return !equal(img, before) })
	}
	s.key("Escape")
	s.key("Escape")
	s.move(image.Pt(640, 790))
	last := s.still("undo-2-last")

	for range steps {
		s.key("ctrl+z")
	}
	s.until("the hull under red", func(img image.Image) bool {
		q, _ := largest(img, sea, below)
		return count(img, red) > 500 && q == hullIs
	})
	s.key("Escape")
	s.key("Escape")
	s.move(image.Pt(640, 790))
	same := func(want image.Image) func(image.Image) bool {
		// The art and what is said of it: the tools say that something can be brought
		// again, and the list may be scrolled.
		return func(img image.Image) bool {
			b := img.Bounds()
			for y := below; y < b.Max.Y; y++ {
				for x := 256; x < b.Max.X; x++ {
					if at(img, x, y) != at(want, x, y) {
						return false
					}
				}
			}
			return true
		}
	}
	s.until("all as at first", same(first))
	s.still("undo-3-undone")
	for range steps {
		s.key("ctrl+y")
	}
	s.key("Escape")
	s.key("Escape")
	s.move(image.Pt(640, 790))
	s.until("all as at last", same(last))
	s.still("undo-4-redone")
}
