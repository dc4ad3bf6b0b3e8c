package words

import (
	"encoding/json"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// sentences reads a language's files: id to form to text; a sentence without
// plural forms has the one form "other".
func sentences(t *testing.T, tag string) map[string]map[string]string {
	t.Helper()
	out := map[string]map[string]string{}
	files, err := fs.Glob(messages, "messages/*."+tag+".json")
	if err != nil || len(files) == 0 {
		t.Fatal(tag, files, err)
	}
	for _, f := range files {
		b, err := messages.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		var all map[string]any
		if err := json.Unmarshal(b, &all); err != nil {
			t.Fatal(f, err)
		}
		for id, v := range all {
			forms := map[string]string{}
			switch v := v.(type) {
			case string:
				forms["other"] = v
			case map[string]any:
				for form, text := range v {
					forms[form], _ = text.(string)
				}
			}
			out[id] = forms
		}
	}
	return out
}

var hole = regexp.MustCompile(`\.[a-z]\w*`)

// holes lists the placeholders of a text, once each.
func holes(text string) []string {
	found := map[string]bool{}
	for _, part := range regexp.MustCompile(`\{\{[^}]*\}\}`).FindAllString(text, -1) {
		for _, h := range hole.FindAllString(part, -1) {
			found[h] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}

// alike are, for each language, the ids whose sentences are the same in English: names,
// signs and words that both have. Everything else that is the same was forgotten.
var alike = map[string][]string{
	"de": {
		"ui-title", "class-own", "ui-title-open", "ui-ok", "ui-fewer-row", "ui-material-polyester", "ui-drawer-name", "ui-blank-name", "guide-sheet",
		"press-heat-range", "press-heat-own", "press-time-minutes", "press-time-seconds", "press-time-own", "press-row", "ui-blank-material",
		"refused-beyond.remedy", "cli-demo", "ui-add-text", "ui-add-ellipse", "colour-orange", "colour-gold", "month-4", "month-8", "month-9", "month-11",
		"colour-beige", "colour-magenta", "costs-metres",
	},
}

// forms lists the plural forms that a sentence has in a language, by Unicode CLDR: those
// of whole numbers, and the one for all else. One that depends on no count has that alone.
func forms(tag string, counted bool) []string {
	names := map[plural.Form]string{plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many", plural.Other: "other"}
	found := map[string]bool{"other": true}
	for n := 0; counted && n <= 200; n++ {
		found[names[plural.Cardinal.MatchPlural(language.MustParse(tag), n, 0, 0, 0, 0)]] = true
	}
	return slices.Sorted(maps.Keys(found))
}

func TestLanguages_SayTheSameThings(t *testing.T) {
	english := sentences(t, "en")
	for _, l := range Languages()[1:] {
		other := sentences(t, l.Tag)
		for id, ours := range english {
			theirs, ok := other[id]
			if !ok {
				t.Errorf("%s: no %q", l.Tag, id)
				continue
			}
			if want, got := forms(l.Tag, len(ours) > 1), slices.Sorted(maps.Keys(theirs)); !slices.Equal(want, got) {
				t.Errorf("%s: %q has the plural forms %v, not %v", l.Tag, id, got, want)
			}
			for form, text := range ours {
				if _, has := theirs[form]; !has {
					continue
				}
				if a, b := holes(text), holes(theirs[form]); !slices.Equal(a, b) {
					t.Errorf("%s: %q (%s) has the placeholders %v, in English %v", l.Tag, id, form, b, a)
				}
				if listed := slices.Contains(alike[l.Tag], id); text == theirs[form] && !listed {
					t.Errorf("%s: %q (%s) is as in English: %q", l.Tag, id, form, text)
				} else if text != theirs[form] && listed {
					t.Errorf("%s: %q is listed as alike and is not", l.Tag, id)
				}
			}
		}
		for id := range other {
			if _, ok := english[id]; !ok {
				t.Errorf("%s: %q is not in English", l.Tag, id)
			}
		}
	}
	for _, id := range slices.Concat(slices.Collect(maps.Values(alike))...) {
		if _, ok := english[id]; !ok {
			t.Errorf("%q is listed as alike and is nowhere", id)
		}
	}
}

// A file of sentences in one language has its like in every other.
func TestLanguages_HaveTheSameFiles(t *testing.T) {
	files, err := fs.Glob(messages, "messages/*.en.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		for _, l := range Languages() {
			name := strings.TrimSuffix(path.Base(f), ".en.json") + "." + l.Tag + ".json"
			if _, err := fs.Stat(messages, "messages/"+name); err != nil {
				t.Error(err)
			}
		}
	}
}

func TestFor_FindsTheNearestLanguage(t *testing.T) {
	for locale, want := range map[string]string{
		"": "en", "C": "en", "POSIX": "en", "C.UTF-8": "en", "en_GB.UTF-8": "en", "de": "de", "de_DE.UTF-8": "de", "de_AT@euro": "de", "de-CH": "de",
		"zxx": "en", "nonsense!": "en",
	} {
		if got := For(locale).Tag(); got != want {
			t.Errorf("%q: %s, want %s", locale, got, want)
		}
	}
}

func TestGerman_WritesNumbersItsOwnWay(t *testing.T) {
	w := For("de")
	inches := w.In(job.Inches)
	for _, c := range []struct{ got, want string }{
		{w.Length(86.44), "86,4 mm"},
		{w.Length(0.02), "unter 0,1 mm"},
		{w.Area(12345.6), "12.346 mm²"},
		{w.Area(99.5), "99,5 mm²"},
		{w.Area(99_949), "99.949 mm²"},
		{w.Area(1_314_831), "13.148 cm²"},
		{w.Size(90, 86.44), "90 × 86,4 mm"},
		{w.Fine(0.45), "0,45 mm"},
		{w.Number(-3.25), "−3,3"},
		{inches.Length(25.4 * 1.5), "1,5 in"},
		{inches.Area(412), "0,64 in²"},
		{inches.Length(0.01), "unter 0,01 in"},
		{inches.Size(90, 25.4), "3,54 × 1 in"},
		{w.Put(message.Exact{Value: 99.5, Decimals: 2}), "99,50"},
		{w.List([]string{"a", "b", "c"}), "a, b und c"},
		{w.Put(message.Few{"a", "b", "c", "d", "e"}), "a, b, c, d … (5)"},
		{w.Put(message.ColourName{Word: "Light grey", Number: 2}), "Hellgrau 2"},
		{w.Put(message.ColourName{Word: "Beak"}), "Beak"},
		{w.Message(Pairs("ui-pieces", "count", Count(12000))), "12.000 Teile"},
		{w.Message(Pairs("ui-pieces", "count", Count(1))), "1 Teil"},
		{w.Message(message.Message{ID: "spots-kept", Values: map[string]any{"count": message.Count(3), "kinds": message.List{
			message.Message{ID: "spot-neck", Values: map[string]any{"count": message.Count(2)}},
			message.Message{ID: "spot-gap", Values: map[string]any{"count": message.Count(1)}}}}}),
			"3 Schwachstellen bleiben, wie sie sind: 2 Engstellen und 1 enger Spalt."},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// Every word for a colour has a name in each language, and no other has.
func TestColour_EveryWordHasAName(t *testing.T) {
	ids := map[string]bool{}
	for _, word := range colour.Words() {
		id := "colour-" + strings.ReplaceAll(strings.ToLower(word), " ", "-")
		ids[id] = true
		if got := English().Say(id, nil); got != word {
			t.Errorf("%s is %q in English, want %q", id, got, word)
		}
	}
	for _, id := range English().IDs() {
		if strings.HasPrefix(id, "colour-") && !ids[id] {
			t.Errorf("%s names no word", id)
		}
	}
}

func TestUse_ChoosesWhatFunctionsSpeak(t *testing.T) {
	t.Cleanup(func() { Use(English()) })
	Use(For("de"))
	if got := Length(1.5, job.Millimetres) + ", " + List([]string{"a", "b"}) + ", " + Colour("Red"); got != "1,5 mm, a und b, Rot" {
		t.Error(got)
	}
	if got := Typed(12345.678, 2) + " " + Typed(90, 1) + " " + Typed(-0.5, 1) + " " + Typed(-0.01, 1); got != "12345,68 90 -0,5 0" {
		t.Error(got)
	}
}

// What is read aside is what is spoken, from the first sentence on.
func TestUseFor_SpeaksFromTheFirstSentenceOn(t *testing.T) {
	t.Cleanup(func() { Use(English()) })
	for _, tag := range []string{"de_AT.UTF-8", "en", "de"} {
		UseFor(tag)
		if got, want := Chosen().Tag(), For(tag).Tag(); got != want {
			t.Errorf("%s: %s is spoken, want %s", tag, got, want)
		}
	}
}
