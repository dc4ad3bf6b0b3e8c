package mend

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Of two lines of one pen, 0.5 mm broad and each with a ball at its end, one has all the room and the other would come to lie
// over what is 0.1 mm beside it. By itself the one becomes broad; beside the other it would be the heavier of two
// that were drawn alike.
func TestAll_OfLinesAlikeNoneBecomesBroadByItself(t *testing.T) {
	lines := func(at ...float64) job.Job {
		j := sketch.Art(t, "red rect 5 23.75 48 6", "black rect 0 0 1 1")
		var shapes []job.Shape
		for _, y := range at {
			c := geometry.Contour{Start: geometry.Pt(5, y), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(55, y))}}
			shapes = append(shapes, job.Shape{Path: geometry.RectXYWH(5, y-0.25, 50, 0.5).Path(), Centre: geometry.Path{c}},
				job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(57.5, y), 3, 3)}})
		}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: shapes}
		return j
	}
	area := func(j job.Job) (sum float64) {
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := m.run(context.Background(), j); err != nil {
			t.Fatal(err)
		}
		for i, of := range m.Materials {
			if of == sheet("black") {
				for k := range m.Separations[i].Pieces {
					if m.Separations[i].Pieces[k].Bounds.Max.Y < 15 {
						sum += m.Separations[i].Pieces[k].Outline.SignedArea()
					}
				}
			}
		}
		return sum
	}
	ball := math.Pi * 9
	for n, c := range map[string]struct {
		at   []float64
		want float64 // mm² of the line that has room
	}{"alone": {[]float64{10}, 51 + ball}, "beside the other": {[]float64{10, 23.4}, 25 + ball}} {
		out, err := All(context.Background(), lines(c.at...), nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := area(out); got < 0.97*c.want || got > 1.03*c.want {
			t.Errorf("%s it has %.2f mm², want %g; %+v", n, got, c.want, out.Items[0].Mends)
		}
	}
}

// The laces of a shoe, each a layer of its own, are too small, and lie too close together to become larger. None of them
// does, not even the last one, which has room; what lies between them is left to be, or they would grow together. Nor do two dots
// become one.
func TestAll_SmallThingsSideBySideStayAlike(t *testing.T) {
	for name, c := range map[string]struct {
		layers        []string
		width, height float64
	}{
		"laces":               {[]string{"yellow rect 10.2 9 1.3 0.7", "yellow rect 10.2 10.1 1.3 0.7", "yellow rect 10.2 11.2 1.3 0.7", "yellow rect 10.2 13.2 1.3 0.7"}, 1.3, 0.7},
		"laces over the edge": {[]string{"yellow rect 9.6 9 1.3 0.7", "yellow rect 9.6 10.1 1.3 0.7", "yellow rect 9.6 11.2 1.3 0.7"}, 1.3, 0.7},
		"laces at a sole":     {[]string{"yellow rect 9.6 9 1.3 0.7", "yellow rect 9.6 10.3 1.3 0.7", "yellow rect 9.6 11.6 1.3 0.7", "red rect 11.1 5 4 10"}, 1.3, 0.7},
		"dots":                {[]string{"yellow circle 20 15 0.4", "yellow circle 21.5 15 0.4"}, 0.8, 0.8},
	} {
		j := sketch.Art(t, append([]string{"green rect 10 0 30 30"}, c.layers...)...)
		for i := range j.Items[0].Layers {
			j.Items[0].Layers[i].Knocks = true
		}
		laid, _ := allMended(t, j)
		things := laid.Separations[slices.Index(laid.Materials, sheet("yellow"))].Pieces
		if want := strings.Count(strings.Join(c.layers, ","), "yellow"); len(things) != want {
			t.Errorf("%s: %d of %d are left", name, len(things), want)
		}
		for i := range things {
			if b := things[i].Bounds; math.Abs(b.Width()-c.width) > 0.02 || math.Abs(b.Height()-c.height) > 0.02 {
				t.Errorf("%s: one is %.2f mm by %.2f mm", name, b.Width(), b.Height())
			}
		}
	}
}
