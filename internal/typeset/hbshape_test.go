//go:build oracle

package typeset

import (
	"context"
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/go-text/typesetting/font"
)

var update = flag.Bool("update", false, "write what hb-shape says to testdata")

// hbShape asks HarfBuzz itself, by its own command line tool.
func hbShape(t *testing.T, file, text string, args ...string) []shaped {
	t.Helper()
	tool, err := exec.LookPath("hb-shape")
	if err != nil {
		t.Skip("no hb-shape here: it is in the Debian package libharfbuzz-bin, which ./run test installs")
	}
	args = append([]string{"--output-format=json", "--no-glyph-names"}, args...)
	out, err := exec.Command(tool, append(args, file, text)...).Output()
	if err != nil {
		t.Fatalf("hb-shape %q: %v", text, err)
	}
	var got []shaped
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	return got
}

func TestRecords_AreWhatHarfBuzzSays(t *testing.T) {
	dir := t.TempDir()
	var records []recorded
	for _, l := range goLines {
		file := filepath.Join(dir, l.Font+".ttf")
		if err := os.WriteFile(file, goFiles[l.Font], 0o600); err != nil {
			t.Fatal(err)
		}
		l.Want = hbShape(t, file, l.Text)
		records = append(records, l)
	}
	data, err := json.MarshalIndent(records, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", recordFile)
	if *update {
		if err := os.WriteFile(path, append(data, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(have) != string(append(data, '\n')) {
		t.Errorf("%s is not what this HarfBuzz says: look at the difference that -update makes", path)
	}
}

// DejaVu Sans has ligatures, marks with anchors, Hebrew and Arabic.
func TestShape_AgreesWithHarfBuzz(t *testing.T) {
	fonts, err := System(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, family, base, text, lang string
		rtl                            bool
	}{
		{"kerning", "DejaVu Sans", "DejaVuSans.ttf", "AVATAR To Wäsche", "en", false},
		{"ligatures", "DejaVu Sans", "DejaVuSans.ttf", "office fluff flow", "en", false},
		{"marks with anchors", "DejaVu Sans", "DejaVuSans.ttf", "e\u0301a\u0308\u0304 q\u0323\u0307 \u0061\u0328\u0301", "en", false},
		{"serif", "DejaVu Serif", "DejaVuSerif.ttf", "Affiné To. fjord", "fr", false},
		{"monospaced", "DejaVu Sans Mono", "DejaVuSansMono.ttf", "office e\u0301 0x1f", "en", false},
		{"Arabic", "DejaVu Sans", "DejaVuSans.ttf", "\u0627\u0644\u0633\u0644\u0627\u0645 \u0639\u0644\u064a\u0643\u0645", "ar", true},
		{"Arabic with marks", "DejaVu Sans", "DejaVuSans.ttf", "\u0645\u064f\u062d\u064e\u0645\u0651\u064e\u062f \u0644\u064e\u0627", "ar", true},
		{"Hebrew with points", "DejaVu Sans", "DejaVuSans.ttf", "\u05e9\u05b8\u05c1\u05dc\u05d5\u05b9\u05dd", "he", true},
		{"Cyrillic", "DejaVu Sans", "DejaVuSans.ttf", "Привет, мир", "ru", false},
		{"Greek", "DejaVu Sans", "DejaVuSans.ttf", "Καλημέρα κόσμε", "el", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := ""
			for _, p := range fonts.files[font.NormalizeFamily(c.family)] {
				if filepath.Base(p.Location.File) == c.base { // the family has other files too
					file = p.Location.File
				}
			}
			if file == "" {
				t.Skipf("no %s here: it is in the Debian package fonts-dejavu-core, which ./run test installs", c.base)
			}
			args := []string{"--language=" + c.lang}
			if c.rtl {
				args = append(args, "--direction=rtl")
			}
			const upem = 2048 // of these fonts: places come out in their own units
			line := fonts.Shape([]Span{{c.text, Style{Face: Face{Families: []string{c.family}}, Size: upem, Language: c.lang}}}, c.rtl)
			if len(line.Notes) > 0 {
				t.Errorf("notes %+v", line.Notes)
			}
			agree(t, c.text, line, hbShape(t, file, c.text, args...))
		})
	}
}

// Letters keep their joined forms where the style changes within a word.
func TestShape_LettersJoinAcrossSpans(t *testing.T) {
	fonts, err := System(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	sans := func(size float64) Style {
		return Style{Face: Face{Families: []string{"DejaVu Sans"}}, Size: size, Language: "ar"}
	}
	whole := fonts.Shape([]Span{{"\u0633\u0644\u0633", sans(100)}}, true)
	if len(whole.Notes) > 0 {
		t.Skip("no DejaVu Sans here: it is in the Debian package fonts-dejavu-core, which ./run test installs")
	}
	parts := fonts.Shape([]Span{{"\u0633", sans(100)}, {"\u0644\u0633", sans(100.5)}}, true)
	if len(parts.Glyphs) != len(whole.Glyphs) {
		t.Fatalf("%d glyphs, %d as one span", len(parts.Glyphs), len(whole.Glyphs))
	}
	for i := range whole.Glyphs {
		if parts.Glyphs[i].id != whole.Glyphs[i].id {
			t.Errorf("glyph %d is %d, %d as one span", i, parts.Glyphs[i].id, whole.Glyphs[i].id)
		}
	}
}
