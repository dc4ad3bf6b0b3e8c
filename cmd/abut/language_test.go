package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/words"
)

// The other tests read what is said in English, wherever they run.
func init() { _ = os.Setenv("LC_ALL", "en") }

func TestLanguage_GermanIsSaidAndWritten(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	file := art(t, `width="60mm" height="60mm" viewBox="0 0 60 60"`,
		`<rect x="5" y="5" width="50.5" height="50" fill="#e3211c"/><rect x="20" y="20" width="15" height="15" fill="#2060d4"/>`)
	for name, run := range map[string]func(args ...string) (int, string, string){
		"flag": func(args ...string) (int, string, string) { return abut(append([]string{"--lang", "de"}, args...)...) },
		"environment": func(args ...string) (int, string, string) {
			t.Setenv("LC_ALL", "de_AT.UTF-8")
			return abut(args...)
		},
	} {
		status, out, errs := run("check", file)
		if status != exitStacked || !strings.Contains(out, "50,5 × 50 mm, 2 Bögen") || !strings.Contains(out, "Blau über Rot (225 mm²)") {
			t.Errorf("%s: %d %s%s", name, status, out, errs)
		}
		dir := filepath.Join(t.TempDir(), "out")
		if status, out, errs = run("cut", file, "-o", dir); status != exitOK || !strings.Contains(out, "Rot ist der Grundbogen") || !strings.Contains(out, "Schon gespiegelt") {
			t.Errorf("%s: %d %s%s", name, status, out, errs)
		}
		steps, err := os.ReadFile(filepath.Join(dir, "steps.html"))
		if err != nil || !strings.Contains(string(steps), `<html lang="de">`) || !strings.Contains(string(steps), "Motiv 50,5 × 50 mm") || !strings.Contains(string(steps), "Auf ") {
			t.Errorf("%s: steps.html: %v", name, err)
		}
		// Ids, names of files and numbers are the same in every language.
		m := readManifest(t, dir)
		if m.Verdict != "Fertig für einmal Pressen: nichts liegt übereinander." || m.Separations[0].File != "01-red-mirrored.svg" || m.Separations[0].Name != "Red" || m.WidthMM != 50.5 {
			b, _ := json.Marshal(m)
			t.Errorf("%s: %s", name, b)
		}
	}
}

func TestLanguage_OneThatThereIsNotIsRefused(t *testing.T) {
	status, _, errs := abut("--lang", "xx", "demo")
	if status != exitUsage || !strings.Contains(errs, "en and de") {
		t.Errorf("%d %s", status, errs)
	}
}

// A language for one run does not stay for the next.
func TestLanguage_EveryRunChoosesAnew(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	abut("--lang", "de", "check", "nowhere.svg")
	if _, _, errs := abut("check", "nowhere.svg"); !strings.Contains(errs, "There is no file") {
		t.Error(errs)
	}
}
