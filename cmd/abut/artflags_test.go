package main

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const (
	shadedBar = `<linearGradient id="g"><stop stop-color="#103080"/><stop offset="1" stop-color="#f0c040"/></linearGradient><rect id="sky" width="80" height="40" fill="url(#g)"/>`
	paper     = `<rect id="paper" width="100" height="100" fill="#e8e0d0"/><circle id="dot" cx="40" cy="50" r="20" fill="#c03020"/><rect id="bar" x="30" y="40" width="40" height="5" fill="#2040c0"/>`
)

func TestCut_GradientsBecomeAsManyBandsAsAskedFor(t *testing.T) {
	file, dir := art(t, sized, shadedBar), t.TempDir()
	for flag, sheets := range map[string]int{"average": 1, "bands:2": 2, "bands:5": 5} {
		out := filepath.Join(dir, flag[len(flag)-1:])
		must(t, "cut", file, "-o", out, "--gradients", flag)
		m := readManifest(t, out)
		sum := 0.0
		for _, s := range m.Separations {
			sum += s.AreaMM2
		}
		if len(m.Separations) != sheets || math.Abs(sum-3200) > 0.01 {
			t.Errorf("%s: %d sheets with %g mm² in all, want %d with 3200", flag, len(m.Separations), sum, sheets)
		}
		if len(m.Warnings) != 1 || !strings.HasPrefix(m.Warnings[0].ID, "import-gradient") || m.Warnings[0].Remedy == "" {
			t.Errorf("%s: warnings %+v", flag, m.Warnings)
		}
	}
	if _, _, errs := abut("cut", file, "-o", filepath.Join(dir, "told")); !strings.Contains(errs, "--gradients bands:4") {
		t.Errorf("how to choose bands is not told: %s", errs)
	}
}

func TestCut_SeeThroughShapesMixOrKeepTheirColour(t *testing.T) {
	file, dir := art(t, sized, `<rect width="40" height="40" fill="#0000ff"/><rect id="glass" x="20" y="10" width="40" height="20" fill="#ff0000" opacity=".5"/>`), t.TempDir()
	for flag, want := range map[string]string{"mix": "#0000ff #800080 #ff8080", "top": "#0000ff #ff0000"} {
		out := filepath.Join(dir, flag)
		_, _, errs := abut("cut", file, "-o", out, "--opacity", flag)
		m := readManifest(t, out)
		var have []string
		for _, s := range m.Separations {
			have = append(have, s.Color)
		}
		for _, c := range strings.Fields(want) {
			if !strings.Contains(strings.Join(have, " "), c) {
				t.Errorf("%s: sheets %v, want %s", flag, have, want)
			}
		}
		if len(have) != len(strings.Fields(want)) {
			t.Errorf("%s: sheets %v, want %s", flag, have, want)
		}
		if !strings.Contains(errs, "Glass") && !strings.Contains(errs, "glass") || !strings.Contains(errs, "--opacity top") {
			t.Errorf("%s: said %s", flag, errs)
		}
	}
}

func TestCut_LayersAreLeftOutByName(t *testing.T) {
	file, dir := art(t, sized, paper), t.TempDir()
	_, _, errs := abut("cut", file, "-o", filepath.Join(dir, "whole"))
	if !strings.Contains(errs, "--leave-out background") {
		t.Errorf("the background is not pointed out: %s", errs)
	}
	for _, name := range []string{"background", "paper", "PAPER"} {
		out := filepath.Join(dir, name)
		// The size is that of what is left.
		must(t, "cut", file, "-o", out, "--leave-out", name, "--width", "50mm")
		m := readManifest(t, out)
		if len(m.Separations) != 2 || len(m.LeftOut) != 1 || m.WidthMM != 50 || m.HeightMM != 40 {
			t.Errorf("%s: %d sheets, left out %v, %g × %g", name, len(m.Separations), m.LeftOut, m.WidthMM, m.HeightMM)
		}
	}
	if status, _, errs := abut("cut", file, "-o", filepath.Join(dir, "none"), "--leave-out", "tail"); status != exitFailed || !strings.Contains(errs, "paper") {
		t.Errorf("a name that is not there: status %d, %s", status, errs)
	}
	if status, _, _ := abut("check", art(t, sized, overlapping), "--leave-out", "background"); status != exitFailed {
		t.Errorf("no background: status %d", status)
	}
}

func TestRun_ChoicesAboutTheArtAreChecked(t *testing.T) {
	file := art(t, sized, shadedBar)
	for _, args := range [][]string{{"--gradients", "bands"}, {"--gradients", "bands:1"}, {"--gradients", "bands:13"}, {"--gradients", "4"}, {"--opacity", "half"}} {
		if status, _, _ := abut(append([]string{"check", file}, args...)...); status != exitUsage {
			t.Errorf("%v: status %d", args, status)
		}
	}
}

// Two stops at one place are an edge: what is flat on both sides of it is cut as
// drawn, and blended only where someone asks for that.
func TestCut_FlatStripesStayStripesUnlessAskedOtherwise(t *testing.T) {
	stops := `<stop offset=".5" stop-color="#ff0000"/><stop offset=".5" stop-color="#0000ff"/>`
	for name, server := range map[string]string{
		"straight": `<linearGradient id="g">` + stops + `</linearGradient>`,
		"round":    `<radialGradient id="g">` + stops + `</radialGradient>`,
		"repeated": `<linearGradient id="g" x2=".25" spreadMethod="repeat">` + stops + `</linearGradient>`,
	} {
		file, dir := art(t, sized, server+`<rect width="80" height="40" fill="url(#g)"/>`), t.TempDir()
		for flags, want := range map[string]string{"": "#0000ff #ff0000", "--gradients=bands:5": "#0000ff #ff0000", "--gradients=average": "one"} {
			out := filepath.Join(dir, "out"+flags)
			args := []string{"cut", file, "-o", out}
			if flags != "" {
				args = append(args, flags)
			}
			must(t, args...)
			var have []string
			for _, s := range readManifest(t, out).Separations {
				have = append(have, s.Color)
			}
			slices.Sort(have)
			if got := strings.Join(have, " "); got != want && !(want == "one" && len(have) == 1) {
				t.Errorf("%s %s: sheets %s, want %s", name, flags, got, want)
			}
		}
	}
}
