package mend

import (
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// Bars of 0.5 mm are drawn 1 mm broad: those 0.4 mm apart run together, those 0.8 mm apart do not,
// and one alone has all the room there is.
func TestCrowds_SpacesBetweenWhatIsDrawnBroader(t *testing.T) {
	bars := func(n int, apart, broad float64) (out geometry.Path) {
		for k := range n {
			out = append(out, geometry.RectXYWH(float64(k)*(0.5+apart)-broad/2, 0, broad, 10).Path()...)
		}
		return out
	}
	for _, c := range []struct {
		n     int
		apart float64
		want  bool
	}{{4, 0.4, true}, {4, 0.8, false}, {1, 0, false}} {
		drawn, broader := bars(c.n, c.apart, 0.5), bars(c.n, c.apart, 1)
		a := &attempt{of: sheet("red"), members: []member{{drawn.Bounds(), geometry.NewEnclosure(drawn), drawn}}}
		for k := range c.n {
			x := float64(k) * (0.5 + c.apart)
			a.spots = append(a.spots, &Spot{Spot: weak.Spot{Spine: [][2]geometry.Point{{geometry.Pt(x, 1), geometry.Pt(x, 9)}}}})
		}
		p := &picture{drawn: sheets{a.of: geometry.NewEnclosure(drawn)}}
		now := sheets{a.of: geometry.NewEnclosure(broader)}
		if got := p.crowds(&mending{}, now, a, []job.Mend{{Do: job.Broaden}}, 1); got != c.want {
			t.Errorf("%d bars %g mm apart: %t", c.n, c.apart, got)
		}
	}
}

// Letters that move apart have the spaces that they have where they come to lie.
func TestCrowds_LettersLieElsewhere(t *testing.T) {
	for apart, want := range map[float64]bool{0: true, 0.9: false} {
		a := &attempt{of: sheet("red"), moves: true, trying: []job.Mend{{Do: job.Broaden, Fine: true, Apart: true}}}
		var drawn, broader geometry.Path
		var moves []geometry.Affine
		for k := range 4 {
			x := 0.9 * float64(k)
			bar := geometry.RectXYWH(x-0.25, 0, 0.5, 10).Path()
			a.members = append(a.members, member{bar.Bounds(), geometry.NewEnclosure(bar), bar})
			a.spots = append(a.spots, &Spot{Spot: weak.Spot{Spine: [][2]geometry.Point{{geometry.Pt(x, 1), geometry.Pt(x, 9)}}}})
			moves = append(moves, geometry.Translate(apart*float64(k), 0))
			drawn, broader = append(drawn, bar...), append(broader, geometry.RectXYWH(x-0.5, 0, 1, 10).Path().Transform(moves[k])...)
		}
		p := &picture{drawn: sheets{a.of: geometry.NewEnclosure(drawn)}}
		m := &mending{placed: []own.Placed{{Mended: []thing.Made{{Mend: a.trying[0], Moves: moves}}}}}
		if got := p.crowds(m, sheets{a.of: geometry.NewEnclosure(broader)}, a, a.trying, 1); got != want {
			t.Errorf("%g mm further apart: %t", apart, got)
		}
	}
}

// A dot becomes a millimetre broader all around. It may not run into a stripe 0.5 mm away, nor into one of its
// own colour all along, but where it lies on the stripe's edge it grows over both.
func TestCrowds_RunsIntoWhatItDidNotTouch(t *testing.T) {
	red, blue := sheet("red"), sheet("blue")
	disc := func(r float64) geometry.Path {
		return geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), r, r)}.Flatten(0.01)
	}
	stripe := func(y float64) geometry.Path { return geometry.RectXYWH(-10, y, 20, 5).Path() }
	for _, c := range []struct {
		at   float64
		of   own.Material
		want bool
	}{{1.5, blue, true}, {2.5, blue, false}, {0.5, blue, false}, {1.5, red, true}, {2.5, red, false}} {
		drawn := map[own.Material]geometry.Path{red: disc(1)}
		drawn[c.of] = append(drawn[c.of], stripe(c.at)...)
		was, now := sheets{}, sheets{}
		for of, path := range drawn {
			was[of], now[of] = geometry.NewEnclosure(path), geometry.NewEnclosure(path)
		}
		now[red] = geometry.NewEnclosure(append(disc(2), drawn[red][1:]...))
		a := &attempt{of: red, members: []member{{disc(1).Bounds(), geometry.NewEnclosure(disc(1)), disc(1)}}}
		p := &picture{drawn: was}
		for _, do := range []job.MendKind{job.Enlarge, job.Broaden} { // a dot that is drawn broader is larger, too
			a.small = do == job.Broaden
			if got := p.crowds(&mending{}, now, a, []job.Mend{{Do: do}}, 1); got != c.want {
				t.Errorf("%v, %v at %g mm: %t", do, c.of.Colour, c.at, got)
			}
		}
	}
}

// A place that two sheets hold, as one on their common edge may be, is always the same one's: maps have no order.
func TestSheets_APlaceOfTwoIsAlwaysTheSameOnes(t *testing.T) {
	box := geometry.NewEnclosure(geometry.RectXYWH(0, 0, 10, 10).Path())
	s := sheets{sheet("red"): box, sheet("blue"): box, sheet("green"): box}
	first := s.at(geometry.Pt(5, 5))
	if first == own.Bare || s.at(geometry.Pt(15, 5)) != own.Bare {
		t.Fatalf("%v", first)
	}
	for range 100 {
		if now := s.at(geometry.Pt(5, 5)); now != first {
			t.Fatalf("%v, and before %v", now, first)
		}
	}
}

// A word on yellow may move on over more of it, but neither over blue nor right beside it, unless it lay beside that before.
func TestStrays_OverWhatWasNotBeneathTheWord(t *testing.T) {
	yellow, blue := sheet("yellow"), sheet("blue")
	for _, c := range []struct {
		blue, by float64
		want     bool
	}{{30, 4, false}, {15, 4, true}, {14.5, 4, true}, {10.2, 4, false}, {10.7, 4, true}, {10.7, -1, false}} {
		word := geometry.RectXYWH(5, 0, 5, 3)
		p := &picture{drawn: sheets{
			yellow: geometry.NewEnclosure(geometry.RectXYWH(-20, -20, 20+c.blue, 40).Path()),
			blue:   geometry.NewEnclosure(geometry.RectXYWH(c.blue, -20, 60, 40).Path()),
		}}
		a := &attempt{moves: true, members: []member{{bounds: word, outline: word.Path()}}, trying: []job.Mend{{Do: job.Broaden, Fine: true, Apart: true}}}
		m := &mending{placed: []own.Placed{{Mended: []thing.Made{{Mend: a.trying[0], Moves: []geometry.Affine{geometry.Translate(c.by, 0)}}}}}}
		if got := p.strays(a, m, 1); got != c.want {
			t.Errorf("blue from %g on, moved by %g: %t", c.blue, c.by, got)
		}
	}
}

// A bar of which a key hides the upper half is drawn 0.3 mm broader all around: it comes out at both sides of the key. Where the
// key reaches a millimetre further it does not, nor does one whose sides show.
func TestEmerges_WhatWasHiddenComesOut(t *testing.T) {
	red, white := sheet("red"), sheet("white")
	without := func(bar, key geometry.Rect) *geometry.Enclosure { // what shows of a bar beneath a key that ends at y 2
		return geometry.NewEnclosure(append(geometry.RectXYWH(bar.Min.X, 2, bar.Width(), bar.Max.Y-2).Path(), beside(bar, key)...))
	}
	bar := geometry.RectXYWH(0, 0, 5, 3)
	for _, c := range []struct {
		key  geometry.Rect
		want bool
	}{
		{geometry.RectXYWH(0, -4, 5, 6), true},
		{geometry.RectXYWH(-1, -4, 7, 6), false},
		{geometry.RectXYWH(1, -4, 3, 6), false},
	} {
		p := &picture{drawn: sheets{red: without(bar, c.key), white: geometry.NewEnclosure(c.key.Path())}}
		now := sheets{red: without(bar.Grow(0.3), c.key), white: p.drawn[white]}
		a := &attempt{of: red, stroke: 1, members: []member{{bar, geometry.NewEnclosure(bar.Path()), bar.Path()}}}
		if got := p.emerges(now, a, []job.Mend{{Do: job.Broaden}}, 1); got != c.want {
			t.Errorf("beneath %v: %t", c.key, got)
		}
	}
}

// beside returns what of a bar lies above y 2, at the sides of a key.
func beside(bar, key geometry.Rect) (out geometry.Path) {
	if w := key.Min.X - bar.Min.X; w > 0 {
		out = append(out, geometry.RectXYWH(bar.Min.X, bar.Min.Y, w, 2-bar.Min.Y).Path()...)
	}
	if w := bar.Max.X - key.Max.X; w > 0 {
		out = append(out, geometry.RectXYWH(key.Max.X, bar.Min.Y, w, 2-bar.Min.Y).Path()...)
	}
	return out
}
