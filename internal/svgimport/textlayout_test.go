package svgimport

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/typeset"
)

// origins returns where the letters' own origins lie in a picture of H's: the
// lower left corner of each letter less its bearing, in drawing order. One shape
// holds the letters of one stretch; each H is one contour.
func origins(t *testing.T, inner string, size float64) []geometry.Point {
	t.Helper()
	bearing := setLine("H", typeset.Face{}, size).Glyphs[0].Outline.Bounds().Min.X
	var out []geometry.Point
	for _, l := range setText(t, inner).Layers {
		for _, s := range l.Content.(job.Outlines).Shapes {
			for _, c := range s.Path {
				b := geometry.Path{c}.Bounds()
				out = append(out, geometry.Pt(b.Min.X-bearing, b.Max.Y))
			}
		}
	}
	return out
}

// Positions by SVG 2, 11.4: lists, inner elements, chunks.
func TestText_WhereLettersStand(t *testing.T) {
	h := advance("H", typeset.Face{}, 10)
	gap := advance(" ", typeset.Face{}, 10)
	m := typeset.Embedded().Metrics(typeset.Style{Size: 10})
	p := geometry.Pt
	for name, c := range map[string]struct {
		inner string
		want  []geometry.Point
	}{
		"x and y lists":                  {`<text x="10 30" y="50 60">HHH</text>`, []geometry.Point{p(10, 50), p(30, 60), p(30+h, 60)}},
		"y alone begins a chunk":         {`<text x="10" y="50 60">HH</text>`, []geometry.Point{p(10, 50), p(10+h, 60)}},
		"inner lists end":                {`<text x="10" y="50">H<tspan dx="0 20" dy="0 5 9">H</tspan>H</text>`, []geometry.Point{p(10, 50), p(10+h, 50), p(10+2*h, 50)}},
		"inner lists win":                {`<text x="10 20 30 40" y="50">H<tspan x="70">HH</tspan>H</text>`, []geometry.Point{p(10, 50), p(70, 50), p(30, 50), p(40, 50)}},
		"nested spans":                   {`<text x="10" y="50">H<tspan dx="1">H<tspan dy="2" fill="red">H</tspan></tspan>H</text>`, []geometry.Point{p(10, 50), p(11+h, 50), p(11+2*h, 52), p(11+3*h, 52)}},
		"relative to absolute":           {`<text x="10" y="50" dx="3" dy="-2">H</text>`, []geometry.Point{p(13, 48)}},
		"collapsed space is no letter":   {"<text x='10 20 30' y='50'>\n  H \n H</text>", []geometry.Point{p(10, 50), p(30, 50)}},
		"kept space is a letter":         {`<text x="10 20 30" y="50" xml:space="preserve"> H H</text>`, []geometry.Point{p(20, 50), p(30+gap, 50)}},
		"white-space pre":                {`<text x="10" y="50" style="white-space:pre">  H</text>`, []geometry.Point{p(10+2*gap, 50)}},
		"space kept in a span only":      {`<text x="10" y="50">H <tspan xml:space="preserve">  H</tspan></text>`, []geometry.Point{p(10, 50), p(10+h+3*gap, 50)}},
		"percent and em":                 {`<text x="10%" y="2em" dx="1em">H</text>`, []geometry.Point{p(20, 20)}},
		"middle of each chunk":           {`<text x="50" y="20" text-anchor="middle">HH<tspan x="60" y="40">HHH</tspan></text>`, []geometry.Point{p(50-h, 20), p(50, 20), p(60-1.5*h, 40), p(60-0.5*h, 40), p(60+0.5*h, 40)}},
		"anchor of the chunk's first":    {`<text x="50" y="20" text-anchor="end">H<tspan text-anchor="start" fill="red">H</tspan></text>`, []geometry.Point{p(50-2*h, 20), p(50-h, 20)}},
		"trailing space does not count":  {`<text x="50" y="20" text-anchor="end">HH </text>`, []geometry.Point{p(50-2*h, 20), p(50-h, 20)}},
		"right to left starts at right":  {`<text x="50" y="20" direction="rtl">HH</text>`, []geometry.Point{p(50-2*h, 20), p(50-h, 20)}},
		"right to left ends at left":     {`<text x="50" y="20" direction="rtl" text-anchor="end">HH</text>`, []geometry.Point{p(50, 20), p(50+h, 20)}},
		"hidden takes room":              {`<text x="10" y="50">H<tspan visibility="hidden">H</tspan>H</text>`, []geometry.Point{p(10, 50), p(10+2*h, 50)}},
		"display none takes none":        {`<text x="10" y="50">H<tspan display="none">H</tspan>H</text>`, []geometry.Point{p(10, 50), p(10+h, 50)}},
		"link inside":                    {`<text x="10" y="50">H<a href="#">H</a></text>`, []geometry.Point{p(10, 50), p(10+h, 50)}},
		"title is not text":              {`<text x="10" y="50"><title>Name</title>H</text>`, []geometry.Point{p(10, 50)}},
		"middle base line":               {`<text x="10" y="50" dominant-baseline="middle">H</text>`, []geometry.Point{p(10, 50+m.XHeight/2)}},
		"central base line":              {`<text x="10" y="50" dominant-baseline="central">H</text>`, []geometry.Point{p(10, 50+(m.Ascent+m.Descent)/2)}},
		"hanging base line":              {`<text x="10" y="50"><tspan style="dominant-baseline:hanging">H</tspan></text>`, []geometry.Point{p(10, 50+0.8*m.Ascent)}},
		"text-before-edge of a span":     {`<text x="10" y="50">H<tspan alignment-baseline="text-before-edge">H</tspan></text>`, []geometry.Point{p(10, 50), p(10+h, 50+m.Ascent)}},
		"shifts add up":                  {`<text x="10" y="50">H<tspan baseline-shift="3">H<tspan baseline-shift="20%">H</tspan></tspan>H</text>`, []geometry.Point{p(10, 50), p(10+h, 47), p(10+2*h, 45), p(10+3*h, 50)}},
		"length spreads letters":         {`<text x="10" y="50" textLength="60">HHH</text>`, []geometry.Point{p(10, 50), p(40-h/2, 50), p(70-h, 50)}},
		"length of a span":               {`<text x="10" y="50">H<tspan textLength="40">HH</tspan>H</text>`, []geometry.Point{p(10, 50), p(10+h, 50), p(50, 50), p(50+h, 50)}},
		"length is apart from positions": {`<text x="10 20 30" y="50" textLength="90">HHH</text>`, []geometry.Point{p(10, 50), p(20, 50), p(30, 50)}},
		"along a straight path":          {`<path id="p" d="M10 50H90" fill="none"/><text><textPath href="#p" startOffset="5">HH</textPath></text>`, []geometry.Point{p(15, 50), p(15+h, 50)}},
		"share of a path":                {`<path id="p" d="M10 50H90" fill="none"/><text text-anchor="middle"><textPath href="#p" startOffset="50%">HH</textPath></text>`, []geometry.Point{p(50-h, 50), p(50, 50)}},
		"path with a length of its own":  {`<path id="p" d="M10 50H90" pathLength="8" fill="none"/><text><textPath href="#p" startOffset="4">H</textPath></text>`, []geometry.Point{p(50, 50)}},
		"path with a transform":          {`<path id="p" d="M10 50H90" transform="translate(0 7)" fill="none"/><text><textPath href="#p">H</textPath></text>`, []geometry.Point{p(10, 57)}},
		"above its path":                 {`<path id="p" d="M10 50H90" fill="none"/><text><textPath href="#p"><tspan dy="-4">H</tspan></textPath></text>`, []geometry.Point{p(10, 46)}},
		"text after edge":                {`<text x="10" y="50" dominant-baseline="text-after-edge">H</text>`, []geometry.Point{p(10, 50+m.Descent)}},
		"mathematical base line":         {`<text x="10" y="50" dominant-baseline="mathematical">H</text>`, []geometry.Point{p(10, 50+m.Ascent/2)}},
		"no such base line":              {`<text x="10" y="50" dominant-baseline="sideways">H</text>`, []geometry.Point{p(10, 50)}},
		"below and above":                {`<text x="10" y="50">H<tspan baseline-shift="sub">H</tspan><tspan baseline-shift="super">H</tspan></text>`, []geometry.Point{p(10, 50), p(10+h, 50-m.Subscript), p(10+2*h, 50-m.Superscript)}},
		"shifts that say nothing":        {`<text x="10" y="50"><tspan baseline-shift="baseline">H</tspan><tspan baseline-shift="up">H</tspan></text>`, []geometry.Point{p(10, 50), p(10+h, 50)}},
		"x along a path":                 {`<path id="p" d="M10 50H90" fill="none"/><text x="7"><textPath href="#p">H</textPath></text>`, []geometry.Point{p(17, 50)}},
		"path inside a path":             {`<text><textPath path="M20 30H90">H<textPath path="M0 0H90">H</textPath></textPath></text>`, []geometry.Point{p(20, 30)}},
		"white space is collapsed":       {`<text x="10" y="50" xml:space="preserve"><tspan style="white-space:normal">  H  H</tspan></text>`, []geometry.Point{p(10, 50), p(10+h+gap, 50)}},
		"white space is kept by style":   {`<text x="10" y="50" style="white-space:pre">  H</text>`, []geometry.Point{p(10+2*gap, 50)}},
		"white space is kept around":     {`<g xml:space="preserve"><text x="10" y="50">  H</text></g>`, []geometry.Point{p(10+2*gap, 50)}},
		"lists end at nonsense":          {`<text x="10 20 what 40" y="50">HHH</text>`, []geometry.Point{p(10, 50), p(20, 50), p(20+h, 50)}},
		"a turn ends with its span":      {`<text x="10" y="50">H<tspan rotate="0">H</tspan>H</text>`, []geometry.Point{p(10, 50), p(10+h, 50), p(10+2*h, 50)}},
		"length of one letter":           {`<text x="10" y="50" textLength="60">H</text>`, []geometry.Point{p(10, 50)}},
		"length below 0":                 {`<text x="10" y="50" textLength="-5">HH</text>`, []geometry.Point{p(10, 50), p(10+h, 50)}},
		"a short length":                 {`<text x="10" y="50" textLength=".5">HH</text>`, []geometry.Point{p(10, 50), p(10.5-h, 50)}},
		"goes on after its path":         {`<path id="p" d="M10 50H60" fill="none"/><text><textPath href="#p">H</textPath><tspan>H</tspan></text>`, []geometry.Point{p(10, 50), p(60, 50)}},
		"a path of its own":              {`<text><textPath path="M20 30H90">H</textPath></text>`, []geometry.Point{p(20, 30)}},
	} {
		got := origins(t, `<g font-size="10">`+c.inner+`</g>`, 10)
		if !slices.EqualFunc(got, c.want, func(a, b geometry.Point) bool { return a.Sub(b).Len() < 1e-6 }) {
			t.Errorf("%s: letters stand at\n%v, want\n%v", name, got, c.want)
		}
	}
}

// An H on the right side of a line that runs to the right stands on its head.
func TestText_OnTheRightSideOfAPath(t *testing.T) {
	b := layerBounds(setText(t, `<path id="p" d="M10 50H90" fill="none"/><text font-size="20"><textPath href="#p" side="right">H</textPath></text>`).Layers[0])
	if b.Min.Y < 50-1e-6 || b.Max.X > 90+1e-6 || b.Min.X < 60 {
		t.Errorf("bounds %v", b)
	}
}

// CSS Fonts 4, 2.7 and 2.5: what is set is as bold and as large as the same in
// single properties.
func TestText_FontShorthand(t *testing.T) {
	for style, want := range map[string]struct {
		size float64
		face typeset.Face
	}{
		`font:10px Go`:                                   {10, typeset.Face{}},
		`font:bold 10px/1.5 Go, serif`:                   {10, typeset.Face{Weight: 700}},
		`font:italic 600 12px / 2 'Go'`:                  {12, typeset.Face{Weight: 600, Italic: true}},
		`font:small-caps oblique 1.5em "No, Such",Go`:    {24, typeset.Face{Italic: true}},
		`font:condensed 10pt Go Mono`:                    {10 * 4.0 / 3, typeset.Face{Families: []string{"Go Mono"}}},
		`font-weight:bold;font:10px Go`:                  {10, typeset.Face{}},
		`font:10px Go;font-weight:bold`:                  {10, typeset.Face{Weight: 700}},
		`font:10px Go;font-size:20px`:                    {20, typeset.Face{}},
		`font-size:20px;font:10px Go`:                    {10, typeset.Face{}},
		`font:caption;font-size:11px`:                    {11, typeset.Face{}},
		`font-size:large;font-family:"Go Mono"`:          {19.2, typeset.Face{Families: []string{"Go Mono"}}},
		`font-size:50%`:                                  {8, typeset.Face{}},
		`font-size:-5px`:                                 {16, typeset.Face{}},
		`font-weight:bolder;font-size:smaller`:           {16 / 1.2, typeset.Face{Weight: 700}},
		`font:10px Go!important;font:bold 20px Go Mono`:  {10, typeset.Face{}},
		`font-size:2em;letter-spacing:0;font-style:none`: {32, typeset.Face{}},
	} {
		im := newImporter(context.Background(), Options{}, &document{})
		st := im.compute(&node{name: "text", attrs: []attr{{"style", style}}}, initialStyle())
		got := st.textStyle()
		if math.Abs(got.Size-want.size) > 1e-9 || max(got.Weight, 400) != max(want.face.Weight, 400) || got.Italic != want.face.Italic {
			t.Errorf("%s: %+v", style, got)
		}
		if want.face.Families != nil && !slices.Equal(got.Families, want.face.Families) {
			t.Errorf("%s: families %q", style, got.Families)
		}
	}
	if got := families(`'A, B' , "C",D  E,,`); !slices.Equal(got, []string{"A, B", "C", "D E"}) {
		t.Errorf("families %q", got)
	}
}

// A line under, over or through letters that follow each other on one base line is
// one bar; it begins anew where they do not.
func TestText_LinesAreBarsAlongTheLetters(t *testing.T) {
	h := advance("H", typeset.Face{}, 10)
	m := typeset.Embedded().Metrics(typeset.Style{Size: 10})
	bars := func(inner string) (out []geometry.Rect) {
		for _, l := range setText(t, `<g font-size="10" fill="red">`+inner+`</g>`).Layers {
			if l.Colour.R == 255 {
				for _, s := range l.Content.(job.Outlines).Shapes {
					for _, c := range s.Path {
						out = append(out, geometry.Path{c}.Bounds())
					}
				}
			}
		}
		return out
	}
	bar := func(x, y, width, thick float64) geometry.Rect { return geometry.RectXYWH(x, y-thick/2, width, thick) }
	under, over, through := 50-m.Underline, 50-m.Ascent, 50-m.Strike
	for inner, want := range map[string][]geometry.Rect{
		`<text x="10" y="50" text-decoration="underline"><tspan fill="blue">HHH</tspan></text>`:            {bar(10, under, 3*h, m.UnderlineThickness)},
		`<text x="10" y="50" text-decoration="overline"><tspan fill="blue">HHH</tspan></text>`:             {bar(10, over, 3*h, m.UnderlineThickness)},
		`<text x="10" y="50" text-decoration="line-through"><tspan fill="blue">HHH</tspan></text>`:         {bar(10, through, 3*h, m.StrikeThickness)},
		`<text x="10" y="50" text-decoration="underline"><tspan fill="blue" dx="0 0 7">HHH</tspan></text>`: {bar(10, under, 2*h, m.UnderlineThickness), bar(17+2*h, under, h, m.UnderlineThickness)},
		`<text x="10" y="50" text-decoration="underline"><tspan fill="blue" dy="0 4">HH</tspan></text>`:    {bar(10, under, h, m.UnderlineThickness), bar(10+h, under+4, h, m.UnderlineThickness)},
		`<text x="10" y="50" text-decoration="none"><tspan fill="blue">HHH</tspan></text>`:                 nil,
	} {
		got := bars(inner)
		if !slices.EqualFunc(got, want, func(a, b geometry.Rect) bool {
			return a.Min.Sub(b.Min).Len() < 1e-6 && a.Max.Sub(b.Max).Len() < 1e-6
		}) {
			t.Errorf("%s: bars\n%v, want\n%v", inner, got, want)
		}
	}
}

// Text is painted like any shape; the box that gradients refer to is that of the
// whole element.
func TestText_Paint(t *testing.T) {
	for name, c := range map[string]struct {
		inner string
		want  []string // colour at alpha, bottom first
	}{
		"fill and stroke":   {`<text y="50" fill="red" stroke="blue">H</text>`, []string{"#ff0000@1", "#0000ff@1"}},
		"stroke first":      {`<text y="50" fill="red" stroke="blue" paint-order="stroke">H</text>`, []string{"#0000ff@1", "#ff0000@1"}},
		"see-through span":  {`<text y="50" fill="red">H<tspan opacity=".5">H</tspan></text>`, []string{"#ff0000@1", "#ff0000@0.5"}},
		"text order":        {`<text y="50">H<tspan fill="red">H</tspan>H</text>`, []string{"#000000@1", "#ff0000@1", "#000000@1"}},
		"underline below":   {`<text y="50" text-decoration="underline" fill="red"><tspan fill="blue">H</tspan></text>`, []string{"#ff0000@1", "#0000ff@1"}},
		"line through over": {`<text y="50" text-decoration="line-through" fill="red"><tspan fill="blue">H</tspan></text>`, []string{"#0000ff@1", "#ff0000@1"}},
		"nothing":           {`<rect width="1" height="1"/><text y="50" fill="none">H</text>`, []string{"#000000@1"}},
	} {
		var got []string
		for _, l := range setText(t, c.inner).Layers {
			got = append(got, fmt.Sprintf("%s@%v", l.Colour, l.Alpha))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

func TestText_NamesOfLayers(t *testing.T) {
	for name, c := range map[string]struct {
		inner string
		want  []string
	}{
		"the text":          {"<text y='50'>Happy\n  birthday</text>", []string{"Happy birthday"}},
		"one for one paint": {`<text y="50">Happy <tspan font-weight="bold">birthday</tspan></text>`, []string{"Happy birthday"}},
		"each its own":      {`<text y="50">Happy <tspan fill="red">birthday</tspan></text>`, []string{"Happy", "birthday"}},
		"an id that speaks": {`<text id="greeting" y="50">Happy</text>`, []string{"greeting"}},
		"an id that's made": {`<text id="text42" y="50">Happy</text>`, []string{"Happy"}},
		"a very long one":   {`<text y="50">` + strings.Repeat("é", 600) + `</text>`, []string{strings.Repeat("é", 29) + "…"}},
		"thirty letters":    {`<text y="50">` + strings.Repeat("é", 30) + `</text>`, []string{strings.Repeat("é", 30)}},
		"a long one":        {`<text y="50">` + strings.Repeat("abcd ", 20) + `</text>`, []string{"abcd abcd abcd abcd abcd abcd…"}},
	} {
		var got []string
		for _, l := range setText(t, c.inner).Layers {
			got = append(got, l.Name)
		}
		if name == "a long one" && len(got) == 1 && len([]rune(got[0])) == 30 && strings.HasSuffix(got[0], "…") {
			continue
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// Every warning about text, with what it tells.
func TestText_Warnings(t *testing.T) {
	for name, c := range map[string]struct {
		inner, id, arg, value string
	}{
		"missing font":      {`<text id="w" y="50" font-family="No Such, serif" font-weight="bold">H</text>`, WarnFont, "font", "No Such Bold"},
		"what was used":     {`<text id="w" y="50" font-family="No Such" font-style="italic">H</text>`, WarnFont, "used", "Go Italic"},
		"lost letters":      {`<text y="50">H<tspan id="w">&#x4e16;</tspan></text>`, WarnLettersLost, "letters", "\u4e16"},
		"tref":              {`<text y="50">H<tref id="w" href="#t"/></text>`, WarnText, "", ""},
		"animated span":     {`<text y="50">H<animate id="w"/></text>`, WarnAnimation, "", ""},
		"a turned path":     {`<path id="w" d="M0 50H90" fill="none" transform="turn(3)"/><text><textPath href="#w">H</textPath></text>`, WarnTransform, "", ""},
		"a far path":        {`<text><textPath id="w" path="M0 50H1e12">H</textPath></text>`, WarnText, "", ""},
		"a path of a point": {`<text><textPath id="w" path="M5 5z">H</textPath></text>`, WarnText, "", ""},
		"no such path":      {`<text><textPath id="w" href="#none">H</textPath></text>`, WarnText, "", ""},
		"a path elsewhere":  {`<text><textPath id="w" href="other.svg#p">H</textPath></text>`, WarnExternal, "target", "other.svg#p"},
		"an empty path":     {`<path id="p" d="M5 5"/><text><textPath id="w" href="#p">H</textPath></text>`, WarnText, "", ""},
		"past the path":     {`<text><textPath id="w" path="M0 50H20">HHHHHH</textPath></text>`, WarnTextPastPath, "", ""},
		"vertical":          {`<text id="w" y="50" writing-mode="tb">H</text>`, WarnTextVertical, "", ""},
		"too long":          {`<text id="w" y="50" font-size="0">` + strings.Repeat("h", maxChars+1) + `</text>`, WarnTextLong, "limit", "32768"},
	} {
		res := setText(t, `<rect width="5" height="5"/>`+"\n"+c.inner)
		if len(res.Warnings) != 1 {
			t.Errorf("%s: %d warnings %+v", name, len(res.Warnings), res.Warnings)
			continue
		}
		w := res.Warnings[0]
		if w.ID != c.id || w.Line != 2 || !strings.HasSuffix(w.Element, "#w") || c.arg != "" && w.Args[c.arg] != c.value {
			t.Errorf("%s: %+v", name, w)
		}
	}
}

func TestText_OneWarningForOneFont(t *testing.T) {
	res := setText(t, strings.Repeat(`<text y="50" font-family="No Such">H</text>`, 50)+`<text y="50" font-family="Other">H</text>`)
	if len(res.Warnings) != 2 || res.Warnings[0].Args["font"] != "No Such" || res.Warnings[1].Args["font"] != "Other" {
		t.Errorf("%d warnings %+v", len(res.Warnings), res.Warnings)
	}
}

func TestText_NotesBecomeWarnings(t *testing.T) {
	im := newImporter(context.Background(), Options{}, &document{})
	n := &node{name: "text", id: "w", line: 3}
	im.noteText([]typeset.Note{{Kind: typeset.LettersElsewhere, Wanted: "A", Used: []string{"B", "C"}, Letters: "x y"}}, func(int) *node { return n })
	if len(im.warnings) != 1 || im.warnings[0].ID != WarnLetters || im.warnings[0].Args["used"] != "B, C" || im.warnings[0].Args["letters"] != "x y" || im.warnings[0].Line != 3 {
		t.Errorf("%+v", im.warnings)
	}
}

// Fonts are looked for when text is met, and not before.
func TestText_NoTextNoFonts(t *testing.T) {
	for inner, want := range map[string]bool{
		`<rect width="9" height="9"/><title>Name</title>`:                           false,
		`<rect width="9" height="9"/><text> </text>`:                                false,
		`<rect width="9" height="9"/><defs><text>not drawn</text></defs>`:           false,
		`<rect width="9" height="9"/><text display="none">not drawn</text>`:         false,
		`<rect width="9" height="9"/><text y="50">drawn</text>`:                     true,
		`<rect width="9" height="9"/><text y="50" visibility="hidden">drawn</text>`: true,
	} {
		doc, err := parseTree(context.Background(), []byte(page100(inner)), 512)
		if err != nil {
			t.Fatal(err)
		}
		im := newImporter(context.Background(), Options{}.withDefaults(), doc)
		if err := im.root(readPage(doc.root, initialStyle())); err != nil {
			t.Fatal(err)
		}
		if got := im.opt.Fonts != nil; got != want {
			t.Errorf("%s: fonts looked for: %v", inner, got)
		}
	}
}

// Text that is copied again and again ends in an error, soon.
func TestText_Bombs(t *testing.T) {
	long := strings.Repeat("word ", 6000)
	for name, inner := range map[string]string{
		"copies":          bomb(8, `<text>`+long+`</text>`),
		"sizeless copies": bomb(8, `<text font-size="0">`+long+`</text>`),
	} {
		if testing.Short() && name == "copies" {
			continue // outlines of a quarter of a million letters
		}
		_, err := Import(context.Background(), strings.NewReader(inner), Options{Fonts: typeset.Embedded()})
		var e *Error
		if !errors.As(err, &e) || e.ID != ErrLetters && e.ID != ErrComplex {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestText_Cancels(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Millisecond)
	defer cancel()
	_, err := Import(ctx, strings.NewReader(page100(strings.Repeat(`<text y="50">Some words and more of them</text>`, 40000))), Options{Fonts: typeset.Embedded()})
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("error %v", err)
	}
}

// Whatever text is in a picture, and however it is placed.
func FuzzText(f *testing.F) {
	for _, s := range []string{
		`<text x="1 2" y="3" dx="1em" rotate="5 6">abc<tspan x="5">d</tspan></text>`,
		`<text text-anchor="end" letter-spacing="1e9" textLength="5">abc</text>`,
		`<path id="p" d="M0 0C1 2 3 4 5 6"/><text><textPath href="#p" startOffset="-5%">abc<tspan dy="3">d</tspan></textPath>e</text>`,
		`<text><textPath path="M0 0A5 5 0 1 1 0 1z" side="right">` + "\u0633\u0644\u0627\u0645 e\u0301" + `</textPath></text>`,
		`<text style="font:bold 1e30px/0 a,b;text-decoration:underline line-through;baseline-shift:super">x</text>`,
		`<text font-size="1e-300" textLength="1e300" lengthAdjust="spacingAndGlyphs">xy</text>`,
		`<clipPath id="c"><text y="9">X</text></clipPath><text clip-path="url(#c)" fill="url(#c)" direction="rtl" xml:space="preserve"> a ` + "\u05d0" + `</text>`,
	} {
		f.Add(s)
	}
	fonts := typeset.Embedded()
	f.Fuzz(func(t *testing.T, inner string) {
		ctx, cancel := context.WithTimeout(context.Background(), hangs)
		defer cancel()
		res, err := Import(ctx, strings.NewReader(page100(`<rect width="9" height="9"/>`+inner)), Options{Fonts: fonts, MaxLeaves: 1000, MaxSegments: 1 << 18})
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.ID == "" {
				t.Fatalf("error of another kind: %v", err)
			}
			return
		}
		for _, l := range res.Layers {
			if l.Name == "" {
				t.Fatalf("layer %+v", l)
			}
			for _, s := range l.Content.(job.Outlines).Shapes {
				checkShape(t, s)
			}
		}
	})
}
