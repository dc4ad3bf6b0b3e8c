package trace

import (
	"context"
	"image/color"
	"math"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/job"
)

// seen is how much of each colour shows from above, in square pixels.
func seen(t *testing.T, res *Result) map[colour.RGB]float64 {
	t.Helper()
	var layers []planar.Layer
	for _, l := range res.Layers {
		var figures []planar.Figure
		for _, s := range job.Shapes(l.Content) {
			figures = append(figures, planar.Figure{Path: s.Path, Rule: s.Rule})
		}
		layers = append(layers, planar.Layer{Figures: figures})
	}
	m, err := planar.Build(context.Background(), layers, planar.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := map[colour.RGB]float64{}
	for f := range planar.FaceID(m.NumFaces()) {
		top := -1
		for _, k := range m.Cover(f) {
			top = max(top, int(k))
		}
		if top >= 0 {
			out[res.Layers[top].Colour] += m.AreaMM2(f)
		}
	}
	return out
}

// What lies inside another colour can be moved: that goes on beneath. From above all
// looks as before, and where the blank shows through a hole it still does.
func TestTrace_GoesOnBeneathWhenAsked(t *testing.T) {
	ellipse := func(r float64) geometry.Path { return geometry.Path{geometry.Ellipse(geometry.Pt(80, 80), r, r)} }
	ring := func(a, b float64) geometry.Path { return append(ellipse(a), ellipse(b).Reverse()...) }
	img := paint(160, 160, []geometry.Path{
		ring(75, 60), ring(60, 45), ellipse(45), ellipse(30), ellipse(12), // nested, amber twice
		ring(20, 15),
		{geometry.Ellipse(geometry.Pt(14, 14), 10, 10)}, {geometry.Ellipse(geometry.Pt(14, 14), 5, 5)},
	}, []color.NRGBA{sea, amber, red, amber, sea, light, red, paper})
	plain, deep := traced(t, img, Options{}), traced(t, img, Options{Tracing: job.Tracing{Beneath: true}})
	want, got := seen(t, plain), seen(t, deep)
	for c, a := range want {
		if math.Abs(got[c]-a) > 1e-3*a {
			t.Errorf("%s: %.2f square pixels show, without it %.2f", c, got[c], a)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d colours show, not %d", len(got), len(want))
	}
	// The outermost ring, all that is in it beneath.
	if a := layerOf(&Result{Layers: deep.Layers[:1]}, sea).SignedArea(); math.Abs(a-math.Pi*75*75) > 20 {
		t.Errorf("%.0f square pixels of the outermost, want the whole disc, %.0f", a, math.Pi*75*75)
	}
	clear := traced(t, paint(160, 160, []geometry.Path{ring(75, 30), ring(60, 45)}, []color.NRGBA{sea, amber}), Options{Tracing: job.Tracing{Beneath: true}})
	all := 0.0
	for _, a := range seen(t, clear) {
		all += a
	}
	if want := math.Pi * (75*75 - 30*30); math.Abs(all-want) > 20 {
		t.Errorf("%.0f square pixels show, and the hole is to stay: %.0f", all, want)
	}
}

// Colours that go to one sheet are one, with the sheet's colour; what stays bare
// takes none.
func TestTrace_TakesOnlyColoursOfSheets(t *testing.T) {
	rgb := func(c color.NRGBA) colour.RGB { return colour.RGB{R: c.R, G: c.G, B: c.B} }
	img := blocks(40, color.NRGBA{200, 30, 40, 255}, color.NRGBA{230, 60, 50, 255}, sea, paper)
	poppy, navy := colour.RGB{R: 215, G: 40, B: 40}, colour.RGB{R: 20, G: 40, B: 110}
	how := job.Tracing{Sheets: []colour.RGB{navy, poppy}, Bare: []colour.RGB{rgb(paper)}}
	res := traced(t, img, Options{Tracing: how})
	if len(res.Layers) != 2 {
		t.Fatalf("%d layers", len(res.Layers))
	}
	for _, l := range res.Layers {
		if l.Colour != poppy && l.Colour != navy {
			t.Errorf("a layer of %s", l.Colour)
		}
	}
	joined, cut := 0, map[colour.RGB]int{}
	for _, k := range res.Inks {
		if k.Joined {
			joined++
		}
		if !k.Bare {
			cut[k.Cut]++
		}
	}
	if len(res.Inks) != 4 || joined != 1 || cut[poppy] != 2 || cut[navy] != 1 {
		t.Errorf("%+v", res.Inks)
	}
	if got := checkMap(t, res); math.Abs(got-3*40*40) > 1e-2 {
		t.Errorf("%.2f square pixels are covered", got)
	}
}
