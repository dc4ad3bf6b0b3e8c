package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
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
		if m.Verdict != "Fertig für einmal Pressen: Nichts liegt übereinander." || m.Separations[0].File != "01-red-mirrored.svg" || m.Separations[0].Name != "Red" || m.WidthMM != 50.5 {
			b, _ := json.Marshal(m)
			t.Errorf("%s: %s", name, b)
		}
	}
}

func TestLanguage_OneThatThereIsNotIsRefused(t *testing.T) {
	status, _, errs := abut("--lang", "xx", "demo")
	for _, l := range words.Languages() {
		if status != exitUsage || !regexp.MustCompile(`\b`+l.Tag+`\b`).MatchString(errs) {
			t.Errorf("%d %s", status, errs)
		}
	}
}

// Help in any language is all in that language: no id without its sentence, and
// nothing of what the parser would say by itself.
func TestLanguage_HelpIsInItToo(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	for _, command := range []string{"", "window", "check", "cut", "demo"} {
		said := map[string]string{}
		for _, l := range words.Languages() {
			args := []string{"--lang", l.Tag, "--help"}
			if command != "" {
				args = append([]string{command}, args...)
			}
			status, out, errs := abut(args...)
			if status != exitOK || errs != "" || strings.Contains(out, "cli-") || !strings.Contains(out, "--lang") {
				t.Errorf("%s in %s: %d %s%s", command, l.Name, status, out, errs)
			}
			for _, line := range strings.Split(out, "\n") {
				if len([]rune(line)) > 100 {
					t.Errorf("%s in %s: a line of %d letters: %s", command, l.Name, len([]rune(line)), line)
				}
			}
			said[l.Tag] = out
		}
		for _, english := range []string{"Usage", "Arguments", "Flags:", "Commands", "Run \"", "Show", " the ", " and "} {
			if strings.Contains(said["de"], english) {
				t.Errorf("%s in German says %q:\n%s", command, english, said["de"])
			}
		}
	}
}

func TestLanguage_MistakesAreSaidInIt(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	for _, c := range []struct{ line, en, de string }{
		{"--nonsense", "There is no flag --nonsense.", "Einen Schalter --nonsense gibt es nicht."},
		{"cut x.svg -o y --widht 5", `There is no flag --widht. Did you mean "--width"?`, `Einen Schalter --widht gibt es nicht. Ist "--width" gemeint?`},
		{"cut x.svg", "--output=DIR is needed.", "--output=DIR ist nötig."},
		{"cut -o y", "<file> is needed.", "<file> ist nötig."},
		{"cut x.svg -o", "--output: a value is missing.", "--output: Ein Wert fehlt."},
		{"cut x.svg -o y --gap -1", "--gap: a value is missing.", "--gap: Ein Wert fehlt."},
		{"cut x.svg -o y --leave-out", "--leave-out: a value is missing.", "--leave-out: Ein Wert fehlt."},
		{"Check x.svg", `There is no command and no file "Check". Did you mean "check"?`, `Einen Befehl oder eine Datei „Check“ gibt es nicht. Ist "check" gemeint?`},
		{"harbour", `There is no command and no file "harbour".`, "Einen Befehl oder eine Datei „harbour“ gibt es nicht."},
		{"demo y", `"y" is not expected here.`, "„y“ wird hier nicht erwartet."},
		{"cut x.svg -o y --colors few", `--colors: "few" is not a number of sheets`, "--colors: „few“ ist keine Anzahl von Bögen"},
		{"cut x.svg -o y --colors=-1", `--colors: "-1" is not a number of sheets`, "--colors: „-1“ ist keine Anzahl von Bögen"},
		{"cut x.svg -o y --mend=all", "--mend takes no value.", "--mend nimmt keinen Wert."},
		{"cut x.svg -o y --width 5 --height 6", "--width and --height cannot both be given.", "--width und --height gehen nicht zusammen."},
		{"cut x.svg -o y --knockout some", `--knockout must be one of "all","none", not "some".`, `--knockout muss eines von "all","none" sein, nicht „some“.`},
		{"cut x.svg -o y --width wide", `--width: "wide" is not a length such as 90mm, 9cm or 3.5in`, "--width: „wide“ ist keine Länge wie 90mm, 9cm oder 3,5in"},
		{"cut x.svg -o y --frame blueish", `"blueish" is not a colour`, "„blueish“ ist keine Farbe"},
		{"cut x.svg -o y --sheet 12x12", "--sheet: 12 × 12 mm is too small for a sheet", "--sheet: 12 × 12 mm ist für einen Bogen zu klein"},
		{"cut x.svg -o y --blank bucket", "There is no blank called bucket.", "bucket"},
	} {
		for tag, want := range map[string]string{"en": c.en, "de": c.de} {
			status, out, errs := abut(append([]string{"--lang=" + tag}, strings.Fields(c.line)...)...)
			if status != exitUsage || out != "" || !strings.Contains(errs, want) || tag == "de" && (strings.Contains(errs, "There is") || !strings.Contains(errs, "Siehe")) {
				t.Errorf("%s in %s: %d %s%s, want %q", c.line, tag, status, out, errs, want)
			}
		}
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
