package typeset

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// shaped is what HarfBuzz' own command line tool says about a line: glyph,
// cluster (in characters), advance and offset, in the font's units.
type shaped struct {
	G          int
	Cl         int
	Ax, Dx, Dy float64
}

// recorded is a line with what hb-shape said about it.
type recorded struct {
	Font string
	Text string
	Want []shaped
}

// goLines are shaped in the embedded fonts.
var goLines = []recorded{
	{Font: "goregular", Text: "AVATAR To Ty."},
	{Font: "goregular", Text: "office fluff"},
	{Font: "goregular", Text: "e\u0301a\u0308 o\u0302"},
	{Font: "gobold", Text: "Größe Ελλάς Привет"},
	{Font: "goregular", Text: "a\u200db\u00adc"},
}

var goFiles = map[string][]byte{"goregular": goregular.TTF, "gobold": gobold.TTF}

const recordFile = "harfbuzz.json"

// The records were written by hb-shape (testdata/README.md says how); here no
// tool is needed.
func TestShape_AgreesWithRecordsOfHarfBuzz(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", recordFile))
	if err != nil {
		t.Fatal(err)
	}
	var records []recorded
	if err := json.Unmarshal(data, &records); err != nil {
		t.Fatal(err)
	}
	if len(records) != len(goLines) {
		t.Fatalf("%d records for %d lines: run the oracle tests with -update", len(records), len(goLines))
	}
	f := Embedded()
	for i, r := range records {
		if r.Font != goLines[i].Font || r.Text != goLines[i].Text {
			t.Fatalf("record %d is of another line: run the oracle tests with -update", i)
		}
		face := Face{}
		if r.Font == "gobold" {
			face.Weight = 700
		}
		line := f.Shape([]Span{{r.Text, Style{Face: face, Size: 2048}}}, false)
		agree(t, r.Text, line, r.Want)
	}
}

// agree compares a line set at its font's units per em with HarfBuzz.
func agree(t *testing.T, text string, line Line, want []shaped) {
	t.Helper()
	if len(line.Glyphs) != len(want) {
		t.Errorf("%q: %d glyphs, HarfBuzz has %d", text, len(line.Glyphs), len(want))
		return
	}
	x := 0.0
	for i, g := range line.Glyphs {
		w := want[i]
		if int(g.id) != w.G || g.Rune != w.Cl || math.Abs(g.Advance-w.Ax) > 1e-6 || math.Abs(g.Offset.X-w.Dx) > 1e-6 || math.Abs(-g.Offset.Y-w.Dy) > 1e-6 || math.Abs(g.X-x) > 1e-6 {
			t.Errorf("%q: glyph %d: %d of rune %d at %v, advance %v, offset %v; HarfBuzz says %+v at %v", text, i, g.id, g.Rune, g.X, g.Advance, g.Offset, w, x)
		}
		x += w.Ax
	}
}
