package story

import (
	"image"
	"slices"
	"testing"

	"abut/internal/colour"
	"abut/ui/theme"
)

// The verdict's mark at the bottom left, by its colour: a tick or a triangle.
var (
	ready = colour.RGB{R: theme.Light.Ready.R, G: theme.Light.Ready.G, B: theme.Light.Ready.B}
	care  = colour.RGB{R: theme.Light.Care.R, G: theme.Light.Care.G, B: theme.Light.Care.B}
)

// verdict waits until the mark at the bottom left has one of some colours and the
// picture rests.
func (s *screen) verdict(what string, of ...colour.RGB) image.Image {
	s.t.Helper()
	var last image.Image
	return s.until(what, func(img image.Image) bool {
		rests := last != nil && equal(last, img)
		last = img
		n := 0
		b := img.Bounds()
		for y := b.Max.Y - 50; y < b.Max.Y; y++ {
			for x := range 50 {
				if slices.Contains(of, at(img, x, y)) {
					n++
				}
			}
		}
		return rests && n > 5
	})
}

// TestMug puts the boat on a mug, makes it larger than the mug, is told so,
// makes it fit again and exports.
func TestMug(t *testing.T) { inEach(t, putOnAMug) }

func putOnAMug(t *testing.T) {
	s := boat(t)
	s.key("ctrl+j") // the sails' points are too fine
	s.move(image.Pt(640, 790))
	s.verdict("ready", ready)
	plain, _ := largest(s.still("mug-1-knocked-out"), sea, below)

	s.key("ctrl+b")
	dialog := func(img image.Image) bool {
		r, n := largest(img, accent, 200)
		return n > 600 && r.Dx() > 40 && r.Min.Y > 400
	}
	s.until("the dialog", dialog)
	s.still("mug-2-blanks")
	s.key("Return") // the straight mug stands there already
	s.until("the mug behind the dialog", func(img image.Image) bool { return !dialog(img) })
	s.key("ctrl+9")
	on, _ := largest(s.verdict("ready on the mug", ready), sea, below)
	if on.Dx() >= plain.Dx() {
		t.Errorf("the mug is wider than the view was: the sea was %v, is %v", plain.Size(), on.Size())
	}
	s.still("mug-3-on-the-mug")

	// All of it half as large again: more than the mug is high.
	s.key("ctrl+a")
	s.grips("all picked", on)
	s.drag(on.Max, on.Max.Add(image.Pt(on.Dx()/2, on.Dy()/2)))
	s.verdict("what stands in the way", care)
	s.still("mug-4-beyond")

	s.key("ctrl+z")
	s.key("Escape")
	s.move(image.Pt(640, 790))
	s.verdict("ready again", ready)
	// Export comes next, as the highlighted action says.
	img := s.still("mug-5-fits")
	if p, ok := highlighted(img); !ok || p.Y > 100 {
		t.Errorf("nothing says what comes next (%v)", p)
	}
}
