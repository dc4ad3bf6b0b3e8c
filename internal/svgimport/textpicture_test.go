//go:build oracle

package svgimport

import (
	"context"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/typeset"
)

// Pictures of text, set in the same font files by another library (resvg) and by
// us: at most 0.5 % of the pixels differ by more than 48 of 255.
func TestText_LooksAsResvgDrawsIt(t *testing.T) {
	r := oracle.StartRenderer(t)
	dir := t.TempDir()
	files := map[string]string{}
	for name, data := range map[string][]byte{"regular": goregular.TTF, "bold": gobold.TTF, "italic": goitalic.TTF, "bolditalic": gobolditalic.TTF} {
		files[name] = filepath.Join(dir, name+".ttf")
		if err := os.WriteFile(files[name], data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const dejavu = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"
	for _, c := range []struct{ name, family, inner string }{
		{"plain", "Go", `<text x="10" y="60" font-size="36">Affluent To</text>`},
		{"spans", "Go", `<text x="10" y="40" font-size="17">One <tspan fill="red" font-weight="bold">two <tspan font-size="26" fill="blue" dy="5">three</tspan></tspan> four<tspan x="10" dy="40" font-style="italic">five <tspan dx="10 5 5">six</tspan></tspan></text>`},
		{"anchors", "Go", `<text x="100" y="30" font-size="20" text-anchor="middle">Middle</text><text x="190" y="60" font-size="20" text-anchor="end">End of it</text><text x="100" y="90" font-size="20" text-anchor="middle">mid <tspan fill="red">red</tspan><tspan x="100" y="120" text-anchor="end">other</tspan></text>`},
		{"lists", "Go", `<text x="10 40 80" y="40 50 60" dx="0 5" font-size="24">abcdef<tspan x="20 60" y="90">gh</tspan></text>`},
		{"rotate", "Go", `<text x="20" y="60" font-size="24" rotate="0 20 -20 45">Rotated</text>`},
		{"spacing", "Go", `<text x="10" y="40" font-size="20" letter-spacing="3">Spaced out</text><text x="10" y="80" font-size="20" word-spacing="10">with more words</text><text x="100" y="120" font-size="16" text-anchor="middle" letter-spacing="-1">tighter</text>`},
		{"stroke", "Go", `<text x="10" y="70" font-size="60" fill="gold" stroke="navy" stroke-width="2" stroke-linejoin="round">Gold</text>`},
		{"white space", "Go", "<text x='10' y='40' font-size='20'>\n  a   b\n\tc <tspan> d</tspan>\n</text><text x='10' y='80' font-size='20' xml:space='preserve'>a   b  c</text>"},
		{"style sheet", "Go", `<style>.t{font-style:italic;font-size:24px;font-family:"Go",serif;fill:#a0a}tspan{font-weight:bold}</style><text class="t" x="10" y="50">Sheet <tspan>bold</tspan></text>`},
		{"base lines", "Go", `<path d="M0 40H200" stroke="red"/><text x="5" y="40" font-size="18" dominant-baseline="middle">mid</text><text x="50" y="40" font-size="18" dominant-baseline="central">cen</text><text x="95" y="40" font-size="18" dominant-baseline="hanging">hang</text><text x="150" y="40" font-size="18" dominant-baseline="text-after-edge">aft</text>`},
		{"shifted", "Go", `<text x="10" y="60" font-size="30">x<tspan baseline-shift="40%" font-size="18">2</tspan>+y<tspan baseline-shift="-5" font-size="18">i</tspan></text>`},
		{"decoration", "Go", `<text x="10" y="40" font-size="24" text-decoration="underline">Under <tspan fill="red">both</tspan></text><text x="10" y="90" font-size="24"><tspan text-decoration="line-through">through</tspan> not <tspan text-decoration="overline">over</tspan></text>`},
		// resvg measures curves to half a unit only, so these are in small units.
		{"on a path", "Go", `<g transform="scale(.01)"><path id="p" d="M2000 10000C6000 2000 14000 2000 18000 10000" fill="none" stroke="#ccc" stroke-width="100"/><text font-size="1800" fill="green"><textPath href="#p">Along the hill it goes</textPath></text></g>`},
		{"middle of a path", "Go", `<g transform="scale(.01)"><circle id="p" cx="10000" cy="7500" r="5000" fill="#eee"/><text font-size="1600" text-anchor="middle"><textPath href="#p" startOffset="50%">around and around</textPath></text></g>`},
		{"copies", "Go", `<defs><text id="d" font-size="20">Copy</text></defs><use href="#d" x="10" y="40" fill="red"/><use href="#d" x="60" y="90" transform="rotate(20)"/>`},
		{"opacity", "Go", `<rect width="100" height="150" fill="orange"/><text x="20" y="90" font-size="50" fill="blue" opacity=".5">See it</text>`},
		{"clip", "Go", `<clipPath id="c"><text x="5" y="100" font-size="90" font-weight="bold">CLIP</text></clipPath><rect width="200" height="150" fill="teal" clip-path="url(#c)"/>`},
		{"length", "Go", `<text x="10" y="40" font-size="20" textLength="170">stretched</text><text x="10" y="90" font-size="20" textLength="170" lengthAdjust="spacingAndGlyphs">stretched</text>`},
		{"transformed", "Go", `<g transform="skewX(20) scale(1.2 .8)"><text x="10" y="60" font-size="30">Skewed</text></g>`},
		{"units", "Go", `<g font-size="20"><text x="1em" y="20%" font-size="150%">em</text><text x="50%" y="3cm" font-size="12pt">points</text></g>`},
		{"ligatures", "DejaVu Sans", `<text x="10" y="60" font-size="36">office fluff</text>`},
		{"marks", "DejaVu Sans", `<text x="10" y="70" font-size="40">e&#x301;a&#x308;&#x304; q&#x323;&#x307;</text>`},
		{"Arabic", "DejaVu Sans", `<text x="180" y="70" font-size="32" text-anchor="end">&#x627;&#x644;&#x633;&#x644;&#x627;&#x645; &#x639;&#x644;&#x64a;&#x643;&#x645;</text>`},
		{"both ways", "DejaVu Sans", `<text x="5" y="70" font-size="20">ab &#x5e9;&#x5dc;&#x5d5;&#x5dd; 12 &#x5d0;&#x5d1; cd</text>`},
		{"Arabic in two colours", "DejaVu Sans", `<text x="10" y="70" font-size="32">&#x633;&#x644;<tspan fill="red">&#x627;&#x645;</tspan></text>`},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := []string{files["regular"], files["bold"], files["italic"], files["bolditalic"]}
			if c.family != "Go" {
				if _, err := os.Stat(dejavu); err != nil {
					t.Skip("no DejaVu Sans here: it is in the Debian package fonts-dejavu-core, which ./run test installs")
				}
				list = []string{dejavu}
			}
			svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 150" font-family="%s"><rect width="200" height="150" fill="#fff"/>%s</svg>`, c.family, c.inner)
			fonts, err := typeset.FromFiles(list...)
			if err != nil {
				t.Fatal(err)
			}
			res, err := Import(context.Background(), strings.NewReader(svg), Options{Fonts: fonts})
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range res.Warnings {
				t.Errorf("warning %+v", w)
			}
			want, err := r.RenderText([]byte(svg), 512, false, list...)
			if err != nil {
				t.Fatal(err)
			}
			got, err := r.Render([]byte(asPaths(res)), 512, false)
			if err != nil {
				t.Fatal(err)
			}
			off, ink := pixelsOff(got, want)
			share := float64(off) / float64(len(want.Pix)/4)
			t.Logf("%.3f %% of pixels off (%.2f %% of those that are not white)", 100*share, 100*float64(off)/float64(max(ink, 1)))
			if share > 0.005 || ink < 500 {
				t.Errorf("%d of %d pixels off, %d not white", off, len(want.Pix)/4, ink)
			}
		})
	}
}

// asPaths writes a result as plain paths.
func asPaths(res *Result) string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 150">`)
	clips := 0
	for _, l := range res.Layers {
		for _, s := range l.Content.(job.Outlines).Shapes {
			ref := ""
			for _, c := range s.Clips {
				var inside strings.Builder
				for _, k := range c.Shapes {
					fmt.Fprintf(&inside, `<path d="%s"/>`, pathData(k.Path))
				}
				clips++
				fmt.Fprintf(&b, `<clipPath id="c%d">%s</clipPath>`, clips, inside.String())
				ref = fmt.Sprintf(` clip-path="url(#c%d)"`, clips)
			}
			fmt.Fprintf(&b, `<path fill="%s" fill-opacity="%v" fill-rule="%s" d="%s"%s/>`, l.Colour, l.Alpha, map[geometry.FillRule]string{geometry.EvenOdd: "evenodd"}[s.Rule], pathData(s.Path), ref)
		}
	}
	b.WriteString(`</svg>`)
	return b.String()
}

func pathData(p geometry.Path) string {
	var b strings.Builder
	num := func(cmd string, ps ...geometry.Point) {
		b.WriteString(cmd)
		for _, q := range ps {
			b.WriteString(strconv.FormatFloat(q.X, 'g', -1, 64) + " " + strconv.FormatFloat(q.Y, 'g', -1, 64) + " ")
		}
	}
	for _, c := range p {
		num("M", c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				num("C", s.C1, s.C2, s.End)
			} else {
				num("L", s.End)
			}
		}
		if c.Closed {
			b.WriteString("Z")
		}
	}
	return b.String()
}

func pixelsOff(a, b *image.RGBA) (off, ink int) {
	for i := 0; i < len(a.Pix); i += 4 {
		differs, white := false, true
		for k := range 3 {
			d := int(a.Pix[i+k]) - int(b.Pix[i+k])
			differs = differs || d > 48 || d < -48
			white = white && b.Pix[i+k] > 250
		}
		if differs {
			off++
		}
		if !white {
			ink++
		}
	}
	return off, ink
}
