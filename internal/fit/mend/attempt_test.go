package mend

import (
	"slices"
	"testing"
)

// The numerals of a dial are heavy all or none; a line of the same colour, and a word of
// another size or with bolder strokes, are mended by themselves.
func TestAlike_LetteringOfOneKindGoesTogether(t *testing.T) {
	letters := func(colour string, size, stroke float64) *attempt {
		return &attempt{of: sheet(colour), moves: true, size: size, stroke: stroke}
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
