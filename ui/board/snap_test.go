package board

import (
	"image"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/geometry"
	"abut/internal/job"
)

func TestSnapTo_Moves(t *testing.T) {
	s := &snapTo{}
	s.add(geometry.RectXYWH(100, 50, 40, 20)) // x 100, 140, middle 120; y 50, 70, middle 60
	grid := &snapTo{x: snapAxis{grid: 10}, y: snapAxis{grid: 10}}
	both := &snapTo{x: s.x, y: s.y}
	both.x.grid, both.y.grid = 10, 10
	for _, c := range []struct {
		name   string
		to     *snapTo
		r      geometry.Rect
		dx, dy float64
		x, y   bool
	}{
		{"the right edge to a left one", s, geometry.RectXYWH(69.5, 0, 30, 7), 0.5, 0, true, false},
		{"the left edge to a right one, from beyond", s, geometry.RectXYWH(139.2, 0, 30, 7), 0.8, 0, true, false},
		{"middles", s, geometry.RectXYWH(114.4, 55.7, 12, 8), -0.4, 0.3, true, true},
		{"a middle is not drawn to an edge, nor an edge to a middle", s, geometry.RectXYWH(119.9, 20, 9, 39), 0, 0, false, false},
		{"the nearest of three", s, geometry.RectXYWH(100.9, 0, 38.6, 7), -0.2, 0, true, false},
		{"exactly there already", s, geometry.RectXYWH(100, 0, 3, 7), 0, 0, true, false},
		{"too far", s, geometry.RectXYWH(97.9, 0, 1, 7), 0, 0, false, false},
		{"to the grid", grid, geometry.RectXYWH(19.4, -0.3, 7, 5), 0.6, 0.3, true, true},
		{"to the grid by the other edge", grid, geometry.RectXYWH(14, 4, 6.5, 7), -0.5, -1, true, true},
		{"a line wins over a grid line that is nearer", both, geometry.RectXYWH(60.1, 12, 39.1, 5), 0.8, 0, true, false},
	} {
		by, x, y := c.to.move(c.r, 1)
		if math.Abs(by.X-c.dx) > 1e-9 || math.Abs(by.Y-c.dy) > 1e-9 || x != c.x || y != c.y {
			t.Errorf("%s: %v %v %v, want %g, %g %v %v", c.name, by, x, y, c.dx, c.dy, c.x, c.y)
		}
	}
}

func TestSnapTo_CornersFreeAndAlongTheDiagonal(t *testing.T) {
	s := &snapTo{}
	s.add(geometry.RectXYWH(100, 50, 40, 20))
	if q, x, y := s.corner(geometry.Pt(99.5, 71.5), 1); q != geometry.Pt(100, 71.5) || !x || y {
		t.Errorf("%v %v %v", q, x, y)
	}
	// A corner at 0 + k·(50, 25): at k = 1.99 it is at (99.5, 49.75), where both
	// lines ask for k = 2.
	if k, ok := s.along(geometry.Pt(0, 0), geometry.Pt(50, 25), 1.99, 1); !ok || math.Abs(k-2) > 1e-12 {
		t.Errorf("%g %v", k, ok)
	}
	// The smaller step wins: up by 0.1 to y = 50 rather than across by 0.4.
	if k, ok := s.along(geometry.Pt(0, 0), geometry.Pt(99.6, 49.9), 1, 1); !ok || math.Abs(k-50/49.9) > 1e-12 {
		t.Errorf("%g %v", k, ok)
	}
	// Never through the corner that stays.
	if k, ok := s.along(geometry.Pt(100.2, 0), geometry.Pt(-50, -10), 0.001, 1); ok && k <= 0 {
		t.Errorf("turned inside out: %g", k)
	}
	if _, ok := s.along(geometry.Pt(0, 0), geometry.Pt(20, 20), 1, 1); ok {
		t.Error("snaps where nothing is")
	}
}

func TestSnapTo_GuidesJoinWhatLiesInLine(t *testing.T) {
	s := &snapTo{x: snapAxis{grid: 7}}
	s.add(geometry.RectXYWH(100, 50, 40, 20))
	board := geometry.RectXYWH(-10, -20, 300, 200)
	got := s.guides(geometry.RectXYWH(100, 0, 12, 10), board)
	// Its left edge and the other's: from the upper one's top to the lower one's
	// bottom; its right edge, at 112, lies on the grid, all across the board.
	want := []guide{{geometry.Pt(100, 0), geometry.Pt(100, 70)}, {geometry.Pt(112, -20), geometry.Pt(112, 180)}}
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%v, want %v", got[i], want[i])
		}
	}
}

// visible counts the guides on screen.
func (b *Board) visible() int {
	n := 0
	for _, l := range b.guides {
		if !l.Hidden {
			n++
		}
	}
	return n / 2
}

func TestDrag_SnapsExactlyShowsGuidesAndCtrlSuspends(t *testing.T) {
	b, w, got := newBoard(t)
	b.SetSnapping(Snapping{Layers: true})
	mod := fyne.KeyModifier(0)
	b.Modifiers = func() fyne.KeyModifier { return mod }
	px := 1 / b.view.scale
	// The right square at (60, 10), drawn left until it nearly abuts on the left
	// one's right edge at 40, and 3 pixels too low.
	from, to := b.at(75, 25), b.at(75-20+4*px, 25+3*px)
	down(b, from, desktop.MouseButtonPrimary)
	drag(b, b.at(70, 25))
	drag(b, to)
	if n := b.visible(); n != 4 { // its left edge; top, middle and bottom
		t.Errorf("%d guides", n)
	}
	if seenRed(w) != 0 {
		t.Error("a guide is red")
	}
	mod = fyne.KeyModifierShortcutDefault
	drag(b, b.at(75-20+5*px, 25+3*px))
	if n := b.visible(); n != 0 {
		t.Errorf("suspended: %d guides", n)
	}
	mod = 0
	drag(b, to)
	up(b, to, true)
	if len(got.moves) != 1 || got.moves[0] != [2]float64{-20, 0} {
		t.Fatalf("moved by %v, want exactly −20, 0", got.moves)
	}
	if n := b.visible(); n != 0 {
		t.Errorf("%d guides after release", n)
	}
}

func TestDrag_ShiftKeepsItStraight(t *testing.T) {
	b, _, got := newBoard(t)
	b.Modifiers = func() fyne.KeyModifier { return fyne.KeyModifierShift }
	from := b.at(75, 25)
	down(b, from, desktop.MouseButtonPrimary)
	to := b.at(79, 45)
	drag(b, to)
	up(b, to, true)
	if len(got.moves) != 1 || got.moves[0][0] != 0 || math.Abs(got.moves[0][1]-20) > 1/b.view.scale {
		t.Errorf("moved by %v", got.moves)
	}
}

func TestCorner_SnapsToTheSafeArea(t *testing.T) {
	b, w, _ := newBoard(t)
	j := twoSquares()
	j.Settings.BlankShape = &job.Blank{WidthMM: 120, HeightMM: 80, SafeMM: 5, At: geometry.Pt(50, 30)}
	b.SetJob(j, nil, false)
	b.SetSnapping(Snapping{Blank: true})
	b.Select([]job.LayerID{2})
	w.Canvas().Capture()
	var shaped geometry.Affine
	b.OnShaped = func(m geometry.Affine) { shaped = m }
	// The safe area ends at x = 105 and y = 65: the corner of the right square at
	// (90, 40) comes near the first.
	px := 1 / b.view.scale
	to := b.at(105+4*px, 55+4*px)
	down(b, b.at(90, 40), desktop.MouseButtonPrimary)
	drag(b, b.at(95, 45))
	drag(b, to)
	if b.visible() == 0 {
		t.Error("no guide")
	}
	up(b, to, true)
	r := shaped.MapRect(geometry.RectXYWH(60, 10, 30, 30))
	if math.Abs(r.Max.X-105) > 1e-9 || math.Abs(r.Max.Y-55) > 1e-9 || math.Abs(r.Min.X-60) > 1e-9 {
		t.Errorf("it becomes %v", r)
	}
}

// The grid is drawn beneath the art and coarsens where it would be too fine.
func TestGrid_IsDrawnBeneathTheArt(t *testing.T) {
	b, _, _ := newBoard(t)
	before := b.pic.base
	b.SetGrid(5)
	after := b.pic.base
	lines, art := 0, 0
	for y := range after.Rect.Dy() {
		for x := range after.Rect.Dx() {
			i := after.PixOffset(x, y)
			at := b.view.mm(image.Pt(x, y))
			same := before.Pix[i] == after.Pix[i] && before.Pix[i+1] == after.Pix[i+1] && before.Pix[i+2] == after.Pix[i+2]
			on := geometry.RectXYWH(11, 11, 28, 28).Contains(at) || geometry.RectXYWH(61, 11, 28, 28).Contains(at)
			if !same && on {
				art++
			}
			near := func(v float64) bool { return math.Abs(v-math.Round(v/5)*5)*b.view.scale <= 1.5 }
			if !same && !on && !near(at.X) && !near(at.Y) {
				t.Fatalf("a line at %v", at)
			}
			if !same {
				lines++
			}
		}
	}
	if art != 0 || lines < 1000 {
		t.Errorf("%d pixels of the grid, %d of them on the art", lines, art)
	}
	b.SetGrid(0.01)
	count := 0
	for x := range after.Rect.Dx() {
		i, k := b.pic.base.PixOffset(x, 2), before.PixOffset(x, 2)
		if b.pic.base.Pix[i] != before.Pix[k] {
			count++
		}
	}
	if w := after.Rect.Dx(); count > w/gridPx+1 || count < 2 {
		t.Errorf("%d upright lines on %d pixels", count, w)
	}
}

// What a view says of itself is said short where the board is narrow.
func TestNote_HasRoom(t *testing.T) {
	b, w, _ := newBoard(t)
	b.SetNote("Mirrored: colour side up, as they lie on the carrier", "Mirrored")
	if b.note.line.Hidden || b.note.line.Text != b.note.text {
		t.Errorf("%q", b.note.line.Text)
	}
	w.Resize(fyne.NewSize(260, 400))
	if b.note.line.Text != "Mirrored" {
		t.Errorf("in 260: %q", b.note.line.Text)
	}
	if end := b.note.back.Position().X + b.note.back.Size().Width; end > 260 {
		t.Errorf("it ends at %g", end)
	}
	b.SetNote("", "Mirrored")
	if !b.note.line.Hidden || !b.note.back.Hidden {
		t.Error("nothing is said in a box")
	}
}
