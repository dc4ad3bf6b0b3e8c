package layout

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/drawer"
	"abut/internal/oracle"
)

// relaid is a layout with some of what lies on it pinned and some of its sheets' places
// kept free, and then laid out anew with another seed.
type relaid struct {
	page       *cutfile.Page
	o          Options
	first, got *Layout
}

func relay(t *testing.T, rng *rand.Rand) (r relaid) {
	t.Helper()
	var seps [2][]cutfile.Piece
	for i := range seps {
		x := 0
		for range 1 + rng.IntN(5) {
			w, h := 20+rng.IntN(250), 20+rng.IntN(250)
			cut := rng.IntN(w)
			seps[i] = append(seps[i], piece(contour(x, 0, x+w-cut, 0, x+w, h/2, x+w, h, x+cut, h)))
			x += w + 7
		}
	}
	r.page = pageOf(seps[:]...)
	r.o = Options{
		Way: []Way{Together, Loose}[rng.IntN(2)], Copies: 1 + rng.IntN(4), GapMM: float64(rng.IntN(3)), EdgeMM: 5, CutterMM: 290, Tries: 10, Seed: rng.Uint64(),
		Stock: stocked(210, 297, drawer.Size{WidthMM: 80, HeightMM: 120}, drawer.Size{WidthMM: 90, HeightMM: 40}),
	}
	if rng.IntN(3) == 0 {
		r.o.Stock = stocked(250, 0)
	}
	r.first = mustLay(t, r.page, r.o)
	r.o.Seed++
	for i := range r.first.Sheets {
		s := &r.first.Sheets[i]
		for _, x := range s.Placed {
			if rng.IntN(3) == 0 {
				r.o.Pinned = append(r.o.Pinned, Pinned{On: s.Which, Placed: x})
			}
		}
		at := cutfile.Point{X: cutfile.Steps(rng.Int64N(int64(s.Page.Width))), Y: cutfile.Steps(rng.Int64N(int64(s.Page.Height)))}
		r.o.KeptFree = append(r.o.KeptFree, KeptFree{s.Which, at, cutfile.Point{X: at.X + cutfile.ToSteps(30), Y: at.Y + cutfile.ToSteps(20)}})
	}
	r.got = mustLay(t, r.page, r.o)
	return r
}

// key is what a copy or piece is known by.
func key(x Placed) string { return fmt.Sprint(x.From, x.Of, x.Copy, x.Piece) }

func (r relaid) pinned() map[string]Pinned {
	out := map[string]Pinned{}
	for _, x := range r.o.Pinned {
		out[key(x.Placed)] = x
	}
	return out
}

// outlines are the contours of all that is placed, by what is placed.
func outlines(page *cutfile.Page, s *Sheet) map[string][]geometry.Path {
	out, k := map[string][]geometry.Path{}, 0
	paths := placedPaths(s)
	for _, x := range s.Placed {
		n := 1
		if x.Piece == 0 {
			n = len(page.Separations[x.Of].Pieces)
		}
		out[key(x)] = paths[k : k+n]
		k += n
	}
	return out
}

func TestLay_WhatIsPinnedStaysToTheLastDigit(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 60 {
		r := relay(t, rng)
		checkLaid(t, r.page, r.got, r.o)
		was := map[string]string{}
		for i := range r.first.Sheets {
			s := &r.first.Sheets[i]
			for k, p := range outlines(r.page, s) {
				was[k] = fmt.Sprint(s.Which, p)
			}
		}
		pins := r.pinned()
		found := 0
		for i := range r.got.Sheets {
			s := &r.got.Sheets[i]
			for k, p := range outlines(r.page, s) {
				if _, pinned := pins[k]; pinned {
					if found++; fmt.Sprint(s.Which, p) != was[k] {
						t.Fatalf("%s lies at %v %v, it was at %s", k, s.Which, p, was[k])
					}
				}
			}
		}
		if found != len(pins) {
			t.Fatalf("%d of %d pins are there", found, len(pins))
		}
	}
}

// GEOS finds nothing over what is kept free but what is pinned there, and no two pieces
// over each other.
func TestLay_NothingIsLaidOnWhatIsKeptFreeByGEOS(t *testing.T) {
	geos := oracle.StartGeos(t)
	rng := rand.New(rand.NewPCG(9, 10))
	for range 25 {
		r := relay(t, rng)
		pins := r.pinned()
		for i := range r.got.Sheets {
			s := &r.got.Sheets[i]
			if over, err := geos.Overlaps(placedPaths(s)); err != nil || len(over) > 0 {
				t.Fatalf("sheet %v: %v, %v", s.Which, over, err)
			}
			var loose []geometry.Path
			for k, p := range outlines(r.page, s) {
				if _, pinned := pins[k]; !pinned {
					loose = append(loose, p...)
				}
			}
			for _, f := range r.o.KeptFree {
				if f.On != s.Which {
					continue
				}
				if over, err := geos.Overlaps(append([]geometry.Path{rectangle(f.Min, f.Max)}, loose...)); err != nil || len(over) > 0 {
					t.Fatalf("sheet %v: %v lies under %v, %v", s.Which, f, over, err)
				}
			}
		}
	}
}

func TestLay_PinsWithoutTheirSheetLapse(t *testing.T) {
	page := lighthouse()
	o := Options{Way: Loose, Copies: 2, Stock: stocked(210, 297, drawer.Size{WidthMM: 80, HeightMM: 120}), GapMM: 1, Tries: 5}
	l := mustLay(t, page, o)
	for i := range l.Sheets {
		for _, x := range l.Sheets[i].Placed {
			o.Pinned = append(o.Pinned, Pinned{On: l.Sheets[i].Which, Placed: x}, Pinned{On: l.Sheets[i].Which, Placed: x})
		}
	}
	again := mustLay(t, page, o)
	checkLaid(t, page, again, o)
	if len(again.Sheets) != len(l.Sheets) {
		t.Errorf("with all pinned there are %d sheets, not %d", len(again.Sheets), len(l.Sheets))
	}
	o.Stock, o.Copies = stocked(210, 0), 1
	checkLaid(t, page, mustLay(t, page, o), o)
}

func TestLay_WhatIsKeptFreeIsNoOffcut(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 900, 900))})
	o := Options{Way: Together, Stock: stocked(200, 300), EdgeMM: 5}
	was := mustLay(t, page, o).Sheets[0]
	at := cutfile.Point{X: cutfile.ToSteps(100), Y: cutfile.ToSteps(200)}
	o.KeptFree = []KeptFree{{was.Which, at, cutfile.Point{X: at.X + 1, Y: at.Y + 1}}}
	if got := mustLay(t, page, o).Sheets[0].Left; len(got) == 0 || got[0] == was.Left[0] {
		t.Errorf("%v, without a flaw %v", got, was.Left)
	}
}
