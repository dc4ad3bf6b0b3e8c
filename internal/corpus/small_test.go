package corpus

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"abut/geometry"
)

// usualMM is the least size of a picture that things of thingMM2 were measured for.
const usualMM = 40

// enlarged are the bitmaps of a picture that was cut as drawn and mended, as large as if it were
// wide mm wide.
func enlarged(c *cutMended, wide float64) (drawn, mended *bitmap) {
	k := wide / c.plain.PageMM[0]
	of := func(w *written) *bitmap {
		b := &bitmap{w: int(c.plain.PageMM[0]*k*pixelsPerMM) + 1, h: int(c.plain.PageMM[1]*k*pixelsPerMM) + 1}
		b.sheet = make([]int, b.w*b.h)
		for i := range b.sheet {
			b.sheet[i] = -1
		}
		back, _ := w.sourceToPage().Invert()
		place := geometry.Scale(k, k).Mul(c.plain.sourceToPage().Mul(back))
		for i, s := range w.sheets {
			var tone rgb
			if _, err := fmt.Sscanf(s.Colour, "#%02x%02x%02x", &tone[0], &tone[1], &tone[2]); err != nil {
				panic(err)
			}
			b.paint(w.unmirrored(i).Transform(place).Flatten(0.01), tone)
		}
		return b
	}
	return of(c.plain), of(c.mended)
}

// However small a picture is made, what one sees of it as large as usual stays, and is listed: at
// these sizes dots, waves and letters are smaller than any crumb of a larger one.
func TestDesigns_MendingLosesNothingInSmallOnes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	var names []string
	for _, name := range []string{"child", "clock", "oma", "puffin"} {
		names = append(names, filepath.Join("..", "..", "testdata", "mends", name+".svg"))
	}
	for _, width := range []float64{5, 12} {
		for _, r := range cutAndMend(t, names, func(string) float64 { return width }) {
			if r.err != nil {
				t.Errorf("%s at %g mm: %v", r.name, width, r.err)
				continue
			}
			if things, lost, _ := losses(enlarged(&r, usualMM)); len(lost) > 0 || things < 4 {
				t.Errorf("%s at %g mm: %d of %d things are lost: %s", r.name, width, len(lost), things, strings.Join(lost, "; "))
			}
			if r.left == 0 {
				t.Errorf("%s at %g mm: nothing is listed", r.name, width)
			}
		}
	}
}
