package corpus

import (
	"bytes"
	"context"
	"image"
	"strings"
	"testing"

	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/svgimport"
)

// stripes is a gradient of hard edges; open is how it begins.
func stripes(open string) string {
	return open + `<stop stop-color="#06c"/><stop offset=".31" stop-color="#06c"/><stop offset=".31" stop-color="#fc0"/><stop offset=".6" stop-color="#fc0"/><stop offset="60%" stop-color="#c03"/></` +
		strings.Fields(open)[0][1:] + `>`
}

// Gradients of hard edges only are flat colours: they come in as such, without
// a warning. Edges are crisp here, for those of a gradient are.
func TestStripes_ComeInAsFlatColours(t *testing.T) {
	if testing.Short() {
		t.Skip("needs the renderers: ./run test brings them")
	}
	r := oracle.StartRenderer(t)
	for _, f := range []feature{
		{name: "stripes", inner: stripes(`<linearGradient id="g">`) + `<rect x="10" y="10" width="70" height="80" fill="url(#g)"/>`},
		{name: "stripes at an angle", inner: stripes(`<linearGradient id="g" x1=".2" y1=".1" x2=".7" y2=".9" gradientTransform="rotate(20)">`) + `<ellipse cx="45" cy="50" rx="40" ry="20" fill="url(#g)"/>`},
		{name: "stripes for several", inner: stripes(`<linearGradient id="g" y2="1">`) + `<g fill="url(#g)"><rect x="5" y="5" width="30" height="20"/><circle cx="70" cy="30" r="20"/><path d="M10 60h80l-40 30z" transform="rotate(9)"/></g>`},
		{name: "stripes repeated", inner: stripes(`<linearGradient id="g" x2=".3" y2=".2" spreadMethod="repeat">`) + `<rect x="10" y="10" width="70" height="80" fill="url(#g)"/>`},
		{name: "stripes reflected", inner: stripes(`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="40" x2="60" spreadMethod="reflect">`) + `<rect x="10" y="10" width="70" height="80" fill="url(#g)" transform="skewX(10)"/>`},
		// resvg takes the box of the stroke; SVG 2, 14.2.2 says that of the fill.
		{name: "stripes on a line", second: true, inner: stripes(`<linearGradient id="g" y2=".5">`) + `<path d="M10 20C40 90 60 -50 90 80" fill="none" stroke-width="14" stroke="url(#g)"/>`},
		{name: "stripes see-through", inner: stripes(`<linearGradient id="g">`) + `<rect x="30" width="20" height="60"/><g opacity=".6"><rect x="10" y="10" width="70" height="80" fill="url(#g)" fill-opacity=".8"/></g>`},
		{name: "rings", inner: stripes(`<radialGradient id="g">`) + `<rect x="10" y="10" width="70" height="80" fill="url(#g)"/>`},
		{name: "rings off their middle", inner: stripes(`<radialGradient id="g" fx=".6" fy=".35" r=".4" gradientTransform="translate(.1) rotate(10)">`) + `<rect x="10" y="10" width="70" height="80" fill="url(#g)"/>`},
		{name: "rings repeated", inner: stripes(`<radialGradient id="g" r=".2" spreadMethod="repeat">`) + `<circle cx="50" cy="50" r="45" fill="url(#g)"/>`},
	} {
		t.Run(f.name, func(t *testing.T) {
			art := []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">` + f.inner + `</svg>`)
			res, err := svgimport.Import(context.Background(), bytes.NewReader(art), svgimport.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if len(res.Warnings) > 0 {
				t.Errorf("%v", res.Warnings)
			}
			first, second := crispOff(t, r, art, asArt(res))
			if first > maxShare && !(f.second && second <= maxShare) {
				t.Errorf("%.2f %% of the pixels are off for resvg, %.2f %% for librsvg", 100*first, 100*second)
			}
			if first <= maxShare && f.second {
				t.Error("resvg draws it as we do by now: no exception is needed")
			}
		})
	}
}

// crispOff is by how much two pictures differ with crisp edges, for two
// renderers.
func crispOff(t *testing.T, r *oracle.Renderer, art, again []byte) (first, second float64) {
	t.Helper()
	draw := func(svg []byte) (a, b *image.RGBA) {
		a, err := r.Render(svg, side, true)
		if err != nil {
			t.Fatal(err)
		}
		if b, err = oracle.SecondOpinion(svg, a.Rect.Dx(), a.Rect.Dy()); err != nil {
			t.Fatal(err)
		}
		return a, b
	}
	want, want2 := draw(art)
	got, got2 := draw(again)
	return differ(want, []*image.RGBA{got}).share(), differ(want2, []*image.RGBA{got2}).share()
}

// A gradient in bands is near the gradient everywhere, the nearer the more bands
// there are: half a band's change of colour in the worst place, which for these
// is their two colours' distance by twice the number of bands, unevenly shared
// in Lab.
func TestBands_ComeNearTheGradient(t *testing.T) {
	if testing.Short() {
		t.Skip("needs the renderers: ./run test brings them")
	}
	r := oracle.StartRenderer(t)
	const two = `<stop stop-color="#0a3d91"/><stop offset="1" stop-color="#f2c14e"/>`
	for name, inner := range map[string]string{
		"straight": `<linearGradient id="g" x2=".7" y2="1">` + two + `</linearGradient><rect x="5" y="10" width="90" height="80" fill="url(#g)"/>`,
		"round":    `<radialGradient id="g" fx=".4" fy=".4">` + two + `</radialGradient><circle cx="50" cy="50" r="45" fill="url(#g)"/>`,
		"several":  `<linearGradient id="g" spreadMethod="reflect" x2=".5">` + two + `</linearGradient><g fill="url(#g)"><rect width="45" height="90"/><rect x="50" width="45" height="90" transform="skewY(4)"/></g>`,
	} {
		art := []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">` + inner + `</svg>`)
		res, err := svgimport.Import(context.Background(), bytes.NewReader(art), svgimport.Options{})
		if err != nil {
			t.Fatal(err)
		}
		want, err := r.Render(art, side, true)
		if err != nil {
			t.Fatal(err)
		}
		j := job.Job{Items: []job.Item{{ID: 1, Layers: res.Layers}}}
		last := 0.0
		for _, n := range []int{1, 2, 4, 8, 12} {
			banded, err := job.SetBands(j, j.LayerIDs(), n)
			if err != nil {
				t.Fatal(err)
			}
			if k := len(banded.Items[0].Layers); k != n {
				t.Errorf("%s: %d layers for %d bands", name, k, n)
			}
			got, err := r.Render(asArt(&svgimport.Result{Canvas: res.Canvas, Layers: banded.Items[0].Layers}), side, true)
			if err != nil {
				t.Fatal(err)
			}
			off := meanOff(want, got)
			if n > 1 && off > 0.75*last {
				t.Errorf("%s: %d bands are off by %.1f of 255 in the mean, fewer by %.1f", name, n, off, last)
			}
			last = off
		}
		if last > 6 {
			t.Errorf("%s: 12 bands are off by %.1f of 255 in the mean", name, last)
		}
	}
}

// meanOff is the mean distance of two pictures' colours, over white, by channel.
func meanOff(a, b *image.RGBA) float64 {
	pa, pb := overWhite(a), overWhite(b)
	sum := 0
	for i := range pa {
		for c := range 3 {
			d := pa[i][c] - pb[i][c]
			sum += max(d, -d)
		}
	}
	return float64(sum) / float64(3*len(pa))
}
