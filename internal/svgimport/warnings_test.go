package svgimport

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"text/template"
)

// For every warning there is a file in testdata/warnings that gives it and no
// other one, at line 2 and for the element with the id w. Its sentence says what
// became of it, in words that a reader of no source text knows; another what can
// be done.
func TestWarnings_EachHasItsFile(t *testing.T) {
	elsewhere := map[string]string{
		WarnMore:       "TestWarnings_TheRestIsCounted",
		WarnPageColour: "TestWarnings_EffectsOfStyles",
		WarnTextLong:   "TestText_Warnings",
		WarnLetters:    "TestText_NotesBecomeWarnings",
	}
	words := sentences(t)
	files := map[string]bool{}
	for name, id := range constants(t, "warnings.go", "textwarnings.go") {
		if !strings.HasPrefix(name, "Warn") {
			continue
		}
		if strings.Count(words[id+".remedy"], " ") < 3 {
			t.Errorf("%s: no remedy", id)
		}
		if elsewhere[id] != "" {
			continue
		}
		file := filepath.Join("testdata", "warnings", id+".svg")
		files[file] = true
		data, err := os.ReadFile(file)
		if err != nil {
			t.Error(err)
			continue
		}
		inner := strings.TrimSpace(string(data))
		inner = strings.TrimSuffix(inner[strings.IndexByte(inner, '>')+1:], "</svg>")
		res := setText(t, inner)
		if len(res.Warnings) != 1 {
			t.Errorf("%s: %d warnings %v", id, len(res.Warnings), res.Warnings)
			continue
		}
		w := res.Warnings[0]
		if w.ID != id || w.Line != 2 || !strings.HasSuffix(w.Element, "#w") || w.Args["element"] != w.Element || w.Args["line"] != "2" {
			t.Errorf("%s: %+v", id, w)
		}
		said := say(t, words[id], w.Args)
		if strings.Contains(said, "{{") || strings.Contains(said, "line 2") || strings.Contains(said, "#w") || len(strings.Fields(said)) < 4 {
			t.Errorf("%s says %q", id, said)
		}
	}
	found, err := filepath.Glob("testdata/warnings/*")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		if !files[f] {
			t.Errorf("%s belongs to no warning", f)
		}
	}
}

// A warning names the layer that its element became, or what people called the
// element itself.
func TestWarnings_NameTheLayer(t *testing.T) {
	words := sentences(t)
	for art, want := range map[string]string{
		`<rect width="9" height="9" fill="red" filter="url(#f)"/>`:                                         "Red: the effect (blur, shadow or the like) is left out.",
		`<rect id="beak" width="9" height="9" fill="red" filter="url(#f)"/>`:                               "beak: the effect (blur, shadow or the like) is left out.",
		`<g id="left_wing" filter="url(#f)"><rect width="9" height="9" fill="red"/></g>`:                   "left wing: the effect (blur, shadow or the like) is left out.",
		`<rect width="9" height="9" fill="red"/><image width="5" height="5" href="data:,x"/>`:              "An embedded picture is left out, because it cannot be read.",
		`<rect width="9" height="9" fill="red"/><image id="harbour" width="5" height="5" href="data:,x"/>`: "harbour: the embedded picture is left out, because it cannot be read.",
	} {
		w := read(t, page100(art)).Warnings
		if len(w) != 1 {
			t.Errorf("%s: %d warnings %v", art, len(w), w)
		} else if got := say(t, words[w[0].ID], w[0].Args); got != want {
			t.Errorf("%s: %q", art, got)
		}
	}
}

// A picture that is written as one line has many nameless shapes on it: each warning
// names the layer of its own shape, and none where that shape became no layer.
func TestWarnings_TellShapesOfOneLineApart(t *testing.T) {
	res := read(t, page100(`<rect width="9" height="9" fill="red" filter="url(#f)"/><rect width="9" height="9" y="20" fill="blue" filter="url(#f)"/>`+
		`<rect width="9" height="9" y="40" fill="bleu" stroke="none" id=""/><rect width="-5" height="9" y="60" fill="lime"/>`))
	var got []string
	for _, w := range res.Warnings {
		got = append(got, w.ID+" "+w.Element+" "+w.Args["layer"])
	}
	want := "import-filter rect Red; import-filter rect 2 Blue; import-value rect 3 Black; import-value rect 4 "
	if s := strings.Join(got, "; "); s != want {
		t.Errorf("%s\nwant %s", s, want)
	}
}

// What lies beside the page is counted in one line, each shape once; what crosses its
// edge, or lies there unseen, is none of it.
func TestWarnings_CountWhatLiesOffThePage(t *testing.T) {
	res := read(t, page100(`<rect width="100" height="100" fill="red"/><rect x="90" width="50" height="9" fill="blue"/>`+
		`<rect x="120" width="9" height="9" fill="blue" stroke="red"/><circle cx="-20" r="9"/><rect x="120" width="9" height="9" fill="none"/>`+
		`<rect x="120" width="9" height="9" display="none"/><clipPath id="c"><rect width="1" height="1"/></clipPath><rect x="50" width="9" height="9" clip-path="url(#c)"/>`))
	if len(res.Warnings) != 1 || res.Warnings[0].ID != WarnOffPage || res.Warnings[0].Args["count"] != "2" {
		t.Errorf("%v", res.Warnings)
	}
}

// What moves, or has a shadow, by its style says so as what moves by an element does.
func TestWarnings_EffectsOfStyles(t *testing.T) {
	for style, want := range map[string]string{
		"animation: spin 3s infinite": WarnAnimation, "animation-name: spin": WarnAnimation,
		"backdrop-filter: blur(2px)": WarnFilter, "animation: none": "",
	} {
		w := read(t, page100(`<rect width="9" height="9" style="`+style+`"/>`)).Warnings
		if want == "" && len(w) > 0 || want != "" && (len(w) != 1 || w[0].ID != want) {
			t.Errorf("%s: %v", style, w)
		}
	}
	for style, want := range map[string]string{"background:gold": WarnPageColour, "background-image:url(sky.png)": WarnPageColour, "background:none": "", "background-color:transparent": ""} {
		res := read(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" style="`+style+`"><rect width="9" height="9"/></svg>`)
		if got := ids(res.Warnings); got != want {
			t.Errorf("%s: %q", style, got)
		}
	}
}

// say fills a sentence's placeholders.
func say(t *testing.T, sentence string, args map[string]string) string {
	t.Helper()
	made, err := template.New("").Parse(sentence)
	var b strings.Builder
	if err == nil {
		err = made.Execute(&b, args)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// sentences returns the sentences of this package's ids.
func sentences(t *testing.T) map[string]string {
	t.Helper()
	words := map[string]string{}
	for _, file := range []string{"import", "text"} {
		data, err := os.ReadFile("../words/messages/" + file + ".en.json")
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(data, &words); err != nil {
			t.Fatal(err)
		}
	}
	return words
}

// Half of a page that has no size is nothing: what is measured so would be elsewhere, or missing,
// without a word.
func TestWarnings_SharesOfAPageWithoutSize(t *testing.T) {
	const shapes = `<rect width="60" height="60" fill="red"/><rect y="70" width="50%" height="9" fill="blue"/><text x="0%" y="9">a</text>` +
		`<linearGradient id="g" x2="50%"><stop offset="20%"/></linearGradient>`
	for root, want := range map[string]int{`<svg xmlns="http://www.w3.org/2000/svg">`: 1, `<svg xmlns="http://www.w3.org/2000/svg" width="100%" height="100%">`: 1,
		`<svg xmlns="http://www.w3.org/2000/svg" width="90" height="90">`: 0, `<svg xmlns="http://www.w3.org/2000/svg" width="100%" viewBox="0 0 90 90">`: 0} {
		var got []string
		for _, w := range read(t, root+shapes+`</svg>`).Warnings {
			if w.ID == WarnValue {
				got = append(got, w.Args["property"]+" "+w.Args["value"])
			}
		}
		if len(got) != want || want == 1 && got[0] != "width 50%" {
			t.Errorf("%s: %v", root, got)
		}
	}
}

// What is not understood is told as it can be read: nothing as no value, on one line, with no letter cut in two.
func TestWarnings_ValuesThatCannotBeRead(t *testing.T) {
	for value, want := range map[string]string{
		"":                      "textLength has no value, so it counts as not written.",
		" \n ":                  "textLength has no value, so it counts as not written.",
		"very\n  wide":          "textLength is very wide, which is not understood here, so it counts as not written.",
		strings.Repeat("ü", 40): "textLength is " + strings.Repeat("ü", 28) + "…, which is not understood here, so it counts as not written.",
		"-5":                    "textLength is -5, which is not understood here, so it counts as not written.",
	} {
		res := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="90" height="90"><rect width="9" height="9"/><text y="50" font-size="0" textLength="`+value+`">a</text></svg>`)
		var got []string
		for _, w := range res.Warnings {
			if w.ID == WarnValue {
				var b strings.Builder
				w.Args["layer"] = ""
				if err := template.Must(template.New("").Parse(sentences(t)[w.ID])).Execute(&b, w.Args); err != nil {
					t.Fatal(err)
				}
				got = append(got, b.String())
			}
		}
		if len(got) != 1 || got[0] != want {
			t.Errorf("%q: %q", value, got)
		}
	}
}
