package svgimport

import (
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// Text with the name of a column in braces stays text, where and as large as it was drawn, whatever its file does to it; all
// other text, and what cannot be set so again, becomes outlines that look the same.
func TestMarked_StaysTextWhereItIsDrawn(t *testing.T) {
	for name, c := range map[string]struct {
		svg  string
		text string
	}{
		"plain":               {`<text x="10" y="50" font-size="10" fill="#a00">{name}</text>`, "{name}"},
		"among words":         {`<text x="10" y="50" font-size="10" fill="#a00">No.  {number} of 9</text>`, "No. {number} of 9"},
		"by its name":         {`<text id="{name}" x="10" y="50" font-size="10" fill="#a00">Ada</text>`, "Ada"},
		"bold in the middle":  {`<text x="50" y="50" font-size="10" font-weight="bold" font-style="italic" text-anchor="middle" fill="#a00">{name}</text>`, "{name}"},
		"at the end, spaced":  {`<text x="90" y="50" font-size="10" letter-spacing="2" text-anchor="end" fill="currentColor" color="#a00">{name}</text>`, "{name}"},
		"in a span":           {`<text x="10" y="50" font-size="10" fill="#a00"><tspan x="20" y="30">{name}</tspan></text>`, "{name}"},
		"turned and squeezed": {`<g transform="translate(30 10) rotate(20) scale(2 1.5)"><text x="1" y="20" font-size="6" fill="#a00">{name}</text></g>`, "{name}"},
		"of a list of fonts":  {`<text x="10" y="50" font-family="No such one, monospace" font-size="10" fill="#a00">{name}</text>`, "{name}"},

		"no mark":           {`<text x="10" y="50" font-size="10" fill="#a00">Ada</text>`, ""},
		"two styles":        {`<text x="10" y="50" font-size="10" fill="#a00">No. <tspan font-weight="bold">{n}</tspan></text>`, ""},
		"letters turned":    {`<text x="10" y="50" font-size="10" rotate="20" fill="#a00">{name}</text>`, ""},
		"stretched":         {`<text x="10" y="50" font-size="10" textLength="80" fill="#a00">{name}</text>`, ""},
		"underlined":        {`<text x="10" y="50" font-size="10" text-decoration="underline" fill="#a00">{name}</text>`, ""},
		"outlined":          {`<text x="10" y="50" font-size="10" stroke="#000" fill="#a00">{name}</text>`, ""},
		"clipped":           {`<clipPath id="c"><rect width="20" height="100"/></clipPath><text clip-path="url(#c)" x="10" y="50" font-size="10" fill="#a00">{name}</text>`, ""},
		"larger than texts": {`<g transform="scale(.001)"><text x="10" y="50000" font-size="10000" fill="#a00">{name}</text></g>`, ""},
		"along a path":      {`<path id="p" d="M10 50 Q50 10 90 50" fill="none"/><text font-size="10" fill="#a00"><textPath href="#p">{name}</textPath></text>`, ""},
	} {
		res := setText(t, c.svg)
		if len(res.Layers) == 0 {
			t.Errorf("%s: nothing", name)
			continue
		}
		text, is := res.Layers[0].Content.(job.Text)
		if is != (c.text != "") || text.Text != c.text {
			t.Errorf("%s: text %v %q, want %q", name, is, text.Text, c.text)
			continue
		}
		if !is {
			continue
		}
		// A gradient makes outlines of it.
		gradient := `<linearGradient id="g"><stop stop-color="#a00"/><stop offset="1" stop-color="#a01"/></linearGradient>`
		plain := setText(t, gradient+strings.NewReplacer(`fill="#a00"`, `fill="url(#g)"`, `fill="currentColor"`, `fill="url(#g)"`).Replace(c.svg))
		if len(res.Layers) != 1 || !sameOutlines(outlinesOf(res.Layers[0]), outlinesOf(plain.Layers[0]), 1e-4) {
			t.Errorf("%s: %d layers, or other outlines than were drawn", name, len(res.Layers))
		}
	}
}

// outlinesOf are a layer's outlines in the file's units.
func outlinesOf(l job.Layer) (path geometry.Path) {
	for _, s := range job.Shapes(l.Content) {
		path = append(path, s.Path.Transform(l.Transform)...)
	}
	return path
}

// Of two texts of one colour only what has a mark stays text, as a layer of its own.
func TestMarked_IsALayerOfItsOwn(t *testing.T) {
	res := setText(t, `<text x="10" y="20" font-size="10" fill="#a00">For</text><text x="10" y="40" font-size="10" fill="#a00">{name}</text>
<text x="10" y="60" font-size="10" fill="#a00">from</text><text x="10" y="80" font-size="10" fill="#a00">{giver}</text>`)
	var texts []string
	for _, l := range res.Layers {
		if text, is := l.Content.(job.Text); is {
			texts = append(texts, l.Name+"="+text.Text)
		}
	}
	if len(res.Layers) != 4 || len(texts) != 2 || texts[0] != "{name}={name}" || texts[1] != "{giver}={giver}" {
		t.Errorf("%d layers, texts %v", len(res.Layers), texts)
	}
}
