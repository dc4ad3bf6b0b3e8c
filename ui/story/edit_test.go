package story

import (
	"image"
	"testing"
)

// TestMoveAfterKnockingOut knocks the boat out, drags the hull, puts it at the
// bottom and on top again, scales it by a corner, looks at every view, and undoes it all: nothing ever stacks in
// between, and the end is the beginning.
func TestMoveAfterKnockingOut(t *testing.T) {
	s := open(t)
	boat, _ := largest(s.still("move-0-start"), sea, 0)
	s.click(middle(boat))
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.move(image.Pt(640, 790))
	before := s.still("move-1-stacked")
	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })

	img := s.still("move-2-knocked-out")
	body, _ := largest(img, hull, 130)
	from := middle(body)
	s.drag(from, from.Add(image.Pt(60, -30)))
	s.until("the hull elsewhere", func(img image.Image) bool {
		r, _ := largest(img, hull, 130)
		return r.Min.X > body.Min.X+40
	})
	img = s.still("move-3-moved")
	if n := count(img, red); n != 0 {
		t.Errorf("%d red pixels after moving what knocks out", n)
	}
	moved, _ := largest(img, hull, 130)
	// To the bottom: the sea, which knocks out, leaves nothing of it. To the top
	// again: it is as it was. Nothing ever stacks.
	s.key("ctrl+End")
	s.until("the hull gone beneath the sea", func(img image.Image) bool {
		_, n := largest(img, hull, 130)
		return n < 1000 // its swatches are left
	})
	if n := count(s.still("move-3-beneath"), red); n != 0 {
		t.Errorf("%d red pixels after putting it beneath", n)
	}
	s.key("ctrl+Home")
	s.until("the hull on top", func(img image.Image) bool {
		r, _ := largest(img, hull, 130)
		return r == moved
	})
	corner := image.Pt(moved.Max.X, moved.Max.Y)
	s.drag(corner, corner.Add(image.Pt(-60, -20)))
	s.until("a smaller hull", func(img image.Image) bool {
		r, _ := largest(img, hull, 130)
		return r.Dx() < moved.Dx()-30
	})
	s.still("move-4-scaled")
	for i, k := range []string{"ctrl+2", "ctrl+3", "ctrl+4"} {
		s.key(k)
		if n := count(s.still("move-5-view-"+string(rune('2'+i))), red); n != 0 {
			t.Errorf("%s: %d red pixels", k, n)
		}
	}
	s.key("ctrl+1")
	for range 5 {
		s.key("ctrl+z")
	}
	s.key("Escape")
	s.until("all as at first", func(img image.Image) bool { return count(img, red) == count(before, red) })
	s.still("move-6-undone")
	s.key("ctrl+q")
	if err := s.end(); err != nil {
		t.Error(err)
	}
}

// drag pulls from one place to another, in steps.
func (s *screen) drag(from, to image.Point) {
	s.t.Helper()
	s.move(from)
	s.do("mousedown", "1")
	const steps = 8
	for i := 1; i <= steps; i++ {
		s.move(from.Add(to.Sub(from).Mul(i).Div(steps)))
	}
	s.do("mouseup", "1")
}
