package workshop

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"abut/assets"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
)

// published reads docs/job.schema.json, as it is or refusing fields that it does
// not name.
func published(t *testing.T, strict bool) *jsonschema.Schema {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "docs", "job.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := jsonschema.UnmarshalJSON(f)
	if err != nil {
		t.Fatal(err)
	}
	if strict {
		closeObjects(doc)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("job.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("job.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func closeObjects(v any) {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			closeObjects(x)
		}
	case map[string]any:
		if _, object := v["properties"].(map[string]any); object {
			v["additionalProperties"] = false
		}
		for _, x := range v {
			closeObjects(x)
		}
	}
}

func jobJSON(t *testing.T, dir string) any {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "job.json"))
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// everything is a job that has something to say in every part of job.json.
func everything(t *testing.T, dir string) {
	t.Helper()
	drawn := open(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 60"><filter id="f"/><linearGradient id="g"><stop stop-color="#f00"/><stop offset="1" stop-color="#ff0"/></linearGradient>
<rect id="sunset" x="10" y="10" width="40" height="40" fill="url(#g)"/><rect id="mast" x="60" y="10" width=".3" height="40" fill="#20a040"/><g filter="url(#f)"><rect id="sail" x="70" y="10" width="20" height="40" fill="#2040c0"/></g>
<line id="mark" x1="0" y1="20" x2="60" y2="20" stroke="#000"/><rect id="dot" x="2" y="2" width="1" height="1" fill="#808080"/></svg>`)
	both, _ := job.AddBeside(knockedOut(t, drawn), demoJob(t, "pair"))
	ids := both.Items[0].Layers
	j, err := job.SetUse(both, []job.LayerID{ids[len(ids)-1].ID}, job.LeftOut)
	if err == nil {
		j, err = job.SetUse(j, []job.LayerID{ids[len(ids)-2].ID}, job.Drawn)
	}
	if err == nil {
		j, err = job.SetSheetSize(j, 50, 50)
	}
	if err != nil {
		t.Fatal(err)
	}
	written(t, j, dir, WriteOptions{AllowBeyond: true, AllowStacked: true})
}

func TestManifest_IsWhatThePublishedSchemaSays(t *testing.T) {
	lax, strict := published(t, false), published(t, true)
	check := func(name, dir string) {
		v := jobJSON(t, dir)
		for _, s := range []*jsonschema.Schema{lax, strict} {
			if err := s.Validate(v); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	for _, d := range assets.Demos() {
		dir := filepath.Join(t.TempDir(), "out")
		if _, err := Cut(context.Background(), Source{Path: d.ID + ".svg", Art: bytes.NewReader(d.SVG)}, Options{UnsizedMM: 60, Folder: dir}); err != nil {
			t.Fatal(err)
		}
		check(d.ID, dir)
	}
	dir := filepath.Join(t.TempDir(), "out")
	everything(t, dir)
	check("everything", dir)
	for name, v := range jobJSON(t, dir).(map[string]any) {
		if list, is := v.([]any); is && len(list) == 0 {
			t.Errorf("nothing is in %s, so the schema was not asked about it", name)
		}
	}
}

// A schema that takes everything would say nothing.
func TestManifest_TheSchemaRefusesWhatNoRunWrites(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	everything(t, dir)
	s := published(t, false)
	whole := jobJSON(t, dir).(map[string]any)
	for name := range whole {
		less := maps.Clone(whole)
		delete(less, name)
		if s.Validate(less) == nil {
			t.Errorf("it takes a job without %s", name)
		}
		less[name] = map[string]any{"of": "another kind"}
		if s.Validate(less) == nil {
			t.Errorf("it takes anything for %s", name)
		}
		list, ok := whole[name].([]any)
		if !ok {
			continue
		}
		if first, ok := list[0].(map[string]any); ok {
			for field := range first {
				short := maps.Clone(first)
				delete(short, field)
				less[name] = []any{short}
				if s.Validate(less) == nil {
					t.Errorf("it takes %s without %s", name, field)
				}
			}
		}
	}
}

// Who reads job.json in a program needs no sentence: the id with what fills it
// gives it back.
func TestManifest_SaysByIdAndArgumentsWhatItSaysInWords(t *testing.T) {
	dir := t.TempDir()
	manifest := func(language string) (m Manifest) {
		words.Use(words.For(language))
		defer words.Use(words.English())
		everything(t, filepath.Join(dir, language))
		b, err := os.ReadFile(filepath.Join(dir, language, "job.json"))
		if err == nil {
			err = json.Unmarshal(b, &m)
		}
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	en, de := manifest("en"), manifest("de")
	if en.Verdict == de.Verdict || !reflect.DeepEqual(en.VerdictSays, de.VerdictSays) || en.VerdictSays.ID == "" {
		t.Errorf("%+v\n%+v", en.VerdictSays, de.VerdictSays)
	}
	same := func(a, b ManifestMessage, text string) {
		t.Helper()
		if !reflect.DeepEqual(a, b) || a.ID == "" {
			t.Errorf("%+v\n%+v", a, b)
		}
		for name, v := range a.Args {
			if s, ok := v.(string); ok && name == "layer" && !strings.Contains(strings.ToLower(text), strings.ToLower(s)) {
				t.Errorf("%q lacks the layer %q", text, s)
			}
		}
	}
	if len(en.Warnings) != len(de.Warnings) || len(en.Beyond) != len(de.Beyond) {
		t.Fatalf("%d and %d warnings", len(en.Warnings), len(de.Warnings))
	}
	for i, x := range en.Warnings {
		same(x.ManifestMessage, de.Warnings[i].ManifestMessage, x.Text)
	}
	for i, x := range en.Beyond {
		same(x.ManifestMessage, de.Beyond[i].ManifestMessage, x.Text)
	}
	for i, x := range en.Separations {
		same(x.CarrySays, de.Separations[i].CarrySays, x.CarryWhy)
	}
	if i := slices.IndexFunc(en.Warnings, func(w ManifestWarning) bool { return w.Picture == "art" && w.Line > 0 }); i < 0 {
		t.Errorf("no warning says of which picture it is: %+v", en.Warnings)
	}
	if len(en.Pictures) != 2 || en.Pictures[0].File != "art.svg" || en.Pictures[1].Name == "art" || en.Pictures[0].SourceToPage != en.SourceToPage || en.Pictures[1].SourceToPage == en.SourceToPage {
		t.Errorf("%+v", en.Pictures)
	}
}

func TestSays_NumbersAreNumbers(t *testing.T) {
	m := words.Pairs("some-id", "name", "Red", "width", message.MM(1.25), "fine", message.Fine(0.12), "area", message.MM2(3), "size", message.Size{Width: 4, Height: 5},
		"count", message.Count(6), "number", message.Number(7.5), "exact", message.Exact{Value: 0.25, Decimals: 2}, "few", message.Few{"a", "b"},
		"list", message.List{"a", message.MM(8), message.Of("other-id", "x", "y")}, "colour", message.ColourName{Word: "Red", Number: 2}, "none", nil)
	b, err := json.Marshal(says(m))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"id":"some-id","args":{"area":3,"colour":{"number":2,"word":"Red"},"count":6,"exact":0.25,"few":["a","b"],"fine":0.12,` +
		`"list":["a",8,{"id":"other-id","args":{"x":"y"}}],"name":"Red","number":7.5,"size":[4,5],"width":1.25}}`
	if string(b) != want {
		t.Errorf("%s\nwant %s", b, want)
	}
}
