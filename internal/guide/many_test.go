package guide

import (
	"testing"

	"abut/internal/fit"
	"abut/internal/fit/assemble"
)

// On a page of 200 sheets those far from the one that is laid on it are shown by the run; all are shown, each once.
func TestAssembly_ShowsManySheetsAsOne(t *testing.T) {
	b := &assembly{book: &book{Guide: &Guide{Plan: new(fit.Plan)}}}
	b.Plan.Separations = make([]assemble.Separation, 200)
	for _, on := range []int{0, 63, 64, 130, 199} {
		of := func(k int) look {
			switch {
			case k < on:
				return laid
			case k == on:
				return coloured
			}
			return coming
		}
		shown, stamps := 0, 0
		for shown < 200 {
			n := b.run(shown, of)
			for k := shown; k < shown+n; k++ {
				if of(k) != of(shown) {
					t.Errorf("page of %d: %d is painted as %d is", on, k, shown)
				}
			}
			shown, stamps = shown+n, stamps+1
		}
		if want := 200 - 2*(manySheets-1); shown != 200 || stamps > want {
			t.Errorf("page of %d: %d sheets in %d stamps, at most %d", on, shown, stamps, want)
		}
		if n := b.run(0, func(int) look { return coloured }); n != 1 {
			t.Errorf("%d colours in one", n)
		}
	}
}
