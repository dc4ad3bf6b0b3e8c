package mend

import (
	"slices"
	"testing"
)

// The numerals of a dial are heavy all or none; a line of the same colour, and a word of
// another size, are mended by themselves.
func TestAlike_LetteringOfOneKindGoesTogether(t *testing.T) {
	letters := func(colour string, size float64) *attempt {
		return &attempt{of: sheet(colour), moves: true, size: size}
	}
	two, four, word, red := letters("blue", 4), letters("blue", 4.1), letters("blue", 8), letters("red", 4)
	line := &attempt{of: sheet("blue"), size: 4}
	all := []*attempt{two, four, word, red, line}
	for name, c := range map[string]struct{ chosen, want []*attempt }{
		"one numeral is no good":  {[]*attempt{two, word, red, line}, []*attempt{word, red, line}},
		"all are good":            {all, all},
		"no numeral is any good":  {[]*attempt{word, line}, []*attempt{word, line}},
		"the line alone is so-so": {[]*attempt{two, four, word, red}, []*attempt{two, four, word, red}},
	} {
		if got := alike(all, c.chosen); !slices.Equal(got, c.want) {
			t.Errorf("%s: %d are left of %d, want %d", name, len(got), len(c.chosen), len(c.want))
		}
	}
}
