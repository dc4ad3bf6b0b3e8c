package strip

import (
	"math"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/own"
)

// sheets is a plan of n sheets.
func sheets(n int) *fit.Plan {
	p := &fit.Plan{}
	for k := range n {
		c := colour.RGB{R: uint8(k * 10), B: 200}
		p.Separations = append(p.Separations, fit.Separation{Of: own.OwnSheet(c), Name: "sheet", Colour: c})
	}
	return p
}

func TestStrip_HasASquareOfEverySheetAndAComb(t *testing.T) {
	for _, n := range []int{1, 2, 8, 22} {
		p := Of(sheets(n))
		if len(p.Separations) != n {
			t.Fatalf("%d sheets of %d", len(p.Separations), n)
		}
		for k, s := range p.Separations {
			want := 1
			if n > 1 && k < 2 {
				want = 2
			}
			if len(s.Pieces) != want {
				t.Errorf("%d sheets: %d pieces of sheet %d", n, len(s.Pieces), k+1)
			}
			if b := s.Pieces[0].Bounds; b.Width() != squareMM || b.Height() != squareMM {
				t.Errorf("square %d is %v", k+1, b)
			}
		}
	}
}

// No two sheets share a place, and what figures leave of a square hangs together: a
// slow look at every half millimetre, off the grid that everything lies on.
func TestStrip_NothingStacksAndNothingFallsOut(t *testing.T) {
	p := Of(sheets(22))
	const step = 0.25
	w, h := int(p.Page.Width()/step), int(p.Page.Height()/step)
	at := func(x, y int) geometry.Point {
		return p.Page.Min.Add(geometry.Pt((float64(x)+0.37)*step, (float64(y)+0.41)*step))
	}
	owner := make([][]int, h)
	for y := range owner {
		owner[y] = make([]int, w)
	}
	for k, s := range p.Separations {
		inside := geometry.NewEnclosure(s.Outline)
		for y := range h {
			for x := range w {
				if inside.Holds(at(x, y)) {
					if owner[y][x] != 0 {
						t.Fatalf("sheets %d and %d stack at %v", owner[y][x], k+1, at(x, y))
					}
					owner[y][x] = k + 1
				}
			}
		}
	}
	// Connected places of one owner: as many as there are pieces.
	found := map[int]int{}
	for y := range h {
		for x := range w {
			k := owner[y][x]
			if k <= 0 {
				continue
			}
			found[k]++
			open := [][2]int{{x, y}}
			owner[y][x] = -k
			for len(open) > 0 {
				q := open[len(open)-1]
				open = open[:len(open)-1]
				for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
					if x, y := q[0]+d[0], q[1]+d[1]; x >= 0 && y >= 0 && x < w && y < h && owner[y][x] == k {
						owner[y][x] = -k
						open = append(open, [2]int{x, y})
					}
				}
			}
		}
	}
	for k, s := range p.Separations {
		if found[k+1] != len(s.Pieces) {
			t.Errorf("sheet %d hangs together in %d places, not in %d pieces", k+1, found[k+1], len(s.Pieces))
		}
	}
}

// Halfway down each tooth, the way from it to the holder is the gap, on both sides.
func TestStrip_GapsAreAsWideAsTheyAreCalled(t *testing.T) {
	p := Of(sheets(2))
	teeth, slots := p.Separations[1].Pieces[1].Outline, p.Separations[0].Pieces[1].Outline
	top := teeth.Bounds().Min.Y
	for i, gap := range gaps {
		left := teeth.Bounds().Min.X + barMM + pitch*float64(i)
		for _, edge := range []float64{left + gap, left + toothMM - gap} {
			side := geometry.Pt(edge, top+backMM+deepMM/2)
			if d := teeth.Distance(side); d > 1e-9 {
				t.Errorf("tooth %d has no edge at %v", i, side)
			}
			if d := slots.Distance(side); math.Abs(d-gap) > 1e-9 {
				t.Errorf("tooth %d: the holder is %.4f mm away, not %g", i, d, gap)
			}
		}
	}
	if gaps[0] != 0 || gaps[len(gaps)-1] != 0.4 {
		t.Errorf("gaps from %g to %g", gaps[0], gaps[len(gaps)-1])
	}
}

func TestStrip_GoesOntoThePageMirrored(t *testing.T) {
	p := Of(sheets(3))
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	// The first square is at the left of the strip, so at the right of the page.
	if max := page.Separations[0].Max.X; max != page.Width {
		t.Errorf("the first square ends at %v of %v", max, page.Width)
	}
	for _, s := range page.Separations {
		if len(s.Contours) == 0 {
			t.Errorf("nothing is cut of sheet %d", s.Order)
		}
	}
}

// The bars of figures on displays of seven, by their usual letters: a at the top, b and c
// at the right, d at the bottom, e and f at the left going up, g in the middle.
func TestFigures_AreThoseOfDisplaysOfSevenBars(t *testing.T) {
	const x, y = figureWideMM/2 - strokeMM/2, figureHighMM / 4
	places := map[rune]geometry.Point{
		'a': {X: 0, Y: -figureHighMM/2 + strokeMM/2}, 'b': {X: x, Y: -y}, 'c': {X: x, Y: y},
		'd': {X: 0, Y: figureHighMM/2 - strokeMM/2}, 'e': {X: -x, Y: y}, 'f': {X: -x, Y: -y}, 'g': {},
	}
	for figure, want := range map[string]string{
		"0": "abcdef", "1": "bc", "2": "abdeg", "3": "abcdg", "4": "bcfg",
		"5": "acdfg", "6": "acdefg", "7": "abc", "8": "abcdefg", "9": "abcdfg",
	} {
		drawn := geometry.NewEnclosure(figures(figure, geometry.Pt(0, 0)))
		for bar, at := range places {
			if drawn.Holds(at) != strings.ContainsRune(want, bar) {
				t.Errorf("figure %s: bar %c", figure, bar)
			}
		}
	}
}
