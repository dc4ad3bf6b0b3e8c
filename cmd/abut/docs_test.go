package main

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"

	"abut/assets"
	"abut/internal/workshop"
)

// docs/command-line.md tells of every option, every field of job.json and of what
// check says as JSON, and of no option that there is not.
func TestDocs_TellOfEveryOptionAndField(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "docs", "command-line.md"))
	if err != nil {
		t.Fatal(err)
	}
	text := string(b)
	flag := regexp.MustCompile(`--[a-z][a-z-]*`)
	there := map[string]bool{"--clearance": true} // understood, no longer told by help
	for _, command := range []string{"check", "cut", "mark-cut", "trace", "class", "demo"} {
		for _, f := range flag.FindAllString(must(t, command, "--help"), -1) {
			there[f] = true
		}
	}
	told := map[string]bool{"--help": true}
	for _, f := range flag.FindAllString(text, -1) {
		if told[f] = true; !there[f] {
			t.Errorf("there is no %s", f)
		}
	}
	for f := range there {
		if !told[f] {
			t.Errorf("%s is not told", f)
		}
	}
	for _, v := range []any{workshop.Manifest{}, checkReport{}} {
		for _, field := range fieldsOf(reflect.TypeOf(v)) {
			if !strings.Contains(text, "`"+field+"`") {
				t.Errorf("%T: the field %s is not told", v, field)
			}
		}
	}
}

// fieldsOf lists the names in JSON of all fields of a struct, and of what it holds.
func fieldsOf(t reflect.Type) (out []string) {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		if !f.Anonymous {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			out = append(out, name)
		}
		out = append(out, fieldsOf(f.Type)...)
	}
	return out
}

// Every format that there is stands in the help and in the table of formats.
func TestDocs_TellOfEveryFormat(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "docs", "command-line.md"))
	if err != nil {
		t.Fatal(err)
	}
	help := must(t, "cut", "--help")
	for _, f := range workshop.Formats() {
		if !strings.Contains(string(b), "\n| `"+string(f)+"` |") {
			t.Errorf("docs/command-line.md has no row for %s", f)
		}
		if !regexp.MustCompile(`\b` + string(f) + `\b`).MatchString(help) {
			t.Errorf("help says nothing of %s", f)
		}
	}
}

// outcomes are what pages say comes of a command: its exit status, files that are
// there afterwards, and what it says.
var outcomes = map[string]struct {
	status int
	files  []string
	says   string
}{
	"abut check boat.svg":                                          {exitStacked, nil, "Colours stack in 3 places"},
	"abut check boat.abut --json":                                  {exitOK, nil, `"schema": "abut-check/1"`},
	"abut cut boat.svg -o boat --width 90mm":                       {exitOK, []string{"boat/steps.html", "boat/job.json", "boat/01-teal-blue-mirrored.svg", "boat/assembly-guide-a4.pdf", "boat/assembly-guide-letter.pdf", "boat/press-card-a4.pdf", "boat/press-card-letter.pdf"}, "Nothing stacks|nothing does"},
	"abut cut boat.svg -o out --width 90mm --formats svg":          {exitOK, []string{"out/01-teal-blue-mirrored.svg"}, "Wrote 3 cut files"},
	"abut cut boat.abut -o boat-cut":                               {exitOK, []string{"boat-cut/job.json"}, "Nothing stacks|nothing does"},
	"abut cut *.svg -o shop --width 90mm":                          {exitOK, []string{"shop/boat/job.json", "shop/teapot/job.json"}, "2 of 2 pictures"},
	"abut cut mug.abut --list names.csv -o fair":                   {exitOK, []string{"fair/01-ada/job.json", "fair/02-jürgen/job.json"}, "Wrote 2 copies"},
	"abut cut mug.abut --list names.csv -o fair --layout together": {exitOK, []string{"fair/sheets.html"}, "2 copies"},
	"abut mark-cut fair --drawer sheets.csv":                       {exitOK, []string{"sheets.csv"}, "Sea, 200 × 200 mm: One whole sheet"},
	"abut trace logo.png -o logo.svg":                              {exitOK, []string{"logo.svg"}, "Wrote logo.svg: 2 colours"},
	"abut class boat.svg -o boat-lesson":                           {exitOK, lesson, ""},
	"abut class boat.svg -o boat-lesson --width 90mm":              {exitOK, lesson, ""},
	"abut demo":     {exitOK, []string{"abut-demo/pair/steps.html"}, ""},
	"abut boat.svg": {windowOnly, nil, ""},
}

var lesson = []string{"boat-lesson/lesson.html", "boat-lesson/handout.pdf", "boat-lesson/worksheet.pdf", "boat-lesson/notes.pdf"}

// windowOnly marks a command that needs a screen: it is parsed, not run.
const windowOnly = -1

// commandsOf returns the command lines in a page's blocks of code, without what is
// said of them behind two spaces. Those with … or brackets tell what may be written.
func commandsOf(page string) []string {
	var out []string
	fenced := false
	for line := range strings.SplitSeq(page, "\n") {
		if strings.HasPrefix(line, "```") {
			fenced = !fenced
		}
		text := strings.TrimSpace(line)
		if !fenced && !strings.HasPrefix(line, "    ") || !strings.HasPrefix(text, "abut ") || strings.ContainsAny(text, "…[") || regexp.MustCompile(`\b[A-Z]{4,}\b`).MatchString(text) {
			continue
		}
		text, _, _ = strings.Cut(text, "  ")
		out = append(out, text)
	}
	return out
}

// What pages tell one to type does what they say comes of it.
func TestDocs_CommandsDoWhatPagesSay(t *testing.T) {
	if testing.Short() {
		t.Skip("each command does the whole of its work")
	}
	files, err := filepath.Glob(filepath.Join("..", "..", "docs", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{}
	for _, file := range append(files, filepath.Join("..", "..", "README.md"), filepath.Join("..", "..", "CHANGELOG.md")) {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range commandsOf(string(b)) {
			if _, known := outcomes[line]; !known {
				t.Errorf("%s: %s: what comes of it?", filepath.Base(file), line)
			}
			told[line] = true
		}
	}
	for line, want := range outcomes {
		if !told[line] {
			t.Errorf("no page tells anyone to type %s", line)
			continue
		}
		t.Run(line, func(t *testing.T) {
			args := strings.Fields(line)[1:]
			if want.status == windowOnly {
				parses(t, args)
				return
			}
			t.Chdir(workplace(t))
			if i := slices.Index(args, "*.svg"); i >= 0 { // as a shell does
				args = slices.Replace(args, i, i+1, "boat.svg", "teapot.svg")
			}
			if args[0] == "mark-cut" { // of what was cut before
				must(t, "cut", "boat.svg", "-o", "fair", "--width", "60mm", "--layout", "together", "--tries", "5", "--drawer", "sheets.csv", "--colors", "3")
			}
			status, out, errs := abut(args...)
			if status != want.status || !regexp.MustCompile(want.says).MatchString(out+errs) {
				t.Errorf("status %d, want %d and %q\n%s%s", status, want.status, want.says, out, errs)
			}
			for _, f := range want.files {
				if list, _ := filepath.Glob(f); len(list) == 0 {
					t.Errorf("%s was not written", f)
				}
			}
		})
	}
}

// parses fails the test unless the parser takes the arguments.
func parses(t *testing.T, args []string) {
	t.Helper()
	parser, err := kong.New(&commands{}, kong.Vars{"version": ""})
	if err == nil {
		_, err = parser.Parse(args)
	}
	if err != nil {
		t.Error(err)
	}
}

// workplace is a folder with what pages' commands work on.
func workplace(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	put := func(name string, b []byte, err error) {
		t.Helper()
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), b, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, d := range assets.Demos() {
		if d.ID == "pair" {
			put("boat.svg", d.SVG, nil)
		}
	}
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "mends", "teapot.svg"))
	put("teapot.svg", b, err)
	b, err = os.ReadFile(mug(t))
	put("mug.abut", b, err)
	put("boat.abut", b, err)
	put("sheets.csv", []byte("name;pressed;width_mm;height_mm;count\nSea;#1f6f8b;200;200;3\nSun;#f2c14e;200;200;2\nBuoy;#d9512c;200;200;2\n"), nil)
	put("names.csv", []byte("name\nAda\nJürgen\n"), nil)
	logo := image.NewNRGBA(image.Rect(0, 0, 60, 40))
	for i := range 60 * 40 {
		c := color.NRGBA{R: 0x1f, G: 0x6f, B: 0x8b, A: 0xff}
		if i%60 < 20 {
			c = color.NRGBA{R: 0xd9, G: 0x51, B: 0x2c, A: 0xff}
		}
		logo.SetNRGBA(i%60, i/60, c)
	}
	var p bytes.Buffer
	err = png.Encode(&p, logo)
	put("logo.png", p.Bytes(), err)
	return dir
}
