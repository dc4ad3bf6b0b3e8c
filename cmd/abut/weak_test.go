package main

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/workshop"
)

// hairline is a blue line of half a millimetre in a red field, and a green bar
// beside it that is as broad as it must be.
const hairline = `<rect width="60" height="40" fill="#d03020"/><rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/>` +
	`<rect x="10" y="20" width="30" height="4" fill="#20a040"/>`

func svgs(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, s := range readManifest(t, dir).Separations {
		b, err := os.ReadFile(filepath.Join(dir, s.File))
		if err != nil {
			t.Fatal(err)
		}
		out[s.File] = string(b)
	}
	return out
}

func TestCut_WeakSpotsAreListedAndMended(t *testing.T) {
	file, dir := art(t, sized, hairline), t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }

	must(t, "cut", file, "-o", at("plain"))
	m := readManifest(t, at("plain"))
	if len(m.WeakSpots) != 1 || m.WeakSpots[0].Kind != "sliver" || m.WeakSpots[0].WidthMM != 0.5 || m.WeakSpots[0].Mended || len(m.Separations) != 3 {
		t.Errorf("%+v", m.WeakSpots)
	}
	if !strings.Contains(m.Verdict, "1 thing is too fine to cut") {
		t.Error(m.Verdict)
	}

	must(t, "cut", file, "-o", at("thin"), "--min-width", "0.4mm")
	if m := readManifest(t, at("thin")); len(m.WeakSpots) != 0 {
		t.Errorf("%+v", m.WeakSpots)
	}
	a, b := svgs(t, at("plain")), svgs(t, at("thin"))
	for name := range a {
		if a[name] != b[name] {
			t.Errorf("%s: looking for weak spots changed what is cut", name)
		}
	}

	stdout := must(t, "cut", file, "-o", at("mended"), "--mend")
	m = readManifest(t, at("mended"))
	if len(m.WeakSpots) != 1 || !m.WeakSpots[0].Mended || m.StackedAfterMM2 != 0 {
		t.Errorf("%+v", m)
	}
	if !strings.Contains(stdout, "Same picture: 100.00 %; mends changed 0.6") {
		t.Error(stdout)
	}
}

// What stays too fine is drawn: five lines that lie too close to each other to become broader.
func TestCut_APenDrawsWhatStaysTooFine(t *testing.T) {
	lines := `<rect width="60" height="40" fill="#f0e0c0"/><path d="M5 10h50M5 10.9h50M5 11.8h50M5 12.7h50M5 13.6h50" stroke="#203060" stroke-width="0.3"/>`
	file, dir := art(t, sized, lines), filepath.Join(t.TempDir(), "pen")
	_, stdout, _ := abut("check", file, "--mend", "--json")
	var r checkReport
	if err := json.Unmarshal([]byte(stdout), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.WeakSpots) == 0 {
		t.Fatal("nothing is too fine")
	}
	if said := must(t, "cut", file, "-o", dir, "--mend", "--pen"); !strings.HasPrefix(said, "Wrote 1 cut file,") { // besides the pen's
		t.Error(said)
	}
	m := readManifest(t, dir)
	if len(m.WeakSpots) != 0 || len(m.Separations) != 1 || len(m.Drawings) != 1 || math.Abs(m.Drawings[0].LengthMM-250) > 0.5 {
		t.Errorf("%+v", m)
	}
}

func TestCheck_SaysWhatIsWeakOnceKnockedOut(t *testing.T) {
	file := art(t, sized, hairline)
	for _, c := range []struct {
		flags []string
		open  int
	}{{nil, 1}, {[]string{"--min-width", "0.4mm"}, 0}, {[]string{"--mend"}, 0}} {
		_, stdout, _ := abut(append([]string{"check", file, "--json"}, c.flags...)...)
		var r checkReport
		if err := json.Unmarshal([]byte(stdout), &r); err != nil {
			t.Fatal(err)
		}
		open := 0
		for _, s := range r.WeakSpots {
			if !s.Mended {
				open++
			}
		}
		if open != c.open {
			t.Errorf("%v: %+v", c.flags, r.WeakSpots)
		}
		warned := slices.ContainsFunc(r.Warnings, func(w workshop.ManifestWarning) bool { return w.ID == "weak-spots" })
		if warned != (c.open > 0) {
			t.Errorf("%v: %+v", c.flags, r.Warnings)
		}
	}
}

// What the window does by hand and what the flags do are the same calls.
func TestCut_FlagsGiveTheBytesOfTheEdits(t *testing.T) {
	file, dir := art(t, sized, hairline), t.TempDir()
	byFlags, byHand := filepath.Join(dir, "flags"), filepath.Join(dir, "hand")
	must(t, "cut", file, "-o", byFlags, "--mend", "--min-width", "1.5mm", "--gap", "0.2mm")

	ctx := context.Background()
	ok := func(j job.Job, err error) job.Job {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	j := ok(workshop.Open(ctx, file))
	j = ok(job.KnockOutAll(j))
	j = ok(job.SetNarrowest(j, 1.5, 0))
	j = ok(mend.All(ctx, j, nil))
	j = ok(job.SetClearance(j, 0.2))
	j.Settings.Frame.MarginMM = 5
	p, err := fit.Compute(ctx, j)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := workshop.Write(ctx, new(fit.Cache), j, p, byHand, workshop.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(byFlags)
	if err != nil || len(entries) < 4 {
		t.Fatal(entries, err)
	}
	for _, e := range entries {
		a, err := os.ReadFile(filepath.Join(byFlags, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if b, _ := os.ReadFile(filepath.Join(byHand, e.Name())); !bytes.Equal(a, b) {
			t.Errorf("%s differs", e.Name())
		}
	}
}

func TestCut_GapIsOnTheLaterSide(t *testing.T) {
	file, dir := art(t, sized, hairline), t.TempDir()
	must(t, "cut", file, "-o", filepath.Join(dir, "a"), "--min-width", "0.4mm")
	must(t, "cut", file, "-o", filepath.Join(dir, "b"), "--min-width", "0.4mm", "--gap", "0.2mm")
	a, b := svgs(t, filepath.Join(dir, "a")), svgs(t, filepath.Join(dir, "b"))
	for name := range a {
		if base := strings.HasPrefix(name, "01-"); (a[name] == b[name]) != base {
			t.Errorf("%s: changed %v", name, a[name] != b[name])
		}
	}
}

// The option's first name is understood for good, and no longer told.
func TestCut_GapHasAnOlderName(t *testing.T) {
	file, dir := art(t, sized, hairline), t.TempDir()
	for _, flag := range []string{"gap", "clearance"} {
		must(t, "cut", file, "-o", filepath.Join(dir, flag), "--min-width", "0.4mm", "--"+flag, "0.2mm")
	}
	a, b := svgs(t, filepath.Join(dir, "gap")), svgs(t, filepath.Join(dir, "clearance"))
	if len(a) == 0 || !maps.Equal(a, b) {
		t.Errorf("%d and %d files, and they differ", len(a), len(b))
	}
	if help := must(t, "cut", "--help"); !strings.Contains(help, "--gap") || strings.Contains(help, "clearance") {
		t.Error(help)
	}
}
