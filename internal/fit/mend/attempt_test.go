package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
)

// The numerals of a dial are heavy all or none; a line of the same colour, and a word of
// another size or with bolder strokes, are mended by themselves.
func TestAlike_LetteringOfOneKindGoesTogether(t *testing.T) {
	letters := func(colour string, size, stroke float64) *attempt {
		return &attempt{of: sheet(colour), moves: true, size: size, stem: stroke}
	}
	two, four := letters("blue", 4, 0.5), letters("blue", 6, 0.55) // a W is broader than an I, and may stand askew
	word, bold, red := letters("blue", 12, 0.5), letters("blue", 4, 0.8), letters("red", 4, 0.5)
	line := &attempt{of: sheet("blue"), size: 4}
	all := []*attempt{two, four, word, bold, red, line}
	for name, c := range map[string]struct{ chosen, want []*attempt }{
		"one numeral is no good":  {[]*attempt{two, word, bold, red, line}, []*attempt{word, bold, red, line}},
		"all are good":            {all, all},
		"no numeral is any good":  {[]*attempt{word, line}, []*attempt{word, line}},
		"the line alone is so-so": {[]*attempt{two, four, word, bold, red}, []*attempt{two, four, word, bold, red}},
	} {
		if got := alike(all, c.chosen); !slices.Equal(got, c.want) {
			t.Errorf("%s: %d are left of %d, want %d", name, len(got), len(c.chosen), len(c.want))
		}
	}
}

// Of a text on a curve each letter may stand alone, and that of an I has broader strokes than that of an A: bold all or none.
func TestAlike_LettersOfOneTextGoTogether(t *testing.T) {
	letter := func(text string, stroke float64) *attempt {
		return &attempt{of: sheet("blue"), moves: true, size: 4, stem: stroke, text: text}
	}
	a, i, other, outline := letter("text 2", 0.5), letter("text 2", 0.8), letter("text 3", 1.2), letter("", 1.8)
	all := []*attempt{a, i, other, outline}
	if got := alike(all, []*attempt{i, other, outline}); !slices.Equal(got, []*attempt{other, outline}) {
		t.Errorf("%d are left", len(got))
	}
}

// Small things side by side grow all or none, of whatever layer they are, and who goes with one that does not grow only by
// way of another one does not, either. One further off, a larger one and one of another colour grow by themselves.
func TestAlike_SmallThingsSideBySideGoTogether(t *testing.T) {
	dot := func(colour string, x, size float64) *attempt {
		return &attempt{of: sheet(colour), small: true, size: size, members: []member{{bounds: geometry.RectXYWH(x, 0, size, size)}}}
	}
	left, middle, right := dot("blue", 0, 1), dot("blue", 2.5, 0.8), dot("blue", 5, 1.2)
	off, large, red := dot("blue", 12, 1), dot("blue", 7, 2.5), dot("red", 1, 1)
	all := []*attempt{left, middle, right, off, large, red}
	if got := alike(all, all); !slices.Equal(got, all) {
		t.Errorf("all are good, and %d are left", len(got))
	}
	if got := alike(all, []*attempt{middle, right, off, large, red}); !slices.Equal(got, []*attempt{off, large, red}) {
		t.Errorf("without the left one %d are left", len(got))
	}
}

// Of small things side by side of which none could be drawn anew mends of spots leave what lies between them: given to them
// they would grow together. One by itself stays open to them.
func TestLeave_KeepsWhatLiesBetweenSmallThings(t *testing.T) {
	at := func(x float64) *attempt {
		r := geometry.RectXYWH(x, 0, 1, 1)
		return &attempt{of: sheet("blue"), small: true, size: 1, members: []member{{bounds: r}}, areas: []geometry.Rect{r.Grow(0.5)}}
	}
	left, right, off := at(0), at(1.6), at(20)
	between := func(x float64) *Spot {
		return &Spot{Spot: weak.Spot{Kind: weak.Sliver, WidthMM: 0.6, LengthMM: 1, AreaMM2: 0.6, Bounds: geometry.RectXYWH(x+1, 0, 0.6, 1)},
			Of: sheet("green"), Neighbours: []Neighbour{{sheet("blue"), 2}}, whole: geometry.RectXYWH(-50, -50, 100, 100).Path()}
	}
	for name, c := range map[string]struct {
		chosen []*attempt
		x      float64
		want   bool
	}{
		"none grew":     {nil, 0, true},
		"all grew":      {[]*attempt{left, right}, 0, false},
		"one by itself": {nil, 20, false},
	} {
		var d drawer
		d.leave([]*attempt{left, right, off}, c.chosen)
		kept := filed(d.kept)
		if got := kept.about(between(c.x), func(k *keptThing) bool { return k.spares(between(c.x), 1) }); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
