package mend

import (
	"context"
	"math"
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
