package thing

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// hair is a dark disc of 10 mm that shows 0.4 mm to the left of a lighter one and 1.2 mm to the right of it.
func hair() Layer {
	return Layer{
		Shapes:    []job.Shape{{Path: geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 10, 10)}}},
		Transform: geometry.Identity(),
		Front: []Ground{{
			Shapes:    []job.Shape{{Path: geometry.Path{geometry.Ellipse(geometry.Pt(-0.4, 0), 9.2, 9.2)}}},
			Transform: geometry.Identity(),
		}},
	}
}

// rimAt returns how broad it shows beside what lies over it, on a line from the middle of that.
func rimAt(l Layer, shapes []job.Shape, degrees float64) float64 {
	over := l.Front[0].Shapes[0]
	from := geometry.Pt(-0.4, 0)
	sin, cos := math.Sincos(degrees / 180 * math.Pi)
	to := from.Add(geometry.Pt(15*cos, 15*sin))
	return holding(shapes[0], from, to) - holding(over, from, to)
}

func drawRim(t *testing.T, l Layer, page geometry.Rect) []job.Shape {
	t.Helper()
	m := job.Mend{At: geometry.Pt(-9.8, 0), Do: job.Broaden, Fine: true, Around: true, Drawn: 0.4, WidthMM: 1}
	out, made, err := Draw(context.Background(), l, page, []job.Mend{m})
	if err != nil || len(made) != 1 || made[0].AreaMM2 <= 0 {
		t.Fatalf("%+v, %v", made, err)
	}
	return out
}

func TestDraw_ARimIsAsBroadAsItMustBeAndNoBroader(t *testing.T) {
	l := hair()
	out := drawRim(t, l, wide)
	for a := 0.0; a < 360; a += 5 {
		drawn, is := rimAt(l, l.Shapes, a), rimAt(l, out, a)
		if is < 0.98 {
			t.Errorf("at %g° it shows %.3f mm broad", a, is)
		}
		if most := math.Max(1.06, drawn+0.1); is > most {
			t.Errorf("at %g° it shows %.3f mm broad, drawn %.3f", a, is, drawn)
		}
	}
	if turn := turns(out[0].Path); turn > 1.05*2*math.Pi {
		t.Errorf("it turns by %.2f, a disc by %.2f", turn, 2*math.Pi)
	}
}

// What would reach beyond the page bends away before it, and has no flat there.
func TestDraw_ARimStaysRoundAtTheEdgeOfThePage(t *testing.T) {
	page := geometry.RectXYWH(-10, -30, 60, 60)
	l := hair()
	out := drawRim(t, l, page)
	b := out[0].Path.Bounds()
	if b.Min.X < page.Min.X-1e-6 {
		t.Errorf("it reaches to %.3f mm", b.Min.X)
	}
	flat := 0.0
	for from, to := range out[0].Path.Flatten(sagittaMM)[0].Sides() {
		if math.Max(from.X, to.X) < page.Min.X+0.01 {
			flat += to.Sub(from).Len()
		}
	}
	// A circle of 20 mm lies within 0.01 mm of its tangent for 2·√(2·20·0.01) = 1.3 mm.
	if flat > 1.3 {
		t.Errorf("%.2f mm lie along the edge of the page", flat)
	}
	if is := rimAt(l, out, 140); is < 0.98 {
		t.Errorf("away from it it shows %.3f mm broad", is)
	}
}

// Where a thing was drawn beyond the page, it becomes as broad there as anywhere.
func TestDraw_ARimBeyondThePageGrowsThere(t *testing.T) {
	l := hair()
	out := drawRim(t, l, geometry.RectXYWH(-8, -30, 60, 60))
	for _, a := range []float64{140, 180, 220} {
		if is := rimAt(l, out, a); is < 0.98 {
			t.Errorf("at %g° it shows %.3f mm broad", a, is)
		}
	}
}
