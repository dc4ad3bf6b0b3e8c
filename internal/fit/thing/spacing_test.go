package thing

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// textOf makes a text of shapes, each of them a letter or an accent.
func textOf(t *testing.T, shapes ...job.Shape) []Thing {
	t.Helper()
	for i := range shapes {
		shapes[i].Element = "text"
	}
	return find(t, shapes...)
}

// spacedOut returns the things where Spacing has them, a width of 1 apart.
func spacedOut(t *testing.T, things []Thing) (out []geometry.Path, moves []geometry.Affine) {
	t.Helper()
	var members []int
	for i := range things {
		members, out = append(members, i), append(out, things[i].Outline)
	}
	moves = Spacing(things, members, out, geometry.Pt(1, 0), 1)
	for i, m := range moves {
		out[i] = out[i].Transform(m)
	}
	return out, moves
}

// Of letters 0.7, 0.2 and 1.5 mm apart none is nearer than 1 mm to the next; the second two need 0.8 mm, and all others move as
// far as they do up to half a width; their middle stays.
func TestSpacing_MovesLettersApartAlike(t *testing.T) {
	things := textOf(t, rect(0, 0, 1, 5), rect(1.7, 0, 1, 5), rect(2.9, 0, 1, 5), rect(5.4, 0, 1, 5))
	out, _ := spacedOut(t, things)
	at := func(i int) float64 { return out[i].Bounds().Min.X }
	for i, want := range []float64{1.7 + 0.5, 1.2 + 0.8, 2.5 + 0.5} {
		if got := at(i+1) - at(i); math.Abs(got-want) > 0.03 {
			t.Errorf("letter %d begins %.3f mm after the one before, want %.3f", i+1, got, want)
		}
	}
	if middle := (at(0) + at(3) + 1) / 2; math.Abs(middle-3.2) > 1e-6 {
		t.Errorf("the word's middle is at %.3f, and was at 3.2", middle)
	}
}

// What touches stays together, and what has room stays where it is.
func TestSpacing_LeavesWhatTouchesAndWhatHasRoom(t *testing.T) {
	for name, things := range map[string][]Thing{
		"touching": textOf(t, rect(0, 0, 1, 5), rect(1.01, 0, 1, 5), rect(2.02, 0, 1, 5)),
		"roomy":    textOf(t, rect(0, 0, 1, 5), rect(2.1, 0, 1, 5), rect(4.2, 0, 1, 5)),
		"a heap":   textOf(t, rect(0, 0, 1, 5), rect(1.5, 9, 1, 5), rect(3, 18, 1, 5), rect(4.5, 27, 1, 5)),
	} {
		if _, moves := spacedOut(t, things); moves != nil {
			t.Errorf("%s: %v", name, moves)
		}
	}
}

// The dots of two letters, 0.3 and 0.6 mm above them, move up by 0.7 mm, both; a hook beneath moves down, and all stay
// with their letters.
func TestSpacing_MovesDotsAwayFromTheirLetters(t *testing.T) {
	things := textOf(t, rect(0, 0, 1, 5), rect(0, -1.3, 1, 1), rect(1.5, 0, 1, 5), rect(1.5, -1.6, 1, 1), rect(4.5, 0, 1, 5), rect(4.5, 5.5, 1, 1))
	_, moves := spacedOut(t, things)
	if moves == nil {
		t.Fatal("nothing moves")
	}
	for i, down := range []float64{0, -0.7, 0, -0.7, 0, 0.5} {
		m := moves[i]
		if math.Abs(m.F-down) > 0.03 {
			t.Errorf("%d moves down by %.3f, want %.3f", i, m.F, down)
		}
		if letter := moves[i/2*2]; math.Abs(m.E-letter.E) > 1e-9 {
			t.Errorf("%d moves by %.3f, and its letter by %.3f", i, m.E, letter.E)
		}
	}
}

// Around a rim of 20 mm letters turn about its middle.
func TestSpacing_GoesAroundARim(t *testing.T) {
	var shapes []job.Shape
	for k := range 7 {
		turn := geometry.Rotate(float64(k-3) * 0.09) // 1.8 mm along the rim
		shapes = append(shapes, job.Shape{Path: geometry.RectXYWH(-0.6, -22, 1.2, 4).Path().Transform(turn)})
	}
	out, moves := spacedOut(t, textOf(t, shapes...))
	if moves == nil {
		t.Fatal("nothing moves")
	}
	for i := range out {
		if d := out[i].Bounds().Centre().Len(); math.Abs(d-20) > 0.1 {
			t.Errorf("letter %d is %.2f mm from the middle of the rim, and was 20", i, d)
		}
		if i > 0 {
			if gap := closer(out[i-1], out[i], math.Inf(1)); gap < 1-1e-6 || gap > 1.1 {
				t.Errorf("letter %d is %.3f mm from the one before", i, gap)
			}
		}
	}
}

// A hyphen and a full stop are of the word that they stand in, and so are letters around a rim, but not those of the next line.
func TestFind_LettersOfOneLineAreOneWord(t *testing.T) {
	for name, c := range map[string]struct {
		shapes []job.Shape
		words  int
	}{
		"hyphen":    {[]job.Shape{rect(0, 0, 1, 5), rect(2, 2, 1.5, 0.8), rect(4.5, 0, 1, 5), rect(6.5, 4.2, 0.8, 0.8)}, 1},
		"two lines": {[]job.Shape{rect(0, 0, 1, 5), rect(2, 0, 1, 5), rect(0, 8, 1, 5), rect(2, 8, 1, 5)}, 2},
		"steps":     {[]job.Shape{rect(0, 0, 5, 1), rect(0, 1.8, 5, 1), rect(0, 3.6, 5, 1)}, 1},
	} {
		groups := map[int]bool{}
		for _, x := range textOf(t, c.shapes...) {
			groups[x.Group] = true
		}
		if len(groups) != c.words {
			t.Errorf("%s: %d words, want %d", name, len(groups), c.words)
		}
	}
}

// Letters that fill the page move apart within it: they are a little smaller, and as broad as they must be.
func TestDraw_LettersThatFillThePageMoveApartWithinIt(t *testing.T) {
	var word []job.Shape
	for k := range 6 {
		s := rect(float64(k)*4, 0, 1, 6)
		s.Path = append(s.Path, geometry.RectXYWH(float64(k)*4, 5, 3.2, 1).Path()...) // an L
		s.Element, s.Rule = "text", geometry.NonZero
		word = append(word, s)
	}
	page := geometry.RectXYWH(0, 0, 23.2, 6)
	out, made := draw(t, page, job.Mend{At: geometry.Pt(0.5, 3), Do: job.Broaden, Fine: true, Apart: true, Drawn: 0.8, WidthMM: 1}, word...)
	all := geometry.EmptyRect()
	for i := range out {
		b := out[i].Path.Bounds()
		if all = all.Union(b); i > 0 {
			if gap := b.Min.X - out[i-1].Path.Bounds().Max.X; gap < 0.97 {
				t.Errorf("letter %d is %.3f mm from the one before", i, gap)
			}
		}
	}
	if !page.Grow(0.02).Encloses(all) || all.Width() < page.Width()-0.1 {
		t.Errorf("they lie in %v, on %v", all, page)
	}
	if len(made) != 1 || len(made[0].Moves) != len(word) {
		t.Fatalf("%+v", made)
	}
	for i, to := range made[0].Moves {
		if is, was := out[i].Path.Bounds(), to.MapRect(word[i].Path.Bounds()); is.Centre().Sub(was.Centre()).Len() > 0.2 {
			t.Errorf("letter %d lies about %v, and is said to about %v", i, is.Centre(), was.Centre())
		}
	}
}

// meander is a line of a width that goes up and down so often, as joined letters do.
func meander(x, y, wide, high, width float64, legs int) job.Shape {
	s := job.Shape{Rule: geometry.NonZero}
	pitch := wide / float64(legs-1)
	for k := range legs {
		at := x + pitch*float64(k)
		s.Path = append(s.Path, geometry.RectXYWH(at, y, width, high).Path()...)
		if k < legs-1 {
			s.Path = append(s.Path, geometry.RectXYWH(at, y+(high-width)*float64(k%2), pitch+width, width).Path()...)
		}
	}
	return s
}

// An initial, joined letters and a dot over them are a word, so that they are mended as one; a garland by itself, one above a
// stem and one beside a broad post are none.
func TestFind_JoinedLettersAreAWord(t *testing.T) {
	garland := meander(6, 4, 12, 6, 0.6, 8)
	for name, c := range map[string]struct {
		shapes []job.Shape
		word   bool
	}{
		"initial and dot":   {[]job.Shape{rect(3, 0, 0.6, 10), garland, rect(9, 1, 1, 1)}, true},
		"initial":           {[]job.Shape{meander(1, 0, 3, 10, 0.6, 2), garland}, true},
		"by itself":         {[]job.Shape{garland}, false},
		"above a stem":      {[]job.Shape{garland, rect(12, 12, 0.6, 20)}, false},
		"beside a post":     {[]job.Shape{garland, rect(2, 0, 3, 10)}, false},
		"a crumb":           {[]job.Shape{garland, rect(9, 1, 0.3, 0.3)}, false},
		"two crumbs":        {[]job.Shape{meander(0, 0, 12, 2, 0.7, 8), meander(15, 0, 12, 2, 0.7, 8)}, false},
		"drawn with a pen":  {[]job.Shape{pen(2, 7, 3, 0.6), {Path: garland.Path, Centre: geometry.Path{polyline(geometry.Pt(6, 4), geometry.Pt(18, 10))}}}, false},
		"straight and bent": {[]job.Shape{rect(3, 0, 0.6, 10), meander(6, 4, 3, 6, 0.6, 2)}, false},
	} {
		for _, x := range find(t, c.shapes...) {
			if (x.Kind == Letter) != c.word {
				t.Errorf("%s: a %v at %v", name, x.Kind, x.Bounds.Min)
			}
		}
	}
}

// A word that has to move apart by more than it can be smaller for is cut off at the page's edge, and that is said: nobody would
// give a name without its first arm.
func TestDraw_SaysWhereLettersAreCutOff(t *testing.T) {
	for _, c := range []struct {
		letters               int
		pace, leg, stem, high float64
		want                  bool
	}{{6, 4, 3.2, 0.9, 6, false}, {14, 2.5, 2.2, 0.6, 5, true}} {
		var word []job.Shape
		for k := range c.letters {
			s := rect(float64(k)*c.pace, 0, c.stem, c.high)
			s.Path = append(s.Path, geometry.RectXYWH(float64(k)*c.pace, c.high-c.stem, c.leg, c.stem).Path()...) // an L
			s.Element, s.Rule = "text", geometry.NonZero
			word = append(word, s)
		}
		page := geometry.RectXYWH(0, 0, float64(c.letters-1)*c.pace+c.leg, c.high)
		_, made := draw(t, page, job.Mend{At: geometry.Pt(0.3, 3), Do: job.Broaden, Fine: true, Apart: true, Drawn: 0.3, WidthMM: 1}, word...)
		if len(made) != 1 || made[0].CutOff != c.want {
			t.Errorf("%d letters: %+v", c.letters, made)
		}
	}
}
