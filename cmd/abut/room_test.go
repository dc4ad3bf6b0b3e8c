package main

import (
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestCut_RefusesWhatHasNoRoomUnlessAsked(t *testing.T) {
	file := art(t, sized, overlapping)
	for _, c := range []struct {
		flags []string
		what  string
		says  string
	}{
		{[]string{"--width", "320mm"}, "sheet", "more than its sheet"},
		{[]string{"--width", "90mm", "--sheet", "80x70mm"}, "sheet", "80 × 70 mm"},
		{[]string{"--width", "90mm", "--cutter-width", "30mm"}, "cutter", "30 mm"},
		{[]string{"--width", "150mm", "--blank", "square-coaster"}, "blank", "25 mm over the edge of the blank"},
		{[]string{"--width", "90mm", "--blank", "80x200mm"}, "blank", "5 mm over the edge of the blank (80x200mm)"},
	} {
		dir := filepath.Join(t.TempDir(), "out")
		args := append([]string{"cut", file, "-o", dir}, c.flags...)
		status, _, errs := abut(args...)
		if status != exitFailed || !strings.Contains(errs, c.says) || !strings.Contains(errs, "Nothing written") {
			t.Errorf("%v: status %d\n%s", c.flags, status, errs)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Errorf("%v: written", c.flags)
		}
		status, out, errs := abut(append(args, "--allow-oversize")...)
		if status != exitOK || !strings.Contains(out, c.says) {
			t.Errorf("%v: status %d\n%s%s", c.flags, status, out, errs)
			continue
		}
		m := readManifest(t, dir)
		if len(m.Beyond) == 0 || m.Beyond[0].What != c.what || !strings.Contains(m.Beyond[0].Text, c.says) || strings.HasPrefix(m.Verdict, "Ready") {
			t.Errorf("%v: %+v %s", c.flags, m.Beyond, m.Verdict)
		}
		steps, err := os.ReadFile(filepath.Join(dir, "steps.html"))
		if err != nil || !strings.Contains(string(steps), "Larger than there is room for") {
			t.Errorf("%v: steps.html is silent (%v)", c.flags, err)
		}
	}
}

func TestCut_FrameTakesItsRoomAndItsRounding(t *testing.T) {
	file := art(t, sized, overlapping)
	dir := t.TempDir()
	for name, c := range map[string]struct {
		flags          []string
		margin, corner float64
	}{
		"usual":   {nil, 5, 0},
		"closer":  {[]string{"--cutter-width", "66mm"}, 3, 0}, // the art is 90 × 60
		"rounded": {[]string{"--margin", "7mm", "--corner", "4mm"}, 7, 4},
	} {
		out := filepath.Join(dir, name)
		status, _, errs := abut(append([]string{"cut", file, "-o", out, "--width", "90mm", "--frame", "d03020"}, c.flags...)...)
		if status != exitOK {
			t.Errorf("%s: %d %s", name, status, errs)
			continue
		}
		m := readManifest(t, out)
		if m.FrameMarginMM != c.margin || m.FrameCornerMM != c.corner || m.PageMM[0] != 90+2*c.margin || len(m.Beyond) != 0 {
			t.Errorf("%s: %g, %g, %v, %v", name, m.FrameMarginMM, m.FrameCornerMM, m.PageMM, m.Beyond)
		}
	}
}

func TestSizeFlag_ReadsWidthAndHeight(t *testing.T) {
	for text, want := range map[string][2]float64{
		"210x297mm": {210, 297}, "12x12in": {304.8, 304.8}, "4.5 × 12 in": {114.3, 304.8}, "90mmx9.5cm": {90, 95}, "96x192px": {25.4, 50.8}, "100x200": {100, 200},
	} {
		var s sizeFlag
		if err := s.UnmarshalText([]byte(text)); err != nil || abs(s.width-want[0]) > 1e-9 || abs(s.height-want[1]) > 1e-9 {
			t.Errorf("%q: %+v %v", text, s, err)
		}
	}
	for _, bad := range []string{"", "210", "x", "210x", "axb", "-3x4", "1x2x3"} {
		var s sizeFlag
		if err := s.UnmarshalText([]byte(bad)); err == nil {
			t.Errorf("%q: %+v", bad, s)
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }

// What a clearance leaves nothing of is not cut, so it is too large for nothing,
// and what is said of the sheets that are left is said of those.
func TestCut_AClearanceMayTakeAWholeSheetThatIsTooLarge(t *testing.T) {
	file := art(t, `width="500mm" height="500mm" viewBox="0 0 500 500"`, `<rect width="500" height="500" fill="#d03020"/>`+
		`<circle cx="250" cy="250" r="245" fill="none" stroke="#20a040" stroke-width="0.1"/><circle cx="250" cy="250" r="225" fill="#2040c0"/>`)
	out := filepath.Join(t.TempDir(), "out")
	stdout := must(t, "cut", file, "-o", out, "--allow-oversize", "--gap", "0.2mm")
	m := readManifest(t, out)
	if len(m.Separations) != 2 || m.Separations[0].Color != "#d03020" || m.Separations[1].Color != "#2040c0" {
		t.Fatalf("%+v", m.Separations)
	}
	beyond := map[string]int{}
	for _, x := range m.Beyond {
		beyond[x.Separation]++
	}
	if want := map[string]int{"Red": 2, "Blue": 2}; !maps.Equal(beyond, want) { // cutter and sheet
		t.Errorf("%+v", m.Beyond)
	}
	for _, s := range m.WeakSpots {
		if s.Kind == "sliver" && s.Separation != "Green" {
			t.Errorf("the ring is a sliver of %q", s.Separation)
		}
	}
	if !strings.Contains(stdout, "Blue") || strings.Contains(stdout, "Green") {
		t.Errorf("the sheets are said to be\n%s", stdout)
	}
}
