package story

import (
	"image"
	"strconv"
	"testing"

	"abut/internal/colour"
)

// below is where the tool bar and the board's head end: colours above it are not
// the art's.
const below = 130

// boat opens the little boat and knocks it out, so that its shapes show whole.
func boat(t *testing.T) *screen {
	t.Helper()
	s := open(t)
	boat, _ := largest(s.look(), sea, 0)
	s.click(middle(boat))
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	return s
}

// hullAt waits until the picture rests and the hull's bounds are as f wants
// them.
func (s *screen) hullAt(what string, f func(image.Rectangle) bool) image.Rectangle {
	s.t.Helper()
	var r image.Rectangle
	var last image.Image
	s.until(what, func(img image.Image) bool {
		rests := last != nil && equal(last, img)
		last = img
		r, _ = largest(img, hull, below)
		return rests && !r.Empty() && f(r)
	})
	return r
}

func near(p, q image.Point, by int) bool {
	d := p.Sub(q)
	return d.X <= by && d.X >= -by && d.Y <= by && d.Y >= -by
}

// TestHands moves the view and the shapes in every way that a pointer can.
func TestHands(t *testing.T) {
	s := boat(t)
	s.still("hands-0")
	first := s.hullAt("the hull", func(image.Rectangle) bool { return true })
	empty := image.Pt(first.Max.X+130, first.Max.Y+70) // paper, or beside it

	// The wheel, with Shift, with Ctrl: down, across, nearer at the pointer.
	s.move(empty)
	s.do("click", "5")
	down := s.hullAt("the view moved by the wheel", func(r image.Rectangle) bool { return r.Min.Y < first.Min.Y-10 && r.Min.X == first.Min.X })
	s.do("keydown", "shift", "click", "5", "keyup", "shift")
	across := s.hullAt("the view moved across by the wheel and Shift", func(r image.Rectangle) bool { return r.Min.X < down.Min.X-10 && r.Min.Y == down.Min.Y })
	at := image.Pt(across.Min.X, across.Min.Y) // the hull's corner stays under the pointer
	s.move(at)
	s.do("keydown", "ctrl", "click", "4", "keyup", "ctrl")
	nearer := s.hullAt("the view nearer", func(r image.Rectangle) bool { return r.Dx() > across.Dx()*11/10 })
	if !near(nearer.Min, at, 3) {
		t.Errorf("the place under the pointer went from %v to %v", at, nearer.Min)
	}
	s.do("keydown", "ctrl", "click", "5", "keyup", "ctrl")
	s.hullAt("the view as far as before", func(r image.Rectangle) bool { return near(r.Size(), across.Size(), 2) })

	// The middle button, and space with the first.
	here := s.hullAt("the hull", func(image.Rectangle) bool { return true })
	s.pull("2", middle(here), middle(here).Add(image.Pt(60, 40)))
	moved := s.hullAt("the view dragged by the middle button", func(r image.Rectangle) bool { return near(r.Min, here.Min.Add(image.Pt(60, 40)), 1) })
	s.do("keydown", "space")
	s.pull("1", middle(moved), middle(moved).Add(image.Pt(-30, -50)))
	s.do("keyup", "space")
	s.hullAt("the view dragged with space", func(r image.Rectangle) bool { return near(r.Min, moved.Min.Add(image.Pt(-30, -50)), 1) })
	s.key("ctrl+0")
	s.hullAt("all of it again", func(r image.Rectangle) bool { return near(r.Min, first.Min, 1) && near(r.Max, first.Max, 1) })

	// A click picks the hull; another what lies beneath, which is the sea: pulled
	// then, the sea goes.
	s.click(middle(first))
	s.grips("the hull picked", first)
	img := s.still("hands-1-hull")
	round, _ := largest(img, sea, below)
	s.click(middle(first))
	s.grips("the sea picked", round)
	s.still("hands-2-beneath")
	s.key("Escape")

	// A box around all picks all: pulled by one, they go together.
	s.still("hands-3-none")
	s.pull("1", round.Min.Sub(image.Pt(30, 20)), round.Max.Add(image.Pt(20, 15)))
	s.grips("all picked", round)
	s.pull("1", middle(first), middle(first).Add(image.Pt(0, -31)))
	together := s.hullAt("the hull higher", func(r image.Rectangle) bool { return r.Min.Y < first.Min.Y-20 })
	s.grips("the sea with it", round.Add(image.Pt(0, together.Min.Y-first.Min.Y)))
	s.still("hands-4-together")
	s.key("ctrl+z")
	s.key("Escape")
	s.hullAt("the hull as before", func(r image.Rectangle) bool { return r == first })

	// Corners: plain about the opposite corner, Alt about the middle, Shift freely.
	s.click(middle(first))
	s.grips("the hull picked", first)
	picked := s.hullAt("the hull", func(image.Rectangle) bool { return true }) // less its outline
	corner := first.Max
	s.pull("1", corner, corner.Add(image.Pt(-40, -11)))
	plain := s.hullAt("a smaller hull", func(r image.Rectangle) bool { return r.Dx() < picked.Dx()-25 })
	if !near(plain.Min, picked.Min, 2) {
		t.Errorf("the opposite corner went from %v to %v", picked.Min, plain.Min)
	}
	s.key("ctrl+z")
	s.hullAt("the hull as before", func(r image.Rectangle) bool { return near(r.Size(), picked.Size(), 1) })
	s.do("keydown", "alt")
	s.pull("1", corner, corner.Add(image.Pt(-40, -11)))
	s.do("keyup", "alt")
	alt := s.hullAt("a smaller hull", func(r image.Rectangle) bool { return r.Dx() < picked.Dx()-50 })
	if !near(middle(alt), middle(picked), 3) {
		t.Errorf("the middle went from %v to %v", middle(picked), middle(alt))
	}
	s.key("ctrl+z")
	s.hullAt("the hull as before", func(r image.Rectangle) bool { return near(r.Size(), picked.Size(), 1) })
	s.do("keydown", "shift")
	s.pull("1", corner, corner.Add(image.Pt(-60, 0)))
	s.do("keyup", "shift")
	free := s.hullAt("a narrower hull", func(r image.Rectangle) bool { return r.Dx() < picked.Dx()-40 })
	if d := free.Dy() - picked.Dy(); d > 2 || d < -2 {
		t.Errorf("with Shift its height changed by %d", d)
	}
	s.key("ctrl+z")
	s.hullAt("the hull as before", func(r image.Rectangle) bool { return near(r.Size(), picked.Size(), 1) })

	// The disc above turns.
	disc := image.Pt(middle(first).X, first.Min.Y-26)
	s.do("keydown", "shift")
	s.pull("1", disc, image.Pt(picked.Max.X+60, middle(picked).Y))
	s.do("keyup", "shift")
	turned := s.hullAt("the hull upright", func(r image.Rectangle) bool { return r.Dy() > r.Dx() })
	if d := turned.Dy() - picked.Dx(); d > 3 || d < -3 {
		t.Errorf("turned, it is %v; before %v", turned.Size(), picked.Size())
	}
	s.still("hands-5-turned")
	s.key("ctrl+z")
	s.hullAt("the hull as before", func(r image.Rectangle) bool { return near(r.Size(), picked.Size(), 1) })

	// Close to the sea's middle it snaps there, with a line down both.
	from := middle(first)
	s.move(from)
	s.do("mousedown", "1")
	for i := 1; i <= 10; i++ {
		s.move(from.Add(image.Pt(i*7, -i*4)))
	}
	s.move(from.Add(image.Pt(3, -90)))
	s.until("a snapping line above the hull", func(img image.Image) bool {
		_, n := largest(img, accentMark, below)
		return n > 30
	})
	s.still("hands-6-snapped")
	s.key("Escape")
	s.do("mouseup", "1")
	s.hullAt("the hull where it was", func(r image.Rectangle) bool { return near(r.Min, picked.Min, 1) })
}

// accentMark is the dark line of marks on the board.
var accentMark = colour.RGB{R: 0x4B, G: 0x22, B: 0x59}

// grips waits until the square handles stand at the corners of a rectangle.
func (s *screen) grips(what string, r image.Rectangle) {
	s.t.Helper()
	s.until(what, func(img image.Image) bool {
		for _, p := range []image.Point{r.Min, {r.Max.X, r.Min.Y}, {r.Min.X, r.Max.Y}, r.Max} {
			dark, light := 0, 0
			for y := p.Y - 8; y <= p.Y+8; y++ {
				for x := p.X - 8; x <= p.X+8; x++ {
					switch c := at(img, x, y); {
					case c == colour.White:
						light++
					case c.G < 0x50 && c.B > 0x50 && c.R < c.B: // the mark's purple, as smoothed
						dark++
					}
				}
			}
			if dark < 20 || light < 9 {
				return false
			}
		}
		return true
	})
}

// pull drags with a button of the pointer.
func (s *screen) pull(button string, from, to image.Point) {
	s.t.Helper()
	s.move(from)
	s.do("mousedown", button)
	const steps = 8
	for i := 1; i <= steps; i++ {
		p := from.Add(to.Sub(from).Mul(i).Div(steps))
		s.do("mousemove", strconv.Itoa(p.X), strconv.Itoa(p.Y))
	}
	s.do("mouseup", button)
}
