package svgimport

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/encoding/charmap"
)

func bomb(levels int, leaf string) string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><defs><g id="a0">` + leaf + `</g>`)
	for i := 1; i <= levels; i++ {
		fmt.Fprintf(&b, `<g id="a%d"><use href="#a%d"/><use href="#a%d"/></g>`, i, i-1, i-1)
	}
	fmt.Fprintf(&b, `</defs><use href="#a%d"/></svg>`, levels)
	return b.String()
}

func entityBomb() string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a0 "ha">`)
	for i := 1; i < 30; i++ {
		fmt.Fprintf(&b, `<!ENTITY a%d "&a%d;&a%d;&a%d;">`, i, i-1, i-1, i-1)
	}
	b.WriteString(`]><svg xmlns="http://www.w3.org/2000/svg"><desc>&a29;</desc></svg>`)
	return b.String()
}

func manyEntities(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<!ENTITY e%d "">`, i)
	}
	return b.String()
}

// Every file that cannot be used is a typed error, soon.
func TestImport_BadFiles(t *testing.T) {
	const rect = `<rect width="5" height="5"/>`
	for name, c := range map[string]struct{ svg, id string }{
		"empty":                {"", ErrEmpty},
		"blank":                {" \n\t ", ErrEmpty},
		"text":                 {"hello", ErrNotSVG},
		"html":                 {"<!DOCTYPE html><html><body>x</body></html>", ErrNotSVG},
		"json":                 {`{"a":1}`, ErrNotSVG},
		"png":                  {"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", ErrNotSVG},
		"other root":           {`<a xmlns="http://www.w3.org/2000/svg"/>`, ErrNotSVG},
		"svg of other kind":    {`<svg xmlns="http://example.org/other"/>`, ErrNotSVG},
		"comment only":         {"<!-- nothing -->", ErrNotSVG},
		"truncated":            {page100(rect)[:120], ErrTruncated},
		"truncated in a tag":   {page100("<g>" + rect)[:137], ErrTruncated},
		"broken":               {"<svg xmlns='http://www.w3.org/2000/svg'><g></svg>", ErrXML},
		"unknown entity":       {"<svg xmlns='http://www.w3.org/2000/svg'><desc>&what;</desc></svg>", ErrXML},
		"encoding":             {`<?xml version="1.0" encoding="ebcdic"?><svg/>`, ErrEncoding},
		"entity bomb":          {entityBomb(), ErrEntities},
		"entity cycle":         {`<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]><svg xmlns="http://www.w3.org/2000/svg"/>`, ErrEntities},
		"entities galore":      {`<!DOCTYPE svg [` + manyEntities(maxEntities+1) + `]><svg xmlns="http://www.w3.org/2000/svg"/>`, ErrEntities},
		"nothing but entities": {`<!DOCTYPE svg [` + manyEntities(maxEntities) + `]><svg xmlns="http://www.w3.org/2000/svg"/>`, ErrNothing},
		"entity without end":   {`<!DOCTYPE svg [<!ENTITY a "b]><svg xmlns="http://www.w3.org/2000/svg"/>`, ErrNotSVG},
		"entity of a name":     {`<!DOCTYPE svg [<!ENTITY a>]><svg xmlns="http://www.w3.org/2000/svg"><desc>&a;</desc></svg>`, ErrXML},
		"entity used often":    {`<!DOCTYPE svg [<!ENTITY a "` + strings.Repeat("x", 60000) + `">]><svg><desc>` + strings.Repeat("&a;", 100) + `</desc></svg>`, ErrEntities},
		"use cycle":            {page100(`<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>`), ErrUseCycle},
		"use of itself":        {page100(`<use id="a" href="#a"/>`), ErrUseCycle},
		"use of its ancestor":  {page100(`<g id="a">` + rect + `<use href="#a"/></g>`), ErrUseCycle},
		"use of the root":      {strings.Replace(page100(rect+`<use href="#r"/>`), "<svg", `<svg id="r"`, 1), ErrUseCycle},
		"symbol cycle":         {page100(`<symbol id="a"><use href="#a"/></symbol><use href="#a"/>`), ErrUseCycle},
		"doubling":             {bomb(40, rect), ErrTooMany},
		"doubling of nothing":  {bomb(60, ""), ErrTooMany},
		"nested groups":        {page100(strings.Repeat("<g>", 20000) + rect + strings.Repeat("</g>", 20000)), ErrDepth},
		"no shapes":            {page100(""), ErrNothing},
		"no fills":             {page100(`<g fill="none">` + rect + `</g>`), ErrNothing},
		"only hidden":          {page100(`<g display="none">` + rect + `</g>`), ErrHidden},
		"only invisible":       {page100(`<g visibility="hidden">` + rect + `</g>`), ErrHidden},
		"only see-through":     {page100(`<g opacity="0">` + rect + `</g>`), ErrHidden},
		"only text on a path":  {page100(`<text><textPath>hello</textPath></text>`), ErrUnreadable},
		"only a photo":         {page100(`<image href="data:image/png;base64,AA"/>`), ErrUnreadable},
		"only NaN":             {page100(`<path d="M NaN 0 L 5 5 L 0 5"/>`), ErrUnreadable},
		"only 1e30":            {page100(`<path d="M 1e30 0 L 5 5 L 0 1e30z"/>`), ErrUnreadable},
		"only 1e999":           {page100(`<path d="M 1e999 0 L 5 5 L 0 5z"/>`), ErrUnreadable},
		"tangled selectors":    {page100(`<style>` + `x ` + strings.Repeat("g ", 12) + `rect{fill:red}` + `</style>` + strings.Repeat("<g>", 400) + rect + strings.Repeat("</g>", 400)), ErrStyles},
		"a million elements":   {page100(strings.Repeat("<g/>", 1_000_001)), ErrElements},
		"far too many rules":   {page100(`<style>` + strings.Repeat("*{fill:red}", 5000) + `</style>` + strings.Repeat(rect, 2000)), ErrStyles},
		"unzipped rubbish":     {"\x1f\x8b\x08rubbish", ErrRead},
	} {
		t.Run(name, func(t *testing.T) {
			if testing.Short() && len(c.svg) > 3<<20 {
				t.Skip("millions of elements")
			}
			start := time.Now()
			_, err := Import(context.Background(), strings.NewReader(c.svg), Options{})
			var e *Error
			if !errors.As(err, &e) || e.ID != c.id {
				t.Errorf("got %v, want %s", err, c.id)
			}
			// Told, not held against it: a loaded machine would decide.
			t.Logf("refused within %v", time.Since(start).Round(time.Millisecond))
		})
	}
}

func TestImport_TooBigIsRefusedWithoutReadingAll(t *testing.T) {
	r := io.MultiReader(strings.NewReader("<svg xmlns='http://www.w3.org/2000/svg'>"), endless{})
	_, err := Import(context.Background(), r, Options{})
	var e *Error
	if !errors.As(err, &e) || e.ID != ErrTooBig || e.Args["limit"] != "64" || e.Line != 0 {
		t.Errorf("got %v", err)
	}
}

// endless is white space without end.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestImport_SegmentBudget(t *testing.T) {
	svg := page100(`<path d="M0 0` + strings.Repeat("h1v1", 5000) + `"/>`)
	_, err := Import(context.Background(), strings.NewReader(svg), Options{MaxSegments: 8000})
	var e *Error
	if !errors.As(err, &e) || e.ID != ErrComplex {
		t.Errorf("got %v", err)
	}
	// A big path behind use counts every time.
	svg = page100(`<defs><path id="p" d="M0 0` + strings.Repeat("h1v1", 500) + `"/></defs>` + strings.Repeat(`<use href="#p"/>`, 20))
	if _, err = Import(context.Background(), strings.NewReader(svg), Options{MaxSegments: 8000}); !errors.As(err, &e) || e.ID != ErrComplex {
		t.Errorf("got %v", err)
	}
}

func TestImport_ManyTinyShapesAndCancel(t *testing.T) {
	var b strings.Builder
	many := rounds(200_000, 20_000)
	for i := range many {
		fmt.Fprintf(&b, `<path fill="#%06x" d="M%d %dh1v1z"/>`, i%7*40000, i%100, i/100%100)
	}
	svg := page100(b.String())
	start := time.Now()
	if n := len(shapes(read(t, svg))); n != many {
		t.Errorf("%d shapes", n)
	}
	whole := time.Since(start)
	ctx, cancel := context.WithTimeout(context.Background(), whole/20)
	defer cancel()
	start = time.Now()
	_, err := Import(ctx, strings.NewReader(svg), Options{})
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v", err)
	}
	// Told, not held against it: a loaded machine would decide.
	t.Logf("all of it took %v, given up after %v", whole, time.Since(start))
}

// What of a style sheet is too much to be read is told.
func TestImport_SaysThatAStyleSheetIsTooLong(t *testing.T) {
	for name, sheet := range map[string]string{
		"rules": strings.Repeat(".x{fill:red}", maxRules) + "rect{fill:lime}",
		"bytes": "rect{fill:lime}" + strings.Repeat(" ", maxSheet),
	} {
		probe(t, name, `<style>`+sheet+`</style><rect width="9" height="9" fill="blue"/>`, "5,5=#0000ff", WarnStyleSheet)
	}
	probe(t, "as many as there may be", `<style>`+strings.Repeat(".x{fill:red}", maxRules-1)+`rect{fill:lime}</style><rect width="9" height="9" fill="blue"/>`, "5,5=#00ff00")
}

// Elements that draw nothing are passed through no longer than anyone waits.
func TestImport_PollsBetweenElements(t *testing.T) {
	doc, err := parseTree(context.Background(), []byte(page100(strings.Repeat("<g/>", 100))), 512)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	im := newImporter(ctx, Options{}.withDefaults(), doc)
	if err := im.root(readPage(doc.root, initialStyle())); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// What is in clips, masks, markers and patterns counts for each element that they
// are drawn for: a few lines could ask for billions there, too.
func TestImport_DefinitionsDrawnTooOften(t *testing.T) {
	parts := strings.Repeat(`<path d="M0 0h5v5z"/>`, 50)
	for name, c := range map[string]struct{ def, use string }{
		"clip":    {`<clipPath id="x">` + parts + `</clipPath>`, `clip-path="url(#x)"`},
		"mask":    {`<mask id="x">` + parts + `</mask>`, `mask="url(#x)"`},
		"marker":  {`<marker id="x">` + parts + `</marker>`, `marker-start="url(#x)"`},
		"pattern": {`<pattern id="x" width="1" height="1">` + parts + `</pattern>`, `fill="url(#x)"`},
	} {
		var b strings.Builder
		for i := range 60 {
			// Of other sizes, for what is drawn alike is drawn once.
			fmt.Fprintf(&b, `<path d="M0 0h%dv9z" transform="translate(%d)" %s/>`, 9+i, i, c.use)
		}
		_, err := Import(context.Background(), strings.NewReader(page100(c.def+b.String())), Options{MaxLeaves: 100})
		var e *Error
		if !errors.As(err, &e) || e.ID != ErrTooMany {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is broken in one place does not spoil the rest.
func TestImport_BrokenShapesAreLeftOut(t *testing.T) {
	res := read(t, page100(`<path fill="red" d="M1e30 0L5 5L0 5z"/><path fill="red" d="M0 0h9v9" transform="scale(1e20)"/>
		<path d="M0 0h9v9z M 5 5 L what"/><rect width="5" height="5" transform="matrix(NaN 0 0 1 0 0)"/>
		<path d="M0 0h9v9z" transform="scale(1e300) scale(1e300)"/>`))
	if n := len(shapes(res)); n != 2 {
		t.Errorf("%d shapes", n)
	}
	var ids []string
	for _, w := range res.Warnings {
		ids = append(ids, w.ID)
		if w.Line == 0 || w.Element == "" {
			t.Errorf("no place: %+v", w)
		}
	}
	want := fmt.Sprint([]string{WarnRange, WarnRange, WarnPathData, WarnTransform, WarnRange})
	if fmt.Sprint(ids) != want {
		t.Errorf("warnings %v, want %v", ids, want)
	}
}

func TestImport_Encodings(t *testing.T) {
	plain := page100(`<title>Möwe</title><g id="Möwe"><rect width="5" height="5"/></g>`)
	utf16 := func(big bool) string {
		out := []byte{}
		for _, r := range "\ufeff" + plain {
			lo, hi := byte(r), byte(r>>8)
			if big {
				out = append(out, hi, lo)
			} else {
				out = append(out, lo, hi)
			}
		}
		return string(out)
	}
	var zipped bytes.Buffer
	z := gzip.NewWriter(&zipped)
	_, err := io.WriteString(z, plain)
	if err := errors.Join(err, z.Close()); err != nil {
		t.Fatal(err)
	}
	encoded := func(label string, m *charmap.Charmap) string {
		s, err := m.NewEncoder().String(plain)
		if err != nil {
			t.Fatal(label, err)
		}
		return `<?xml version="1.0" encoding="` + label + `"?>` + s
	}
	latin := strings.ReplaceAll(`<?xml version="1.0" encoding="ISO-8859-1"?>`+plain, "ö", "\xf6")
	for name, svg := range map[string]string{
		"plain": plain, "byte-order mark": "\ufeff" + plain, "UTF-16 LE": utf16(false), "UTF-16 BE": utf16(true),
		"zipped": zipped.String(), "Latin 1": latin,
		"without a mark, LE": utf16(false)[2:], "without a mark, BE": utf16(true)[2:],
		"Latin 2": encoded("ISO_8859-2", charmap.ISO8859_2), "Latin 9": encoded("iso-8859-15", charmap.ISO8859_15), "Windows": encoded("Windows-1252", charmap.Windows1252),
		"Windows, central": encoded("windows-1250", charmap.Windows1250), "said to be UTF-8": `<?xml version="1.0" encoding="UTF-8"?>` + plain,
	} {
		res, err := Import(context.Background(), strings.NewReader(svg), Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if got := res.Layers[0].Name; got != "Möwe" {
			t.Errorf("%s: name %q", name, got)
		}
	}
}

// In Cyrillic, too.
func TestImport_CyrillicEncodings(t *testing.T) {
	plain := page100(`<g><title>Чайка</title><rect width="5" height="5"/></g>`)
	for label, m := range map[string]*charmap.Charmap{"windows-1251": charmap.Windows1251, "KOI8-R": charmap.KOI8R} {
		s, err := m.NewEncoder().String(plain)
		if err != nil {
			t.Fatal(err)
		}
		if res := read(t, `<?xml version="1.0" encoding="`+label+`"?>`+s); res.Layers[0].Name != "Чайка" {
			t.Errorf("%s: name %q", label, res.Layers[0].Name)
		}
	}
}

// What is not drawn is passed over: elements of other kinds with all that is in
// them, what follows the picture, attributes of other kinds.
func TestImport_PassesOverWhatIsNotAPicture(t *testing.T) {
	probe(t, "inside", `<x:note xmlns:x="http://example.org/x">text <rect width="99" height="99"/> more<x:deep>text</x:deep></x:note><rect width="9" height="9" fill="red"/>`, "5,5=#ff0000 50,50=-")
	res := read(t, page100(`<rect width="9" height="9" fill="red"/>`)+`<svg xmlns="http://www.w3.org/2000/svg"><rect width="99" height="99"/></svg>`+"\n<!-- end -->\n")
	if len(shapes(res)) != 1 {
		t.Errorf("%d shapes", len(shapes(res)))
	}
	probe(t, "href that counts", `<defs><rect id="a" width="9" height="9" fill="red"/><rect id="b" width="9" height="9" fill="blue"/></defs><use xlink:href="#b" href="#a"/><g transform="translate(50)"><use href="#a" xlink:href="#b" xlink:title="t" xml:base="/"/></g>`, "5,5=#ff0000 55,5=#ff0000")
	labelled := read(t, `<svg xmlns="http://www.w3.org/2000/svg" xmlns:e="http://example.org/editor"><g id="layer1" e:label="Buoy" e:other="x"><rect width="9" height="9"/></g></svg>`)
	if got := labelled.Layers[0].Name; got != "Buoy" {
		t.Errorf("called %q", got)
	}
}

func TestImport_EntitiesInEntities(t *testing.T) {
	for declared, want := range map[string]string{
		`<!ENTITY e "Buoy">`:                                          "Buoy",
		`<!ENTITY a 'Tide'><!ENTITY e "&a; clock">`:                   "Tide clock",
		`<!ENTITY e "A &amp; B"><!ENTITY e "second">`:                 "A & B",
		`<!ENTITY e "&#x41;&#32;&#x6D77;&#xD800;&#0x41;&no;">`:        "A 海&#xD800;&#0x41;&no;",
		`<!ENTITY e "&#65;&lt;&gt;&quot;&apos;&#38;&#60;">`:           "A<>\"'&<",
		`<!ENTITY % p "parameter"><!ENTITY e "Buoy">`:                 "Buoy",
		`<!ENTITY x SYSTEM "http://example.org/x"><!ENTITY e "Buoy">`: "Buoy",
	} {
		res := read(t, `<!DOCTYPE svg [`+declared+`]><svg xmlns="http://www.w3.org/2000/svg"><g><title>&e;</title><rect width="5" height="5"/></g></svg>`)
		if got := res.Layers[0].Name; got != want {
			t.Errorf("%s: called %q, want %q", declared, got, want)
		}
	}
}

func TestImport_Entities(t *testing.T) {
	res := read(t, `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
		<!ENTITY ns_svg "http://www.w3.org/2000/svg"><!ENTITY st0 "fill:#ff0000;"> <!ENTITY both '&st0;stroke:none'>
	]><svg xmlns="&ns_svg;" viewBox="0 0 9 9"><rect style="&both;" width="5" height="5"/></svg>`)
	if got := res.Layers[0].Colour.String(); got != "#ff0000" {
		t.Errorf("colour %s", got)
	}
}
