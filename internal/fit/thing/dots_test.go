package thing

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// dotted is an ü of bars 8 mm high, with two dots of 1.2 × 1 mm, and an l.
func dotted() (word []job.Shape) {
	for _, s := range []job.Shape{rect(0, 0, 1.2, 8), rect(3, 0, 1.2, 8), rect(0, 7, 4.2, 1.2), rect(0.3, -2.2, 1.2, 1), rect(2.7, -2.2, 1.2, 1), rect(7, -2, 1.2, 10)} {
		s.Element = "text"
		word = append(word, s)
	}
	u := word[0]
	u.Path, u.Rule = append(append(u.Path, word[1].Path...), word[2].Path...), geometry.NonZero
	return append([]job.Shape{u}, word[3:]...)
}

// The dots of an ü become as large as they must be, in their own shape, and move away from it and from each other; the
// letters, which are broad enough, stay as they are.
func TestDraw_DotsOfLettersBecomeLargeEnough(t *testing.T) {
	word := dotted()
	out, made := draw(t, wide, job.Mend{At: geometry.Pt(0.5, 4), Do: job.Broaden, Fine: true, Apart: true, Drawn: 0.5, WidthMM: 1, LengthMM: 2}, word...)
	if len(made) != 1 || len(out) != 4 {
		t.Fatalf("%+v", made)
	}
	left, right, u := out[1].Path.Bounds(), out[2].Path.Bounds(), out[0].Path.Bounds()
	for _, b := range []geometry.Rect{left, right} {
		if math.Abs(b.Width()-2) > 1e-6 || math.Abs(b.Height()-2/1.2) > 1e-6 {
			t.Errorf("a dot is %.3f × %.3f mm", b.Width(), b.Height())
		}
		if gap := u.Min.Y - b.Max.Y; gap < 0.97 || gap > 1.1 {
			t.Errorf("it is %.3f mm above its letter", gap)
		}
	}
	if gap := right.Min.X - left.Max.X; math.Abs(gap-1) > 0.05 || math.Abs((left.Centre().X+right.Centre().X)/2-u.Centre().X) > 0.01 {
		t.Errorf("the dots are %.3f mm apart, from %.3f to %.3f", gap, left.Min.X, right.Max.X)
	}
	if was := word[3].Path.Bounds(); math.Abs(out[3].Path.Bounds().Width()-was.Width()) > 1e-6 || math.Abs(out[3].Path.Bounds().Height()-was.Height()) > 1e-6 {
		t.Errorf("the l is %v, and was %v", out[3].Path.Bounds(), was)
	}
}

// A dot that would run into a letter as large as it must be stays as large as it was: that of an i beneath a roof.
func TestDraw_ADotThatHasNoRoomStaysSmall(t *testing.T) {
	word := append(dotted()[2:], rect(0, -3.3, 6, 0.6), rect(0, -3.3, 0.6, 11))
	word[2].Path, word[2].Rule, word[2].Element = append(word[2].Path, word[3].Path...), geometry.NonZero, "text"
	out, _ := draw(t, wide, job.Mend{At: geometry.Pt(7.5, 4), Do: job.Broaden, Fine: true, Drawn: 0.5, WidthMM: 1, LengthMM: 2}, word[:3]...)
	if b := out[0].Path.Bounds(); math.Abs(b.Width()-1.2) > 0.05 {
		t.Errorf("it is %.3f mm wide", b.Width())
	}
}

// Both dots of an ü stay small where both as large as they must be would come too near to each other.
func TestDraw_DotsOfOneLetterStayAlike(t *testing.T) {
	word := dotted()
	word[1].Path, word[2].Path = geometry.RectXYWH(0.3, -2.2, 1.2, 1).Path(), geometry.RectXYWH(2.4, -2.2, 1.2, 1).Path()
	out, _ := draw(t, wide, job.Mend{At: geometry.Pt(0.5, 4), Do: job.Broaden, Fine: true, Drawn: 0.5, WidthMM: 1, LengthMM: 2}, word...)
	left, right := out[1].Path.Bounds(), out[2].Path.Bounds()
	if math.Abs(left.Width()-right.Width()) > 1e-6 || math.Abs(left.Height()-right.Height()) > 1e-6 {
		t.Errorf("one is %.3f × %.3f mm, the other %.3f × %.3f", left.Width(), left.Height(), right.Width(), right.Height())
	}
}

// Letters of 5 mm have no dots of 2 mm: these would be blots.
func TestDots_AreInProportion(t *testing.T) {
	outlines := []geometry.Path{geometry.RectXYWH(0, 0, 1, 10).Path(), geometry.RectXYWH(0, -2, 1, 1).Path(), geometry.RectXYWH(3, 0, 3, 3).Path()}
	if got := Dots(outlines, []int{0, 1, 2}, 2); len(got) != 1 || got[0] != 1 {
		t.Errorf("%v", got)
	}
	if got := Dots(outlines, []int{1, 2}, 2); len(got) != 0 {
		t.Errorf("low letters: %v", got)
	}
}
