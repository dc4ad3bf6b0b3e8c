//go:build oracle

package typeset

import (
	"encoding/json"
	"math"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The referee is HarfBuzz itself, by its own command line tool, on the same
// installed font: DejaVu Sans, which has ligatures, marks and Arabic.
func TestShape_AgreesWithHarfBuzz(t *testing.T) {
	tool, err := exec.LookPath("hb-shape")
	if err != nil {
		t.Skip("no hb-shape here: ./run test installs it")
	}
	fonts := System()
	file := ""
	for _, at := range fonts.fm.FindSystemFonts("dejavusans") {
		if filepath.Base(at.File) == "DejaVuSans.ttf" { // the family has bold and oblique files too
			file = at.File
		}
	}
	if file == "" {
		t.Skip("no DejaVu Sans here: ./run test installs it")
	}
	for name, c := range map[string]struct {
		text string
		rtl  bool
	}{
		"kerning":           {"AVATAR To", false},
		"ligatures":         {"office fluff", false},
		"marks":             {"e\u0301a\u0308\u0304 q\u0323\u0307", false},
		"arabic":            {"\u0627\u0644\u0633\u0644\u0627\u0645 \u0639\u0644\u064a\u0643\u0645", true},
		"arabic with marks": {"\u0645\u064f\u062d\u064e\u0645\u0651\u064e\u062f", true},
	} {
		args := []string{"--output-format=json", "--no-glyph-names"}
		if c.rtl {
			args = append(args, "--direction=rtl")
		}
		out, err := exec.Command(tool, append(args, file, c.text)...).Output()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		var want []struct{ Ax, Dx, Dy float64 }
		if err := json.Unmarshal([]byte(strings.TrimSpace(string(out))), &want); err != nil {
			t.Fatalf("%s: %v in %s", name, err, out)
		}
		const upem = 2048 // DejaVu Sans: places come out in its own units
		line := fonts.Shape(c.text, Face{Families: []string{"DejaVu Sans"}}, upem, c.rtl)
		if line.Missing || len(line.Glyphs) != len(want) {
			t.Errorf("%s: %d glyphs (missing: %v, %v), HarfBuzz has %d", name, len(line.Glyphs), line.Missing, line.Used, len(want))
			continue
		}
		for i, g := range line.Glyphs {
			if math.Abs(g.Advance-want[i].Ax) > 0.01 || math.Abs(g.Offset.X-want[i].Dx) > 0.01 || math.Abs(-g.Offset.Y-want[i].Dy) > 0.01 {
				t.Errorf("%s: glyph %d: advance %v, offset %v; HarfBuzz says %+v", name, i, g.Advance, g.Offset, want[i])
			}
		}
	}
}
