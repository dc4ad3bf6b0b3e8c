package mend

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A line of 0.3 mm between the halves of a beak: of a small one it would leave two thin stripes when it is drawn
// 1 mm broad, so it stays as it was drawn and is listed; on a large one there is room.
func TestAll_ALineDoesNotEatWhatItLiesOn(t *testing.T) {
	for high, broad := range map[float64]bool{2.2: false, 8: true} {
		j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "orange rect 0 0 1 1 knock", "black rect 0 0 1 1 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(10, 15-high/2, 5, high).Path()}}}
		c := geometry.Contour{Start: geometry.Pt(10, 15), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(15, 15))}}
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(10, 14.85, 5, 0.3).Path(), Centre: geometry.Path{c}}}}
		laid, spots := allMended(t, j)
		i := slices.Index(laid.Materials, sheet("black"))
		got := laid.Separations[i].Outline.Bounds().Height()
		if want := map[bool]float64{true: 1.02, false: 0.3}[broad]; math.Abs(got-want) > 0.02 {
			t.Errorf("on %g mm it is %.2f mm broad, want %g", high, got, want)
		}
		if listed := slices.ContainsFunc(spots, func(s Spot) bool { return s.Of == sheet("black") }); listed == broad {
			t.Errorf("on %g mm: listed %t", high, listed)
		}
	}
}

// Between three stems of an m, 0.5 mm apart: letters that grow over one of two such spaces are no letters any more, nor those that
// grow over two fifths of each; one of several may. A notch is too small to count.
func TestFills_IsASmudge(t *testing.T) {
	black, plate := sheet("black"), sheet("yellow")
	between := func(x, high float64) Spot {
		s := Spot{Of: plate, Spot: weak.Spot{Kind: weak.Neck, AreaMM2: 0.5 * high, At: geometry.Pt(x, 10+high/2), Bounds: geometry.RectXYWH(x-0.25, 10, 0.5, high)}}
		s.Neighbours = []Neighbour{{Of: black, LengthMM: 2 * high}}
		for y := 10.0; y < 10+high; y += 0.25 {
			s.Spine = append(s.Spine, [2]geometry.Point{geometry.Pt(x, y), geometry.Pt(x, y+0.25)})
		}
		return s
	}
	rect := func(x, y, w, h float64) geometry.Contour { return geometry.RectXYWH(x, y, w, h).Path()[0] }
	for name, c := range map[string]struct {
		high float64
		ink  geometry.Path
		want bool
	}{
		"one is filled":          {6, geometry.Path{rect(11, 10, 0.5, 6)}, true},
		"narrower":               {6, geometry.Path{rect(11, 10, 0.2, 6), rect(12.3, 10, 0.2, 6)}, false},
		"a tenth of each":        {6, geometry.Path{rect(11, 10, 2, 0.6), rect(21, 10, 2, 0.6)}, false},
		"two fifths of each":     {6, geometry.Path{rect(11, 10, 2, 2.4), rect(21, 10, 2, 2.4)}, true},
		"two fifths of one":      {6, geometry.Path{rect(11, 10, 2, 2.4)}, false},
		"two thirds of only one": {6, geometry.Path{rect(11, 10, 2, 4)}, true},
		"notches":                {0.5, geometry.Path{rect(11, 10, 2, 6)}, false},
	} {
		a := &attempt{of: black, moves: true, areas: []geometry.Rect{geometry.RectXYWH(5, 5, 25, 15)}}
		var spots []Spot
		var ink geometry.Path
		for _, x := range []float64{10, 20} {
			var stems geometry.Path
			for k := range 3 {
				stems = append(stems, rect(x+1.5*float64(k), 10, 1, 6))
			}
			a.members = append(a.members, member{stems.Bounds(), geometry.NewEnclosure(stems), stems})
			spots, ink = append(spots, between(x+1.25, c.high), between(x+2.75, c.high)), append(ink, stems...)
		}
		now := sheets{black: geometry.NewEnclosure(append(ink, c.ink...))}
		if got := a.fills(&mending{}, now, indexSpots(spots), 1); got != c.want {
			t.Errorf("%s: %t", name, got)
		}
	}
}
