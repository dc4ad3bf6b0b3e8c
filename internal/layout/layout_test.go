package layout

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/drawer"
	"abut/internal/oracle"
)

func TestMain(m *testing.M) { oracle.Main(m) }

// contour is a closed polygon through points in tenths of a millimetre, so that
// tests stay short.
func contour(at ...int) cutfile.Contour {
	p := func(i int) cutfile.Point {
		return cutfile.Point{X: cutfile.Steps(at[i]) * cutfile.StepsPerMM / 10, Y: cutfile.Steps(at[i+1]) * cutfile.StepsPerMM / 10}
	}
	c := cutfile.Contour{Start: p(0)}
	for i := 2; i < len(at); i += 2 {
		c.Segments = append(c.Segments, cutfile.Segment{End: p(i)})
	}
	return c
}

func boxAt(x, y, w, h int) cutfile.Contour {
	return contour(x, y, x+w, y, x+w, y+h, x, y+h)
}

// piece is one with its own contours, the outer last.
func piece(contours ...cutfile.Contour) cutfile.Piece {
	lo, hi := bounds(contours)
	return cutfile.Piece{
		Contours: contours, AreaMM2: areaOf(contours), CutMM: 1, Narrower: min(hi.X-lo.X, hi.Y-lo.Y),
		Inside: contours[len(contours)-1].Start,
	}
}

func areaOf(contours []cutfile.Contour) float64 {
	m, err := planar.Build(context.Background(), []planar.Layer{{Figures: []planar.Figure{{Path: path(contours), Rule: geometry.EvenOdd}}}}, planar.Options{})
	if err != nil {
		panic(err)
	}
	sum := 0.0
	for f := range m.NumFaces() {
		if len(m.Cover(planar.FaceID(f))) > 0 {
			sum += m.AreaMM2(planar.FaceID(f))
		}
	}
	return sum
}

// pageOf is a design with a separation of these pieces each.
func pageOf(separations ...[]cutfile.Piece) *cutfile.Page {
	p := &cutfile.Page{}
	for i, pieces := range separations {
		s := cutfile.Separation{Order: i + 1, Name: fmt.Sprint("Colour ", i+1), Colour: colour.RGB{R: uint8(i)}, Pieces: pieces}
		for _, q := range pieces {
			s.Contours = append(s.Contours, q.Contours...)
			s.AreaMM2 += q.AreaMM2
			s.CutMM += q.CutMM
		}
		s.Min, s.Max = bounds(s.Contours)
		p.Separations = append(p.Separations, s)
		p.Width, p.Height = max(p.Width, s.Max.X), max(p.Height, s.Max.Y)
	}
	return p
}

// lighthouse is a base with a hole, and stripes, a lamp and a door with a leaning side.
func lighthouse() *cutfile.Page {
	return pageOf(
		[]cutfile.Piece{piece(boxAt(100, 100, 200, 300), boxAt(0, 0, 400, 500))},
		[]cutfile.Piece{
			piece(contour(110, 110, 290, 130, 280, 200, 120, 190)), piece(boxAt(160, 300, 40, 80)),
			piece(boxAt(220, 310, 20, 20), boxAt(210, 300, 60, 60)), piece(boxAt(130, 220, 12, 12)),
		},
	)
}

func stocked(w, h float64, offcuts ...drawer.Size) func(int, int) Stock {
	return func(int, int) Stock { return Stock{Sheet: drawer.Size{WidthMM: w, HeightMM: h}, Offcuts: offcuts} }
}

func mustLay(t *testing.T, page *cutfile.Page, o Options) *Layout {
	t.Helper()
	if o.CutterMM == 0 {
		o.CutterMM = 292
	}
	l, err := Lay(t.Context(), []*cutfile.Page{page}, o)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// placedPaths are the contours of each piece on a sheet.
func placedPaths(s *Sheet) (out []geometry.Path) {
	for _, q := range s.Page.Separations[0].Pieces {
		out = append(out, path(q.Contours))
	}
	return out
}

// checkLaid holds what every layout must: each copy of each piece is there once, no
// two share a place, all lie on their sheet within the cutter's reach, and area and
// length are those of the pieces.
func checkLaid(t *testing.T, page *cutfile.Page, l *Layout, o Options) {
	t.Helper()
	pieces, area, length := make([]int, len(page.Separations)), make([]float64, len(page.Separations)), make([]float64, len(page.Separations))
	type id struct{ of, copied, piece int }
	seen := map[id]bool{}
	for n := range l.Sheets {
		s := &l.Sheets[n]
		sep := &s.Page.Separations[0]
		pieces[s.Of] += len(sep.Pieces)
		area[s.Of] += s.AreaMM2
		length[s.Of] += sep.CutMM
		for _, x := range s.Placed {
			if seen[id{s.Of, x.Copy, x.Piece}] {
				t.Errorf("%v lies twice", x)
			}
			seen[id{s.Of, x.Copy, x.Piece}] = true
		}
		if sep.Min.X < 0 || sep.Min.Y < 0 || sep.Max.X > s.Page.Width || sep.Max.Y > s.Page.Height {
			t.Errorf("sheet %d of %v × %v reaches from %v to %v", n, s.Page.Width, s.Page.Height, sep.Min, sep.Max)
		}
		if side := min(sep.Max.X-sep.Min.X, sep.Max.Y-sep.Min.Y); side.MM() > o.CutterMM && o.CutterMM > 0 {
			t.Errorf("sheet %d is cut %v mm across", n, side)
		}
		noneOver(t, n, s)
	}
	copies := max(1, o.Copies)
	for i, s := range page.Separations {
		if pieces[i] != copies*len(s.Pieces) || math.Abs(area[i]-float64(copies)*s.AreaMM2) > 1e-6 || math.Abs(length[i]-float64(copies)*s.CutMM) > 1e-6 {
			t.Errorf("separation %d: %d pieces, %v mm², %v mm", i, pieces[i], area[i], length[i])
		}
	}
}

// noneOver holds that no two pieces of a sheet share a place.
func noneOver(t *testing.T, n int, s *Sheet) {
	t.Helper()
	var layers []planar.Layer
	for _, p := range placedPaths(s) {
		layers = append(layers, planar.Enclosed(p))
	}
	m, err := planar.Build(t.Context(), layers, planar.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for f := range m.NumFaces() {
		if c := m.Cover(planar.FaceID(f)); len(c) > 1 {
			t.Errorf("sheet %d: pieces %v share %v mm²", n, c, m.AreaMM2(planar.FaceID(f)))
		}
	}
}

func TestLay_NothingIsLostOverlapsOrLeavesItsSheet(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 40 {
		var seps [2][]cutfile.Piece
		for i := range seps {
			x := 0
			for range 1 + rng.IntN(5) {
				w, h := 10+rng.IntN(300), 10+rng.IntN(300)
				cut := rng.IntN(w)
				seps[i] = append(seps[i], piece(contour(x, 0, x+w-cut, 0, x+w, h/2, x+w, h, x+cut, h)))
				x += w + 7
			}
		}
		page := pageOf(seps[:]...)
		o := Options{
			Way: []Way{Together, Loose}[rng.IntN(2)], Copies: 1 + rng.IntN(4), GapMM: float64(rng.IntN(3)), EdgeMM: 5, CutterMM: 200, Tries: 20, Seed: rng.Uint64(),
			Stock: stocked(210, 297, drawer.Size{WidthMM: 80, HeightMM: 120}, drawer.Size{WidthMM: 90, HeightMM: 40}),
		}
		if rng.IntN(3) == 0 {
			o.Stock = stocked(200, 0)
		}
		checkLaid(t, page, mustLay(t, page, o), o)
	}
}

func TestLay_NothingOverlapsByGEOS(t *testing.T) {
	geos := oracle.StartGeos(t)
	for _, way := range []Way{Together, Loose} {
		l := mustLay(t, lighthouse(), Options{Way: way, Copies: 6, Stock: stocked(210, 297), GapMM: 1, Tries: 30})
		for i := range l.Sheets {
			if over, err := geos.Overlaps(placedPaths(&l.Sheets[i])); err != nil || len(over) > 0 {
				t.Errorf("%s, sheet %d: %v, %v", way, i, over, err)
			}
		}
	}
}

// relative are a piece's points as seen from its first one, turned back by quarters.
func relative(q *cutfile.Piece, turn float64) (out []cutfile.Point) {
	back := move{turn: -turn}
	start := q.Contours[0].Start
	for _, c := range q.Contours {
		for _, s := range c.Segments {
			out = append(out, back.point(cutfile.Point{X: s.End.X - start.X, Y: s.End.Y - start.Y}))
		}
	}
	return out
}

func TestLay_CopiesAreTheSameToTheLastDigitAndNeverMirroredAgain(t *testing.T) {
	page := lighthouse()
	for _, c := range []struct {
		way  Way
		w, h float64
	}{{Together, 297, 210}, {Together, 210, 297}, {Loose, 297, 210}, {Loose, 210, 297}, {Loose, 200, 0}, {Together, 200, 0}} {
		l := mustLay(t, page, Options{Way: c.way, Copies: 5, Stock: stocked(c.w, c.h), GapMM: 1, EdgeMM: 5, Tries: 60})
		free := map[string][]cutfile.Point{}
		for i := range l.Sheets {
			s := &l.Sheets[i]
			k := 0
			for _, x := range s.Placed {
				n := 1
				if x.Piece == 0 {
					n = len(page.Separations[s.Of].Pieces)
				}
				for p := range n {
					q := &s.Page.Separations[0].Pieces[k]
					k++
					was := &page.Separations[s.Of].Pieces[max(p, x.Piece-1)]
					got := relative(q, x.Turn)
					if quarters := x.Turn / (math.Pi / 2); math.Abs(quarters-math.Round(quarters)) < 1e-9 {
						if !slices.Equal(got, relative(was, 0)) {
							t.Fatalf("%v on %v: %v became %v", c, x, relative(was, 0), got)
						}
						continue
					}
					name := fmt.Sprint(s.Of, x.Piece, x.Turn)
					if first, there := free[name]; there && !slices.Equal(first, got) {
						t.Fatalf("%v: two copies with one turn differ: %v, %v", x, first, got)
					}
					free[name] = got
				}
			}
		}
	}
}

func TestLay_TheBaseAndWhatIsDrawnOnStayTogether(t *testing.T) {
	page := lighthouse()
	page.Separations = append(page.Separations, page.Separations[1])
	page.Separations[2].Order = 3
	page.Drawings = []cutfile.Drawing{{Sheet: 2, Name: "black", LengthMM: 4, Lines: []cutfile.Line{{Contour: contour(210, 300, 230, 320)}}}}
	l := mustLay(t, page, Options{Way: Loose, Copies: 3, Stock: stocked(210, 297), GapMM: 1, Tries: 5})
	for i := range l.Sheets {
		s := &l.Sheets[i]
		if loose := s.Of == 1; (s.Way == Loose) != loose || (s.Placed[0].Piece != 0) != loose {
			t.Errorf("separation %d is laid %s: %v", s.Of, s.Way, s.Placed)
		}
		drawn := 0.0
		for _, d := range s.Page.Drawings {
			drawn += d.LengthMM
			if len(d.Lines) != len(s.Placed) {
				t.Errorf("%d lines for %d copies", len(d.Lines), len(s.Placed))
			}
		}
		if want := 4 * float64(len(s.Placed)); s.Of == 2 && drawn != want || s.Of != 2 && drawn != 0 {
			t.Errorf("separation %d: %v mm are drawn", s.Of, drawn)
		}
	}
}

func TestLay_OffcutsComeFirstAndWhatIsLeftIsTold(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 900, 900))})
	o := Options{Way: Together, Copies: 3, Stock: stocked(200, 300, drawer.Size{WidthMM: 150, HeightMM: 100}, drawer.Size{WidthMM: 20, HeightMM: 20}), EdgeMM: 5, GapMM: 2, Tries: 50, CutterMM: 292}
	l := mustLay(t, page, o)
	checkLaid(t, page, l, o)
	if len(l.Sheets) != 2 || l.Sheets[0].Kind != Offcut || l.Sheets[1].Kind != Whole || len(l.Sheets[1].Placed) != 2 {
		t.Fatalf("%+v", l.Sheets)
	}
	if got, want := l.Sheets[0].Left, []drawer.Size{{WidthMM: 50, HeightMM: 100}}; !slices.Equal(got, want) {
		t.Errorf("of the offcut %v is left, not %v", got, want)
	}
	// Two lie side by side across: 90 + 2 + 90 with 5 at the edges, and 100 along.
	if got, want := l.Sheets[1].Left, []drawer.Size{{WidthMM: 200, HeightMM: 200}}; !slices.Equal(got, want) {
		t.Errorf("of the sheet %v is left, not %v", got, want)
	}
	if a, b := l.Sheets[0].Page.Separations[0].Sheet, l.Sheets[1].Page.Separations[0].Sheet; a != 1 || b != 2 {
		t.Errorf("the sheets are numbered %d and %d", a, b)
	}
}

func TestLay_ARollIsAsLongAsNeedBeAndNoBroaderThanTheCutter(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 900, 400))})
	o := Options{Copies: 4, Way: Together, Stock: stocked(300, 0), CutterMM: 190, EdgeMM: 5, GapMM: 2, Tries: 50}
	l := mustLay(t, page, o)
	checkLaid(t, page, l, o)
	// Two by two, 90 + 2 + 90 across and 40 + 2 + 40 along.
	if s := l.Sheets[0]; len(l.Sheets) != 1 || s.Kind != Roll || s.Page.Width.MM() != 300 || s.Page.Height.MM() != 92 || s.Left != nil {
		t.Errorf("%v × %v, left %v", s.Page.Width, s.Page.Height, s.Left)
	}
}

func TestLay_OnASheetWithADirectionNothingIsTurned(t *testing.T) {
	for _, way := range []Way{Together, Loose} {
		o := Options{Copies: 4, Way: way, GapMM: 1, Tries: 30, Stock: func(int, int) Stock {
			return Stock{Sheet: drawer.Size{WidthMM: 120, HeightMM: 200}, Direction: drawer.Upright}
		}}
		for _, s := range mustLay(t, lighthouse(), o).Sheets {
			for _, x := range s.Placed {
				if x.Turn != 0 {
					t.Errorf("%s: %v is turned", way, x)
				}
			}
		}
	}
}

func TestLay_WhatJustFitsASheetIsLaidOnIt(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 2970, 2100))})
	o := Options{Stock: stocked(210, 297), EdgeMM: 5, CutterMM: 210, Way: Together}
	l := mustLay(t, page, o)
	checkLaid(t, page, l, o)
	page = pageOf([]cutfile.Piece{piece(boxAt(0, 0, 2980, 2100))})
	var room *RoomError
	if _, err := Lay(t.Context(), []*cutfile.Page{page}, o); !errors.As(err, &room) || room.WidthMM != 298 || room.HeightMM != 210 || room.Separation != 0 {
		t.Errorf("%v", err)
	}
}

func TestLay_APieceInAHoleIsCutBeforeWhatHoldsIt(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 10, 10))}, []cutfile.Piece{piece(boxAt(100, 100, 600, 600), boxAt(0, 0, 800, 800)), piece(boxAt(1000, 0, 300, 300))})
	o := Options{Way: Loose, Stock: stocked(80, 80), GapMM: 1, Tries: 5}
	l := mustLay(t, page, o)
	checkLaid(t, page, l, o)
	s := l.Sheets[len(l.Sheets)-1]
	if len(l.Sheets) != 2 || s.Placed[0].Piece != 2 {
		t.Errorf("%d sheets; first comes %v", len(l.Sheets), s.Placed)
	}
}

func TestLay_FramesOfCopiesAreAllCut(t *testing.T) {
	page := lighthouse()
	frame := boxAt(-50, -50, 500, 600)
	page.Separations[0].Frame = &frame
	page.Separations[0].Include([]cutfile.Contour{frame})
	for copies, want := range map[int][2]int{1: {1, 0}, 3: {0, 3}} {
		l := mustLay(t, page, Options{Copies: copies, Way: Together, Stock: stocked(297, 210)})
		s := l.Sheets[0].Page.Separations[0]
		if (s.Frame != nil) != (want[0] > 0) || len(s.Marks) != want[1] {
			t.Errorf("%d copies: frame %v, marks %v", copies, s.Frame, s.Marks)
		}
	}
}

// Three designs share their base; one has another colour besides. What is of one sheet
// lies together, each copy whole, and none over another.
func TestLay_PagesShareTheirSheets(t *testing.T) {
	a, b, c := lighthouse(), lighthouse(), pageOf([]cutfile.Piece{piece(boxAt(0, 0, 300, 200))})
	b.Separations[1].Name, b.Separations[1].Colour = "Buoy", colour.RGB{R: 0xd0}
	c.Separations[0].Name, c.Separations[0].Colour = a.Separations[0].Name, a.Separations[0].Colour
	pages := []*cutfile.Page{a, b, c}
	for _, way := range []Way{Together, Loose} {
		o := Options{Way: way, Copies: 2, Stock: stocked(210, 297), GapMM: 1, Tries: 20, CutterMM: 292}
		l, err := Lay(t.Context(), pages, o)
		if err != nil {
			t.Fatal(err)
		}
		area, copies := map[int]float64{}, map[int]map[int]bool{}
		for n := range l.Sheets {
			s := &l.Sheets[n]
			sep := &s.Page.Separations[0]
			area[sep.Order] += s.AreaMM2
			if copies[sep.Order] == nil {
				copies[sep.Order] = map[int]bool{}
			}
			for _, x := range s.Placed {
				copies[sep.Order][x.Copy] = true
			}
			if got := pages[s.From].Separations[s.Of]; got.Name != sep.Name || got.Colour != sep.Colour {
				t.Errorf("%s: %s is told of as %s", way, sep.Name, got.Name)
			}
			noneOver(t, n, s)
		}
		base := 4*a.Separations[0].AreaMM2 + 2*c.Separations[0].AreaMM2
		other := 2 * a.Separations[1].AreaMM2
		if len(area) != 3 || math.Abs(area[1]-base) > 1e-6 || math.Abs(area[2]-other) > 1e-6 || math.Abs(area[3]-other) > 1e-6 {
			t.Errorf("%s: mm² %v, of the base %v, of the others %v", way, area, base, other)
		}
		if len(copies[1]) != 6 || len(copies[2]) != 2 || !copies[2][1] || !copies[3][4] {
			t.Errorf("%s: copies %v", way, copies)
		}
	}
}

func TestLay_KeepsTheBestWhenStopped(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	page := lighthouse()
	o := Options{Way: Loose, Copies: 8, Stock: stocked(100, 120), GapMM: 1, CutterMM: 292, Tries: 1 << 30, First: func(*Layout) { stop() }}
	l, err := Lay(ctx, []*cutfile.Page{page}, o)
	if err != nil {
		t.Fatal(err)
	}
	checkLaid(t, page, l, o)
}
