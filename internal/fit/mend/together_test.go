package mend

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// What comes later, and changes more of the look, is chosen where it is clearly better about all that go together; letters
// further apart where they are any better, and a word that needs no more space goes along as it is. Larger ones are chosen, too,
// where they would leave much more that is narrow than there was.
func TestPrefer_LetteringInOneManner(t *testing.T) {
	// Both are evenly bolder: letters as broad as that leave even less space.
	bold := func(a *attempt) *attempt {
		a.manners = []manner{hairlines, spaced, bolder}
		return a
	}
	word := func(hairs, apart, large float64) *attempt {
		a := &attempt{moves: true, options: make([][]job.Mend, 3), manners: []manner{hairlines, spaced, larger}, before: todo{own: 10, spaces: 10}, good: map[int]todo{}, best: -1}
		for n, left := range []float64{hairs, apart, large} {
			if left >= 0 {
				a.good[n] = todo{spaces: left / freshShare}
			}
		}
		return a
	}
	for name, c := range map[string]struct {
		set  []*attempt
		best int
	}{
		"a little better apart":       {[]*attempt{word(2, 1.9, 1.8)}, 1},
		"crowded as it is":            {[]*attempt{word(8, 7.9, 7.5)}, 2},
		"crowded, and bolder":         {[]*attempt{bold(word(8, 7.9, 7.5))}, 1},
		"clearly better larger":       {[]*attempt{word(2, 1.9, 1)}, 2},
		"one cannot be larger":        {[]*attempt{word(2, 1.9, 1), word(2, 1.9, -1)}, 1},
		"one is fine as it is":        {[]*attempt{word(2, 1, 1), word(1, -1, 1)}, 1},
		"nothing is any good for one": {[]*attempt{word(2, 1, 1), word(-1, -1, -1)}, -1},
	} {
		prefer(c.set)
		if got := c.set[0].best; got != c.best {
			t.Errorf("%s: option %d, want %d", name, got, c.best)
		}
		if last := c.set[len(c.set)-1]; name == "one is fine as it is" && last.best != 0 {
			t.Errorf("%s: the other is drawn in %d", name, last.best)
		}
	}
}

// lettered has a layer be the letters of a text.
func lettered(j job.Job, layer int) job.Job {
	shapes := job.Shapes(j.Items[0].Layers[layer].Content)
	for i := range shapes {
		shapes[i].Element = "text"
	}
	j.Items[0].Layers[layer].Content = job.Outlines{Shapes: shapes}
	return j
}

const stems = "black rect 12 8 1.2 8 + rect 13.7 8 1.2 8 + rect 15.4 8 1.2 8 + rect 17.1 8 1.2 8 knock"

// Stems 0.5 mm apart, broad enough themselves, move apart.
func TestAll_LettersMoveApart(t *testing.T) {
	j := lettered(sketch.Art(t, "yellow rect 0 0 30 24 knock", stems), 1)
	laid, spots := allMended(t, j)
	if len(spots) > 0 || len(laid.made) != 1 || !laid.made[0].Apart {
		t.Fatalf("%d spots are left, %+v", len(spots), laid.made)
	}
	var gaps []float64
	for _, p := range laid.placed[1].Shapes {
		gaps = append(gaps, p.Path.Bounds().Min.X)
	}
	for i := 1; i < len(gaps); i++ {
		if gap := gaps[i] - gaps[i-1] - 1.2; gap < 1 || gap > 1.1 {
			t.Errorf("%d: %.3f mm apart", i, gap)
		}
	}
}

// They do not where that takes them over, or right beside, what they did not lie beside, nor off the picture.
func TestAll_LettersStayWhereTheyHaveNoRoom(t *testing.T) {
	for name, lines := range map[string][]string{
		"bars beside them": {"yellow rect 0 0 30 24 knock", stems, "red rect 9.9 6 1 12 + rect 19.4 6 1 12 knock"},
		"the edge":         {"yellow rect 11.4 0 7.5 24 knock", stems},
	} {
		laid, _ := allMended(t, lettered(sketch.Art(t, lines...), 1))
		for _, m := range laid.made {
			if m.Apart {
				t.Errorf("%s: %+v", name, m)
			}
		}
	}
}

// What lies in a letter goes along with it, and is looked for where that is.
func TestShowing_WhatLiesInALetterGoesAlong(t *testing.T) {
	hole := geometry.RectXYWH(1, 1, 1, 1)
	green := sheet("green")
	was := seen{of: green, bounds: hole, places: hole.Path().Samples(geometry.EvenOdd, sampleLines)}
	a := &attempt{moves: true, members: []member{{bounds: geometry.RectXYWH(0, 0, 3, 3)}}}
	now := sheets{green: geometry.NewEnclosure(geometry.RectXYWH(4, 1, 1, 1).Path())}
	for moved, want := range map[float64]int{3: len(was.places), 0: 0} {
		to := was.carried([]*attempt{a}, [][]geometry.Affine{{geometry.Translate(moved, 0)}})
		if got := was.showing(now, 0, to); got != want {
			t.Errorf("moved by %g mm %d of %d places show, want %d", moved, got, len(was.places), want)
		}
	}
}

// An outline that becomes broader only where it is thin changes less of the look than one that does so evenly, which is chosen
// where it leaves clearly less to do, or where the former may not be.
func TestPrefer_OfAnOutlineWhatChangesLeast(t *testing.T) {
	for name, c := range map[string]struct {
		rim  bool
		good map[int]todo
		best int
	}{
		"evenly a little better":    {true, map[int]todo{0: {own: 64}, 1: {own: 74}, 2: {own: 59}}, 0},
		"evenly clearly better":     {true, map[int]todo{0: {own: 64}, 2: {own: 40}}, 2},
		"only where it is thin not": {true, map[int]todo{2: {own: 59}}, 2},
		"no outline":                {false, map[int]todo{0: {own: 64}, 2: {own: 59}}, 2},
	} {
		a := &attempt{rim: c.rim, options: make([][]job.Mend, 3), before: todo{own: 115}, good: c.good, best: -1}
		if prefer([]*attempt{a}); a.best != c.best {
			t.Errorf("%s: option %d, want %d", name, a.best, c.best)
		}
	}
}

// What a name stands out by becomes broader with it, evenly by what it lacks on average: beside a serif that has grown hardly
// anything of it may be left. Without a name that has grown its narrowest place says how much.
func TestCovered_AHaloGrowsWithItsLetters(t *testing.T) {
	j := sketch.Art(t, "blue rect 0 0 30 24 knock", "white rect 4 4 20 12 knock", "red rect 5 6 18 8 knock")
	for _, grown := range []bool{true, false} {
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		if grown {
			m.placed[2].Mended = []thing.Made{{Mend: job.Mend{Do: job.Broaden, Fine: true}}}
		}
		halo := geometry.RectXYWH(4, 4, 20, 12).Path()
		a := &attempt{layer: 2, stroke: 3, members: []member{{halo.Bounds(), geometry.NewEnclosure(halo), halo}}}
		for _, s := range []weak.Spot{
			{Kind: weak.Neck, WidthMM: 0.1, LengthMM: 0.5, AreaMM2: 0.05, At: geometry.Pt(23.5, 10)},
			{Kind: weak.Neck, WidthMM: 0.7, LengthMM: 6, AreaMM2: 4.75, At: geometry.Pt(4.5, 10)},
			{Kind: weak.Point, WidthMM: 0.3, LengthMM: 2, AreaMM2: 0.3, At: geometry.Pt(4.5, 5)},
		} {
			a.spots = append(a.spots, &Spot{Spot: s, Of: sheet("white")})
		}
		r := &redrawing{attempt: a, m: m, things: []thing.Thing{{Bounds: halo.Bounds(), Outline: halo}}, scale: 1, w: 1, seen: 0.1}
		r.covered()
		if grown != (len(a.options) > 0) {
			t.Errorf("grown %v: %d options", grown, len(a.options))
		}
		if grown && math.Abs(a.options[0][0].Drawn-4.8/6.5) > 1e-9 {
			t.Errorf("by what %.3f mm lack", a.options[0][0].Drawn)
		}
	}
}
