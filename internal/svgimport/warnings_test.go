package svgimport

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// For every warning there is a file in testdata/warnings that gives it and no
// other one, at line 2 and for the element with the id w. Its sentence says where
// and what became of it, and another what can be done.
func TestWarnings_EachHasItsFile(t *testing.T) {
	elsewhere := map[string]string{
		WarnMore:     "TestWarnings_TheRestIsCounted",
		WarnTextLong: "TestText_Warnings",
		WarnLetters:  "TestText_NotesBecomeWarnings",
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
		said := words[id]
		for arg, v := range w.Args {
			said = strings.ReplaceAll(said, "{{."+arg+"}}", v)
		}
		if strings.Contains(said, "{{") || !strings.Contains(said, "line 2") || len(strings.Fields(said)) < 6 {
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
