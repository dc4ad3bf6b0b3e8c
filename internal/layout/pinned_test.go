package layout

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
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
		r.o.KeptFree = append(r.o.KeptFree, KeptFree{s.Which, Box{at, cutfile.Point{X: at.X + cutfile.ToSteps(30), Y: at.Y + cutfile.ToSteps(20)}}})
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
				if over, err := geos.Overlaps(append([]geometry.Path{path([]cutfile.Contour{f.contour()})}, loose...)); err != nil || len(over) > 0 {
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
	o.KeptFree = []KeptFree{{was.Which, Box{at, cutfile.Point{X: at.X + 1, Y: at.Y + 1}}}}
	if got := mustLay(t, page, o).Sheets[0].Left; len(got) == 0 || got[0] == was.Left[0] {
		t.Errorf("%v, without a flaw %v", got, was.Left)
	}
}

// all are pins of everything.
func all(l *Layout) (out []Pinned) {
	for i := range l.Sheets {
		for _, x := range l.Sheets[i].Placed {
			out = append(out, Pinned{On: l.Sheets[i].Which, Placed: x})
		}
	}
	return out
}

// What was shown is what is cut: nothing is tried for what lay there, and every figure of
// it is the same.
func TestLay_AnEarlierLayoutIsTakenAsItWas(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for n := range 60 {
		r := relay(t, rng)
		o := r.o
		o.Earlier = all(r.got)
		o.Seed, o.Tries = rng.Uint64(), 1+rng.IntN(3)
		if n%2 == 0 { // without the pins and flaws it came of
			o.Pinned, o.KeptFree = nil, nil
			r.got = mustLay(t, r.page, func() Options { was := r.o; was.Pinned, was.KeptFree = nil, nil; return was }())
			o.Earlier = all(r.got)
		}
		rng.Shuffle(len(o.Earlier), func(i, k int) { o.Earlier[i], o.Earlier[k] = o.Earlier[k], o.Earlier[i] })
		if got := mustLay(t, r.page, o); !reflect.DeepEqual(got, r.got) {
			t.Fatalf("%d: %+v\nbecame\n%+v", n, r.got, got)
		}
	}
}

// Where anything has no place any more, all is laid out that is not pinned.
func TestLay_AnEarlierLayoutLapsesWithWhatItWasOf(t *testing.T) {
	page := lighthouse()
	o := Options{Way: Loose, Copies: 3, Stock: stocked(210, 297), GapMM: 1, EdgeMM: 5, Tries: 3}
	l := mustLay(t, page, o)
	for name, change := range map[string]func(*Options){
		"a piece less":  func(o *Options) { o.Earlier = o.Earlier[1:] },
		"a piece twice": func(o *Options) { o.Earlier = append(o.Earlier[:1:1], o.Earlier...) },
		"a copy more":   func(o *Options) { o.Copies++ },
		"over another":  func(o *Options) { over(o.Earlier) },
		"off the sheet": func(o *Options) {
			o.Earlier[2].Min.X, o.Earlier[2].Max.X = o.Earlier[2].Min.X-cm(50), o.Earlier[2].Max.X-cm(50)
		},
		"another size":       func(o *Options) { o.Earlier[0].Max.X++ },
		"a sheet not there":  func(o *Options) { o.Stock = stocked(200, 250) },
		"a flaw beneath it":  func(o *Options) { o.KeptFree = []KeptFree{{o.Earlier[0].On, Box{o.Earlier[0].Min, o.Earlier[0].Max}}} },
		"kept together":      func(o *Options) { o.Way = Together },
		"a number of no one": func(o *Options) { o.Earlier[0].Copy = 99 },
	} {
		o := o
		o.Earlier = all(l)
		change(&o)
		got := mustLay(t, page, o)
		if checkLaid(t, page, got, o); t.Failed() {
			t.Fatal(name)
		}
	}
}

// over moves one pin onto another of its sheet.
func over(all []Pinned) {
	for i := range all {
		for k := range all[:i] {
			if all[i].On == all[k].On {
				d := cutfile.Point{X: all[k].Min.X - all[i].Min.X, Y: all[k].Min.Y - all[i].Min.Y}
				all[i].Min, all[i].Max = all[k].Min, cutfile.Point{X: all[i].Max.X + d.X, Y: all[i].Max.Y + d.Y}
				return
			}
		}
	}
}

func TestLay_OfTwoPinsOverEachOtherTheFirstStays(t *testing.T) {
	page := lighthouse()
	for _, way := range []Way{Together, Loose} {
		o := Options{Way: way, Copies: 4, Stock: stocked(210, 297), GapMM: 1, EdgeMM: 5, Tries: 3}
		o.Pinned = all(mustLay(t, page, o))
		if l := mustLay(t, page, o); l.Lapsed != 0 {
			t.Errorf("%d of %d pins lapsed where nothing had changed", l.Lapsed, len(o.Pinned))
		}
		over(o.Pinned)
		l := mustLay(t, page, o)
		if checkLaid(t, page, l, o); l.Lapsed != 1 {
			t.Errorf("%d pins lapsed, not the one", l.Lapsed)
		}
	}
}

func TestLay_ProgressOnlyGrowsAndEndsWithAll(t *testing.T) {
	var told []float64
	o := Options{Way: Loose, Copies: 12, Stock: stocked(210, 297), GapMM: 1, Tries: 40, Progress: func(share float64) { told = append(told, share) }}
	mustLay(t, lighthouse(), o)
	if len(told) < 40 || !slices.IsSorted(told) || told[0] > 0.1 || told[len(told)-1] < 0.9 || told[len(told)-1] > 1 {
		t.Errorf("%v", told)
	}
}
