package svgimport

import (
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// What a stroke was drawn along is kept, in root units, also where a clip hides some of it: as a line
// it is mended whole. What is filled has none.
func TestCentre_OfStrokesIsKept(t *testing.T) {
	for name, c := range map[string]struct {
		svg  string
		want geometry.Path
	}{
		"moved":   {`<path transform="translate(10 0) scale(2)" d="M1 2L3 4" fill="none" stroke="#000"/>`, geometry.Path{{Start: geometry.Pt(12, 4), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(16, 8))}}}},
		"clipped": {`<clipPath id="c"><rect width="2" height="99"/></clipPath><path clip-path="url(#c)" d="M1 2L30 4" fill="none" stroke="#000"/>`, geometry.Path{{Start: geometry.Pt(1, 2), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(30, 4))}}}},
		"filled":  {`<rect x="5" y="5" width="9" height="9"/>`, nil},
	} {
		r := read(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">`+c.svg+`</svg>`)
		if len(r.Layers) != 1 {
			t.Fatalf("%s: %d layers", name, len(r.Layers))
		}
		got := r.Layers[0].Content.(job.Outlines).Shapes[0].Centre
		if len(got) != len(c.want) || (got == nil) != (c.want == nil) {
			t.Errorf("%s: %v", name, got)
			continue
		}
		for i := range got {
			if got[i].Start != c.want[i].Start || got[i].End() != c.want[i].End() || got[i].Closed != c.want[i].Closed {
				t.Errorf("%s: %v, want %v", name, got, c.want)
			}
		}
	}
}
