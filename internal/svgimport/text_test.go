package svgimport

import (
	"context"
	"math"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/typeset"
)

// setText imports a picture of text in the embedded fonts, which are the same
// everywhere.
func setText(t *testing.T, inner string) *Result {
	t.Helper()
	res, err := Import(context.Background(), strings.NewReader(page100(inner)), Options{Fonts: typeset.Embedded()})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func layerBounds(l job.Layer) geometry.Rect {
	r := geometry.EmptyRect()
	for _, s := range l.Content.(job.Outlines).Shapes {
		r = r.Union(s.Path.Bounds())
	}
	return r
}

func setLine(text string, face typeset.Face, size float64) typeset.Line {
	return typeset.Embedded().Shape([]typeset.Span{{Text: text, Style: typeset.Style{Face: face, Size: size}}}, false)
}

func advance(text string, face typeset.Face, size float64) float64 {
	return setLine(text, face, size).Advance
}

func TestText_StandsOnItsBaseLine(t *testing.T) {
	res := setText(t, `<text x="10" y="50" font-size="20" fill="#a00">HH</text>`)
	if len(res.Layers) != 1 || res.Layers[0].Name != "HH" || res.Layers[0].Colour != (colour.RGB{R: 0xaa}) {
		t.Fatalf("layers %+v", res.Layers)
	}
	b := layerBounds(res.Layers[0])
	if math.Abs(b.Max.Y-50) > 1e-6 || b.Min.X < 10 || b.Max.X > 10+advance("HH", typeset.Face{}, 20) || b.Height() < 12 || b.Height() > 16 {
		t.Errorf("bounds %v", b)
	}
}

// SVG 2, 11.10.1 'text-anchor': what lies at the position is the start, the
// middle or the end of the chunk.
func TestText_Anchors(t *testing.T) {
	left := func(attrs string) float64 {
		return layerBounds(setText(t, `<text y="50" font-size="10" `+attrs+`>HIH</text>`).Layers[0]).Min.X
	}
	w := advance("HIH", typeset.Face{}, 10)
	start := left(`x="50"`)
	for attrs, shift := range map[string]float64{
		`x="50" text-anchor="middle"`: -w / 2, `x="50" text-anchor="end"`: -w, `x="50" style="text-anchor:end"`: -w, `x="60"`: 10, `x="50" dx="3"`: 3,
	} {
		if got := left(attrs); math.Abs(got-start-shift) > 1e-6 {
			t.Errorf("%s: starts %v from the start, want %v", attrs, got-start, shift)
		}
	}
}

func TestText_ListsAndSpans(t *testing.T) {
	for name, c := range map[string]struct {
		inner string
		want  geometry.Rect // bounds of the last layer's H, by its origin
	}{
		"x list":            {`<text x="10 40" y="50" font-size="10">I<tspan fill="red">H</tspan></text>`, geometry.RectXYWH(40, 50, 0, 0)},
		"y of the span":     {`<text x="10" y="50" font-size="10">I<tspan fill="red" x="70" y="20">H</tspan></text>`, geometry.RectXYWH(70, 20, 0, 0)},
		"dy list":           {`<text x="10" y="50" font-size="10" dx="0 5" dy="0 7">I<tspan fill="red">H</tspan></text>`, geometry.RectXYWH(10+5+advance("I", typeset.Face{}, 10), 57, 0, 0)},
		"size of the span":  {`<text x="10" y="50" font-size="10">I<tspan fill="red" font-size="2em">H</tspan></text>`, geometry.RectXYWH(10+advance("I", typeset.Face{}, 10), 50, 0, 0)},
		"letter spacing":    {`<text x="10" y="50" font-size="10" letter-spacing="2">I<tspan fill="red">H</tspan></text>`, geometry.RectXYWH(12+advance("I", typeset.Face{}, 10), 50, 0, 0)},
		"white space":       {"<text x='10' y='50' font-size='10'>\n  I \n <tspan fill='red'> H</tspan>\n</text>", geometry.RectXYWH(10+advance("I ", typeset.Face{}, 10), 50, 0, 0)},
		"kept white space":  {`<text x="10" y="50" font-size="10" xml:space="preserve"> I<tspan fill="red">H</tspan></text>`, geometry.RectXYWH(10+advance(" I", typeset.Face{}, 10), 50, 0, 0)},
		"word spacing":      {`<text x="10" y="50" font-size="10" word-spacing="3">I <tspan fill="red">H</tspan></text>`, geometry.RectXYWH(13+advance("I ", typeset.Face{}, 10), 50, 0, 0)},
		"bold by shorthand": {`<text x="10" y="50" style="font: bold 10px sans-serif">I<tspan fill="red">H</tspan></text>`, geometry.RectXYWH(10+advance("I", typeset.Face{Weight: 700}, 10), 50, 0, 0)},
	} {
		res := setText(t, c.inner)
		last := res.Layers[len(res.Layers)-1]
		if len(res.Layers) != 2 || last.Colour != (colour.RGB{R: 255}) {
			t.Errorf("%s: %d layers, last %s", name, len(res.Layers), last.Colour)
			continue
		}
		b := layerBounds(last)
		size, face := 10.0, typeset.Face{}
		if strings.Contains(c.inner, "2em") {
			size = 20
		}
		if strings.Contains(c.inner, "bold") {
			face.Weight = 700
		}
		bearing := setLine("H", face, size).Glyphs[0].Outline.Bounds().Min.X
		if math.Abs(b.Min.X-bearing-c.want.Min.X) > 1e-6 || math.Abs(b.Max.Y-c.want.Min.Y) > 1e-6 {
			t.Errorf("%s: H stands at %.4f, %.4f; want %.4f, %.4f", name, b.Min.X-bearing, b.Max.Y, c.want.Min.X, c.want.Min.Y)
		}
	}
}

func TestText_RotatesEachGlyph(t *testing.T) {
	b := layerBounds(setText(t, `<text x="50" y="50" font-size="20" rotate="90">H</text>`).Layers[0])
	if math.Abs(b.Min.X-50) > 1e-6 || b.Min.Y < 50 {
		t.Errorf("a letter turned by 90° lies at %v, want it right of and below 50, 50", b)
	}
}

// Shares of a text's box are shares of its letters' cells.
func TestText_IsClippedInSharesOfItsBox(t *testing.T) {
	h := advance("H", typeset.Face{}, 40)
	res := setText(t, `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><text x="10" y="50" font-size="40" clip-path="url(#c)">HH</text>`)
	s := res.Layers[0].Content.(job.Outlines).Shapes[0]
	m := typeset.Embedded().Metrics(typeset.Style{Size: 40})
	if len(s.Clips) != 1 {
		t.Fatalf("%d clips", len(s.Clips))
	}
	b := s.Clips[0].Shapes[0].Path.Bounds()
	if math.Abs(b.Min.X-10) > 1e-6 || math.Abs(b.Width()-h) > 1e-6 || math.Abs(b.Min.Y-(50-m.Ascent)) > 1e-6 || math.Abs(b.Max.Y-(50-m.Descent)) > 1e-6 {
		t.Errorf("clipped to %v, a letter is %g wide", b, h)
	}
}

// The language of letters is that of the nearest element that says one, and white
// space is kept where the nearest that says so wants it.
func TestText_LanguageAndWhiteSpaceComeFromAround(t *testing.T) {
	doc, err := parseTree(context.Background(), []byte(`<svg xmlns="http://www.w3.org/2000/svg" xml:lang="en" xml:space="preserve"><g><text id="a"> x<tspan xml:lang="tr">y</tspan>z</text></g>
		<g xml:lang="de" xml:space="default"><text id="b"> x</text></g></svg>`), 512)
	if err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]string{"a": " :en x:en y:tr z:en", "b": "x:de"} {
		n := doc.byID[id]
		keep, lang := inheritedSpace(n)
		im := newImporter(context.Background(), Options{Fonts: typeset.Embedded()}.withDefaults(), doc)
		c := collector{im: im, afterSpace: true}
		if err := c.element(n, initialStyle(), around{keepSpace: keep, lang: lang}); err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, ch := range c.chars {
			got = append(got, string(ch.r)+":"+ch.lang)
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%s: %q, want %q", id, s, want)
		}
	}
	st := with(initialStyle(), "font-kerning", "none", initialStyle())
	if f := st.textStyle().Features; len(f) != 1 || f[0].Tag != "kern" || f[0].Value != 0 {
		t.Errorf("%v", f)
	}
}

func TestText_MissingFontIsSaid(t *testing.T) {
	res := setText(t, `<text id="t" x="10" y="50" font-family="No Such Family, serif">H</text>`)
	if len(res.Warnings) != 1 || res.Warnings[0].ID != WarnFont || res.Warnings[0].Args["font"] != "No Such Family" || res.Warnings[0].Args["used"] == "" {
		t.Errorf("warnings %+v", res.Warnings)
	}
}

func TestText_ClipsAndIsCopied(t *testing.T) {
	res := setText(t, `<clipPath id="c"><text x="10" y="50" font-size="40">H</text></clipPath><rect width="100" height="100" clip-path="url(#c)"/>`)
	s := res.Layers[0].Content.(job.Outlines).Shapes[0]
	if len(s.Clips) != 1 || len(s.Clips[0].Shapes) != 1 {
		t.Errorf("%d clips", len(s.Clips))
	}
	res = setText(t, `<defs><text id="d" y="50" font-size="10">H</text></defs><use href="#d" x="10"/><use href="#d" x="40"/>`)
	if n := len(res.Layers[0].Content.(job.Outlines).Shapes); n != 2 {
		t.Errorf("%d shapes from two copies", n)
	}
}
