package main

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"abut/assets"
	"abut/internal/words"
	"abut/internal/workshop"
)

// abut runs a command line.
func abut(args ...string) (status int, stdout, stderr string) {
	var o, e bytes.Buffer
	status = run(context.Background(), args, streams{strings.NewReader(""), &o, &e})
	return status, o.String(), e.String()
}

// must runs a command line that has to succeed and returns its output.
func must(t *testing.T, args ...string) string {
	t.Helper()
	status, out, errs := abut(args...)
	if status != exitOK {
		t.Fatalf("abut %q: status %d\n%s", args, status, errs)
	}
	return out
}

// art writes a picture into a folder of its own and returns its path.
func art(t *testing.T, root, body string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "art.svg")
	if err := os.WriteFile(path, []byte(`<svg xmlns="http://www.w3.org/2000/svg" `+root+`>`+body+`</svg>`), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

const (
	viewBox = `viewBox="0 0 100 100"`
	sized   = `width="100mm" height="100mm" viewBox="0 0 100 100"`
	// overlapping is a blue bar over a red square; nothing of the red is
	// beyond it but on the left.
	overlapping = `<rect id="square" x="10" y="10" width="40" height="40" fill="#d03020"/><rect id="bar" x="40" y="20" width="30" height="10" fill="#2040c0"/>`
)

// point is a place as its file spells it, so that comparing is exact.
type point struct{ x, y string }

func (p point) mm(t *testing.T) (x, y float64) {
	t.Helper()
	x, err1 := strconv.ParseFloat(p.x, 64)
	y, err2 := strconv.ParseFloat(p.y, 64)
	if err1 != nil || err2 != nil {
		t.Fatalf("%v is no place", p)
	}
	return x, y
}

// cut is one cut file, read back.
type cut struct {
	width, height, viewBox, fill string
	contours                     [][]point
	frame                        []point
}

func readCut(t *testing.T, path string) cut {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var d struct {
		Width   string `xml:"width,attr"`
		Height  string `xml:"height,attr"`
		ViewBox string `xml:"viewBox,attr"`
		Paths   []struct {
			ID     string `xml:"id,attr"`
			Fill   string `xml:"fill,attr"`
			Rule   string `xml:"fill-rule,attr"`
			Stroke string `xml:"stroke,attr"`
			D      string `xml:"d,attr"`
		} `xml:"path"`
	}
	if err := xml.Unmarshal(b, &d); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	c := cut{width: d.Width, height: d.Height, viewBox: d.ViewBox}
	for i, p := range d.Paths {
		contours := readContours(t, p.D)
		switch {
		case i == 0 && p.Rule == "evenodd" && p.Stroke == "":
			c.fill, c.contours = p.Fill, contours
		case i == 1 && p.ID == "frame" && p.Fill == "none" && len(contours) == 1:
			c.frame = contours[0]
		default:
			t.Errorf("%s: path %d is %+v", path, i, p)
		}
	}
	return c
}

// readContours reads path data of lines and cubics, curves as a few of their
// points; every contour must be closed.
func readContours(t *testing.T, d string) [][]point {
	t.Helper()
	var out [][]point
	if rest := regexp.MustCompile(`M[^MZ]*Z`).ReplaceAllString(d, ""); rest != "" {
		t.Errorf("not a run of closed contours: %.60s", rest)
	}
	for _, m := range regexp.MustCompile(`M([^MZ]*)Z`).FindAllStringSubmatch(d, -1) {
		var c []point
		for _, run := range regexp.MustCompile(`([LC]?)([^LC]+)`).FindAllStringSubmatch(m[1], -1) {
			numbers := strings.Fields(run[2])
			var pts []point
			for i := 0; i+1 < len(numbers); i += 2 {
				pts = append(pts, point{numbers[i], numbers[i+1]})
			}
			if len(numbers)%2 != 0 || run[1] == "C" && len(pts)%3 != 0 {
				t.Fatalf("contour %.60s", m[1])
			}
			if run[1] != "C" {
				c = append(c, pts...)
				continue
			}
			for ; len(pts) > 0; pts = pts[3:] {
				c = append(c, onCurve(t, c[len(c)-1], pts[0], pts[1], pts[2])...)
			}
		}
		if n := len(c); n > 1 && c[0] == c[n-1] {
			c = c[:n-1]
		}
		if len(c) < 3 {
			t.Fatalf("contour %.60s", m[1])
		}
		out = append(out, c)
	}
	return out
}

// onCurve returns points of a cubic Bézier, its end last. The same curve run
// backwards has the same points.
func onCurve(t *testing.T, p0, p1, p2, p3 point) []point {
	t.Helper()
	x0, y0 := p0.mm(t)
	x1, y1 := p1.mm(t)
	x2, y2 := p2.mm(t)
	x3, y3 := p3.mm(t)
	text := func(v float64) string { return strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64) }
	var out []point
	for _, u := range []float64{0.25, 0.5, 0.75} {
		v := 1 - u
		a, b, c, d := v*v*v, 3*v*v*u, 3*v*u*u, u*u*u
		out = append(out, point{text((a*x0 + d*x3) + (b*x1 + c*x2)), text((a*y0 + d*y3) + (b*y1 + c*y2))})
	}
	return append(out, p3)
}

func readManifest(t *testing.T, dir string) workshop.Manifest {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "job.json"))
	if err != nil {
		t.Fatal(err)
	}
	var m workshop.Manifest
	if err := json.Unmarshal(b, &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// cuts reads every cut file of a folder, in order of assembly.
func cuts(t *testing.T, dir string) []cut {
	t.Helper()
	var out []cut
	for _, s := range readManifest(t, dir).Separations {
		out = append(out, readCut(t, filepath.Join(dir, s.File)))
	}
	return out
}

// area is the area that contours enclose under the even-odd rule, given that
// they are nested and alternate in direction.
func area(t *testing.T, contours [][]point) float64 {
	t.Helper()
	sum := 0.0
	for _, c := range contours {
		x0, y0 := c[len(c)-1].mm(t)
		for _, p := range c {
			x, y := p.mm(t)
			sum += (x0*y - x*y0) / 2
			x0, y0 = x, y
		}
	}
	return math.Abs(sum)
}

func listing(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(p string, _ fs.DirEntry, err error) error {
		out = append(out, p)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestCut_LetterFComesOutReversed(t *testing.T) {
	const f = `<path fill="#123456" d="M10 20H40V28H18V40H34V48H18V70H10Z"/>`
	out := filepath.Join(t.TempDir(), "out")
	must(t, "cut", art(t, sized, f), "-o", out, "--frame", "none")
	c := cuts(t, out)[0]
	if c.width != "30mm" || c.height != "50mm" || c.viewBox != "0 0 30 50" || c.fill != "#123456" || c.frame != nil {
		t.Errorf("%+v", c)
	}
	// The stem stands at the right and the arms reach left.
	want := []point{{"30", "0"}, {"0", "0"}, {"0", "8"}, {"22", "8"}, {"22", "20"}, {"6", "20"}, {"6", "28"}, {"22", "28"}, {"22", "50"}, {"30", "50"}}
	if len(c.contours) != 1 || len(c.contours[0]) > len(want)+1 { // it may begin within a side
		t.Fatalf("%v", c.contours)
	}
	for _, p := range want {
		if !slices.Contains(c.contours[0], p) {
			t.Errorf("no corner at %v: %v", p, c.contours[0])
		}
	}
}

func TestCut_MirroringTwiceIsTheArt(t *testing.T) {
	// Cut what was cut: reversed once more, F reads right again.
	const f = `<path fill="#123456" d="M10 20H40V28H18V40H34.1234V48H18V70H10Z"/>`
	dir := t.TempDir()
	must(t, "cut", art(t, sized, f), "-o", filepath.Join(dir, "once"), "--frame", "none")
	once := readManifest(t, filepath.Join(dir, "once")).Separations[0].File
	must(t, "cut", filepath.Join(dir, "once", once), "-o", filepath.Join(dir, "twice"), "--frame", "none")
	got := cuts(t, filepath.Join(dir, "twice"))[0]
	for _, p := range []point{{"0", "0"}, {"30", "0"}, {"30", "8"}, {"8", "8"}, {"24.1234", "20"}, {"24.1234", "28"}, {"0", "50"}} {
		if len(got.contours) != 1 || len(got.contours[0]) > 12 || !slices.Contains(got.contours[0], p) {
			t.Errorf("no corner at %v: %v", p, got.contours)
		}
	}
}

func TestCut_WidthAndHeightAreTheArtsExtent(t *testing.T) {
	file := art(t, viewBox, overlapping) // 60 × 40 units
	for _, c := range []struct {
		flag, value string
		w, h        float64
	}{
		{"--width", "90mm", 90, 60}, {"--width", "9cm", 90, 60}, {"--width", "90", 90, 60}, {"--width", "3in", 76.2, 50.8},
		{"--width", "72pt", 25.4, 25.4 * 2 / 3}, {"--width", "192px", 50.8, 50.8 * 2 / 3}, {"--height", "20 mm", 30, 20}, {"--width", "4,5cm", 45, 30},
	} {
		out := filepath.Join(t.TempDir(), "out")
		must(t, "cut", file, "-o", out, c.flag, c.value)
		m := readManifest(t, out)
		// Within a step of the grid: scaled corners are rounded to it.
		if math.Abs(m.WidthMM-c.w) > 1e-4 || math.Abs(m.HeightMM-c.h) > 1e-4 {
			t.Errorf("%s %s: %g × %g", c.flag, c.value, m.WidthMM, m.HeightMM)
		}
	}
}

func TestCut_ArtWithoutASizeNeedsOne(t *testing.T) {
	for _, root := range []string{viewBox, `width="100" height="100"`, `width="100px" height="100px"`} {
		dir := t.TempDir()
		status, _, errs := abut("cut", art(t, root, overlapping), "-o", filepath.Join(dir, "out"))
		if status != exitFailed || !strings.Contains(errs, "does not say how large") || !strings.Contains(errs, "--width") {
			t.Errorf("%s: %d %s", root, status, errs)
		}
		if len(listing(t, dir)) != 1 {
			t.Error("something was written")
		}
	}
}

func TestCut_FrameLiesOutsideTheArtOnTheBase(t *testing.T) {
	// Two squares apart: neither spans the other.
	const apart = `<rect x="10" y="10" width="30" height="30" fill="#d03020"/><rect x="60" y="20" width="20" height="20" fill="#2040c0"/>`
	file := art(t, sized, apart)
	for _, c := range []struct {
		args  []string
		frame bool
		page  [2]float64
	}{
		{nil, true, [2]float64{80, 40}}, // 70 × 30 and 5 mm around
		{[]string{"--margin", "8mm"}, true, [2]float64{86, 46}},
		{[]string{"--frame", "none"}, false, [2]float64{70, 30}},
		{[]string{"--frame", "2040c0", "--margin", "1.25mm"}, true, [2]float64{72.5, 32.5}},
	} {
		out := filepath.Join(t.TempDir(), "out")
		must(t, append([]string{"cut", file, "-o", out}, c.args...)...)
		m := readManifest(t, out)
		if m.PageMM != c.page || m.Separations[0].Frame != c.frame || m.Separations[1].Frame {
			t.Errorf("%v: %+v", c.args, m)
		}
		sheets := cuts(t, out)
		if (sheets[0].frame != nil) != c.frame || sheets[1].frame != nil || sheets[0].viewBox != sheets[1].viewBox {
			t.Errorf("%v: %+v", c.args, sheets)
		}
		if c.frame {
			w, h := strconv.FormatFloat(c.page[0], 'f', -1, 64), strconv.FormatFloat(c.page[1], 'f', -1, 64)
			for _, p := range []point{{"0", "0"}, {w, "0"}, {w, h}, {"0", h}} {
				if !slices.Contains(sheets[0].frame, p) {
					t.Errorf("%v: the frame %v misses %v", c.args, sheets[0].frame, p)
				}
			}
		}
		if len(c.args) > 1 && c.args[1] == "2040c0" && m.Separations[0].Color != "#2040c0" {
			t.Errorf("the base is %+v", m.Separations[0])
		}
	}
	status, _, errs := abut("cut", file, "-o", filepath.Join(t.TempDir(), "out"), "--frame", "00ff00")
	if status != exitFailed || !strings.Contains(errs, "#00ff00") || !strings.Contains(errs, "#2040c0") {
		t.Errorf("%d %s", status, errs)
	}
}

func TestCut_NeighboursShareEveryPointOfTheirLine(t *testing.T) {
	// A disc sunk into a square at an awkward size: all its points are the hole's.
	const sunk = `<rect width="100" height="100" fill="#d03020"/><circle cx="47.3" cy="51.9" r="31.7" fill="#2040c0"/>`
	out := filepath.Join(t.TempDir(), "out")
	must(t, "cut", art(t, viewBox, sunk), "-o", out, "--width", "83.7mm")
	sheets := cuts(t, out)
	if len(sheets) != 2 || len(sheets[0].contours) != 2 || len(sheets[1].contours) != 1 {
		t.Fatalf("%+v", sheets)
	}
	hole, disc := sheets[0].contours[0], sheets[1].contours[0]
	if len(hole) != len(disc) || len(disc) < 50 {
		t.Errorf("%d and %d points", len(hole), len(disc))
	}
	for _, p := range disc {
		if !slices.Contains(hole, p) {
			t.Errorf("%v is the disc's alone", p)
		}
	}
	// What is left and what was laid in add up to the square.
	if sum := area(t, sheets[0].contours) + area(t, sheets[1].contours); math.Abs(sum-83.7*83.7) > 1e-6 {
		t.Errorf("%.7f of %.7f mm²", sum, 83.7*83.7)
	}
}

func TestCut_BareColoursAreKnockedOutAndNotCut(t *testing.T) {
	const eye = `<rect width="100" height="100" fill="#d03020"/><circle cx="50" cy="50" r="20" fill="#fefefe"/><circle cx="50" cy="50" r="10" fill="#ffee00"/>`
	for _, c := range []struct {
		bare   string
		colors []string
		said   string
	}{
		{"auto", []string{"#d03020", "#ffee00"}, "#fefefe"},
		{"none", []string{"#d03020", "#fefefe", "#ffee00"}, ""},
		{"ffee00", []string{"#d03020", "#fefefe"}, "#ffee00"},
		{"#ffee00,fefefe", []string{"#d03020"}, "#fefefe and #ffee00"},
	} {
		out := filepath.Join(t.TempDir(), "out")
		text := must(t, "cut", art(t, sized, eye), "-o", out, "--bare", c.bare)
		var colors []string
		for _, s := range readManifest(t, out).Separations {
			colors = append(colors, s.Color)
		}
		slices.Sort(colors)
		if !slices.Equal(colors, c.colors) {
			t.Errorf("%s: %v", c.bare, colors)
		}
		if strings.Contains(text, "Left bare") != (c.said != "") || !strings.Contains(text, c.said) {
			t.Errorf("%s: %s", c.bare, text)
		}
	}
}

func TestCut_StackedColoursAreRefused(t *testing.T) {
	file := art(t, sized, overlapping)
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	status, _, errs := abut("cut", file, "-o", out, "--knockout", "none")
	if status != exitStacked || !strings.Contains(errs, "bar over square (100 mm²)") || !strings.Contains(errs, "--allow-stacked") {
		t.Errorf("%d %s", status, errs)
	}
	if len(listing(t, dir)) != 1 {
		t.Error("something was written")
	}
	text := must(t, "cut", file, "-o", out, "--knockout", "none", "--allow-stacked")
	if m := readManifest(t, out); m.StackedAfterMM2 != 100 || m.StackedBeforeMM2 != 100 || !strings.Contains(text, "still stack") {
		t.Errorf("%+v\n%s", m, text)
	}
	must(t, "cut", file, "-o", filepath.Join(dir, "knocked"))
	if m := readManifest(t, filepath.Join(dir, "knocked")); m.StackedAfterMM2 != 0 || m.StackedBeforeMM2 != 100 {
		t.Errorf("%+v", m)
	}
}

func TestCut_TouchesNoFolderThatIsThere(t *testing.T) {
	file := art(t, sized, overlapping)
	out := filepath.Join(t.TempDir(), "out")
	must(t, "cut", file, "-o", out)
	first := readManifest(t, out)
	status, _, errs := abut("cut", file, "-o", out, "--width", "30mm")
	if status != exitFailed || !strings.Contains(errs, "already there") || !strings.Contains(errs, "--overwrite") {
		t.Errorf("%d %s", status, errs)
	}
	if m := readManifest(t, out); m.WidthMM != first.WidthMM {
		t.Error("it was touched")
	}
	must(t, "cut", file, "-o", out, "--width", "30mm", "--overwrite")
	if m := readManifest(t, out); m.WidthMM != 30 {
		t.Error("it was not replaced")
	}
}

func TestCut_SaysThatItIsMirrored(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	text := must(t, "cut", art(t, sized, overlapping), "-o", out)
	if !strings.Contains(text, "Already mirrored") || !strings.Contains(text, "mirroring off") || !strings.Contains(text, "backwards on the mat") {
		t.Error(text)
	}
	for _, s := range readManifest(t, out).Separations {
		if !regexp.MustCompile(`^\d\d-[a-z0-9-]+-mirrored\.svg$`).MatchString(s.File) {
			t.Error(s.File)
		}
	}
}

func TestRun_WhatIsNotUnderstoodIsAUsageError(t *testing.T) {
	file := art(t, sized, overlapping)
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	for _, args := range [][]string{
		{"cut", file, "-o", out, "--gap", "some"}, {"cut", file, "-o", out, "--mend", "all"}, {"cut", file, "-o", out, "--min-width", "0"},
		{"cut", file, "-o", out, "--colors", "few"}, {"cut", file, "-o", out, "--colors", "-1"}, {"cut", file, "-o", out, "--colors", "0"}, {"cut", file, "-o", out, "--gap", "-1mm"}, {"cut", file, "-o", out, "--width", "infmm"}, {"cut", file, "-o", out, "--gap", "nan"}, {"cut", file, "-o", out, "--copies", "0"}, {"cut", file, "-o", out, "--layout", "heap"}, {"cut", file, "-o", out, "--sheet", "12x12"},
		{"cut", file, "-o", out, "--formats", "eps"},
		{"cut", file}, {"cut", "-o", out}, {"check"}, {"check", file, "--height", "3"}, {"--nonsense"}, {"demo", "x"},
		{"cut", file, "-o", out, "--width", "9 miles"}, {"cut", file, "-o", out, "--width", "0"}, {"cut", file, "-o", out, "--width", "-5mm"},
		{"cut", file, "-o", out, "--width", "NaN"}, {"cut", file, "-o", out, "--width", "Inf"}, {"cut", file, "-o", out, "--width", "1e9"}, {"cut", file, "-o", out, "--width", "3000mm"},
		{"cut", file, "-o", out, "--width", ""}, {"cut", file, "-o", out, "--width", "0x10"}, {"cut", file, "-o", out, "--width", "5mm", "--height", "5mm"},
		{"cut", file, "-o", out, "--knockout", "some"}, {"cut", file, "-o", out, "--bare", "blueish"}, {"cut", file, "-o", out, "--frame", "ff0000,00ff00"},
		{"cut", file, "-o", out, "--margin", "none"}, {"cut", file, "-o", out, "--margin", "0"},
	} {
		status, stdout, errs := abut(args...)
		if status != exitUsage || stdout != "" || !strings.Contains(errs, "--help") || strings.Contains(errs, "cut: cut:") || strings.Contains(errs, "inf") && !strings.Contains(errs, "not a length") {
			t.Errorf("%q: status %d\n%s%s", args, status, stdout, errs)
		}
	}
	if len(listing(t, dir)) != 1 {
		t.Error("something was written")
	}
}

// Where nothing is left to cut, what was left out says why.
func TestCut_OfNothingTellsWhatWasLeftOut(t *testing.T) {
	file := art(t, viewBox, `<image width="50" height="50" href="photo.png"/><rect id="background" width="9" height="9" fill="red"/>`)
	status, _, errs := abut("cut", file, "-o", filepath.Join(t.TempDir(), "out"), "--leave-out", "background", "--width", "90mm")
	if status != exitFailed || !strings.Contains(errs, "photo") || !strings.Contains(errs, words.Say("nothing-to-cut")) {
		t.Errorf("status %d\n%s", status, errs)
	}
}

func TestCut_AGapOrCornerOfNothingIsNone(t *testing.T) {
	file := art(t, sized, overlapping)
	usual := filepath.Join(t.TempDir(), "out")
	must(t, "cut", file, "-o", usual)
	for _, flag := range []string{"--gap=0", "--gap=0mm", "--gap=none", "--clearance=0", "--corner=0", "--corner=None"} {
		out := filepath.Join(t.TempDir(), "out")
		must(t, "cut", file, "-o", out, flag)
		for _, s := range readManifest(t, usual).Separations {
			want, _ := os.ReadFile(filepath.Join(usual, s.File))
			if got, err := os.ReadFile(filepath.Join(out, s.File)); err != nil || !bytes.Equal(got, want) {
				t.Errorf("%s changes %s", flag, s.File)
			}
		}
	}
}

// Where nothing can be looked at, every name looks as free as the next.
func TestDemo_WhereNothingCanBeSearchedItSaysSo(t *testing.T) {
	file := art(t, sized, overlapping)
	if got := unused(filepath.Join(file, "abut-demo")); got != filepath.Join(file, "abut-demo") {
		t.Error(got)
	}
	if status, _, errs := abut("demo", "-o", filepath.Join(file, "out")); status != exitFailed || !strings.Contains(errs, "cannot be written") {
		t.Error(status, errs)
	}
}

func TestRun_HelpIsPlainAndSucceeds(t *testing.T) {
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--help"}, []string{"check", "cut", "demo", "Exit status", "130 stopped", "--version", "abut cut boat.svg -o boat --width 90mm"}},
		{[]string{"cut", "--help"}, []string{"mirrored", "--allow-stacked", "no white dye", "3 refused because", "bare number is", "millimetres"}},
		{[]string{"check", "--help"}, []string{"before anything is knocked out", "--json"}},
		{[]string{"demo", "--help"}, []string{"steps.html"}},
		{[]string{"help"}, []string{"check", "cut", "demo", "Exit status"}},
		{[]string{"help", "cut"}, []string{"mirrored", "--allow-stacked"}},
	} {
		status, out, errs := abut(c.args...)
		for _, w := range c.want {
			if !strings.Contains(out, w) {
				t.Errorf("%q does not say %q", c.args, w)
			}
		}
		if status != exitOK || errs != "" {
			t.Errorf("%q: %d %s", c.args, status, errs)
		}
	}
}

func TestCheck_SaysWhatStacksAndWhere(t *testing.T) {
	file := art(t, viewBox, overlapping)
	status, out, errs := abut("check", file, "--width", "60mm")
	if status != exitStacked || errs != "" {
		t.Errorf("%d %s", status, errs)
	}
	for _, want := range []string{"60 × 40 mm, 2 sheets", "bar over square (100 mm²)", "1 place (100 mm²)", "abut cut"} {
		if !strings.Contains(out, want) {
			t.Errorf("does not say %q:\n%s", want, out)
		}
	}
	status, out, _ = abut("check", file, "--json", "--width", "120mm")
	var r checkReport
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	if status != exitStacked || r.WidthMM != 120 || r.StackedMM2 != 400 || len(r.Places) != 1 || !slices.Equal(r.Places[0].Layers, []string{"square", "bar"}) || len(r.Sheets) != 2 {
		t.Errorf("%d %+v", status, r)
	}
	status, out, _ = abut("check", art(t, viewBox, `<rect width="9" height="9" fill="red"/>`))
	if status != exitOK || !strings.Contains(out, "nothing stacks") || !strings.Contains(out, "states no size") {
		t.Errorf("%d %s", status, out)
	}
}

func TestRun_AFileThatCannotBeUsedIsNamedWithAReason(t *testing.T) {
	broken := filepath.Join(t.TempDir(), "broken.svg")
	if err := os.WriteFile(broken, []byte("<svg"), 0o644); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, file := range []string{broken, filepath.Join(dir, "none.svg"), dir} {
		for _, args := range [][]string{{"check", file}, {"cut", file, "-o", filepath.Join(dir, "out"), "--width", "9cm"}} {
			status, out, errs := abut(args...)
			if status != exitFailed || out != "" || !strings.HasPrefix(errs, "abut: ") || strings.Contains(errs, "[") {
				t.Errorf("%q: %d %s%s", args, status, out, errs)
			}
		}
	}
	if len(listing(t, dir)) != 1 {
		t.Error("something was written")
	}
}

// Names of files are bytes: those of old systems are no UTF-8.
func TestCut_FileAndFolderMayHaveNamesInAnyEncoding(t *testing.T) {
	from := art(t, sized, overlapping)
	file := filepath.Join(filepath.Dir(from), "B\xe4r.svg")
	if err := os.Rename(from, file); err != nil {
		t.Skip("this system has no such names: ", err)
	}
	out := filepath.Join(filepath.Dir(from), "B\xe4r out")
	if status, said, errs := abut("check", file); status != exitStacked {
		t.Fatal(status, said, errs)
	}
	must(t, "cut", file, "-o", out)
	b, err := os.ReadFile(filepath.Join(out, "job.json"))
	if err != nil || !json.Valid(b) || !utf8.Valid(b) {
		t.Errorf("job.json: %v", err)
	}
}

func TestRun_StoppedWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	dir := t.TempDir()
	var o, e bytes.Buffer
	if status := run(ctx, []string{"cut", art(t, sized, overlapping), "-o", filepath.Join(dir, "out")}, streams{nil, &o, &e}); status != exitStopped {
		t.Errorf("status %d: %s", status, &e)
	}
	if status := run(ctx, []string{"demo", "-o", filepath.Join(dir, "demo")}, streams{nil, &o, &e}); status != exitStopped {
		t.Errorf("status %d: %s", status, &e)
	}
	if got := listing(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

func TestDemo_DoesTheWholeJobOnEveryPicture(t *testing.T) {
	out := filepath.Join(t.TempDir(), "demo")
	text := must(t, "demo", "-o", out)
	for _, d := range assets.Demos() {
		if !strings.Contains(text, d.Name+". "+d.Line) {
			t.Errorf("does not say %q", d.Name)
		}
		if _, err := os.Stat(filepath.Join(out, d.ID, "steps.html")); err != nil {
			t.Error(err)
		}
		if m := readManifest(t, filepath.Join(out, d.ID)); m.StackedAfterMM2 != 0 || len(m.Separations) != len(cuts(t, filepath.Join(out, d.ID))) {
			t.Errorf("%s: %+v", d.ID, m)
		}
	}
	// What each picture is there to show (common practice).
	frame := func(id string) bool { return readManifest(t, filepath.Join(out, id)).Separations[0].Frame }
	if !frame("spread") {
		t.Error("spread: five colours apart need a frame")
	}
	if frame("bracket") {
		t.Error("bracket: the base spans the rest, so no frame")
	}
	nested := cuts(t, filepath.Join(out, "nested"))
	rings := 0
	for _, c := range nested {
		if len(c.contours) == 2 {
			rings++
		}
	}
	if len(nested) != 6 || rings != 5 {
		t.Errorf("nested: %d sheets, %d rings", len(nested), rings)
	}
	pair := cuts(t, filepath.Join(out, "pair"))
	if len(pair) != 3 || len(pair[0].contours) != 4 || len(pair[1].contours)+len(pair[2].contours) != 3 {
		t.Fatalf("pair: %d sheets", len(pair))
	}
	for _, upper := range slices.Concat(pair[1].contours, pair[2].contours) {
		// But for where they begin, which may lie within a side.
		if !slices.ContainsFunc(pair[0].contours, func(hole []point) bool {
			return max(len(hole)-len(upper), len(upper)-len(hole)) <= 1 && !slices.ContainsFunc(upper[1:], func(p point) bool { return !slices.Contains(hole, p) })
		}) {
			t.Error("pair: a shape has no hole of exactly its points")
		}
	}

	status, _, errs := abut("demo", "-o", out)
	if status != exitFailed || !strings.Contains(errs, "already there") {
		t.Errorf("%d %s", status, errs)
	}
}

// TestCut_InnerContoursComeBeforeOuterAndNoneTwice looks at the richest picture.
func TestCut_InnerContoursComeBeforeOuterAndNoneTwice(t *testing.T) {
	dir := t.TempDir()
	rich := assets.Demos()[len(assets.Demos())-1]
	file := filepath.Join(dir, "rich.svg")
	if err := os.WriteFile(file, rich.SVG, 0o644); err != nil {
		t.Fatal(err)
	}
	must(t, "cut", file, "-o", filepath.Join(dir, "out"), "--width", "87.3mm")
	for i, c := range cuts(t, filepath.Join(dir, "out")) {
		seen := map[string]bool{}
		for k, contour := range c.contours {
			points := slices.Clone(contour)
			slices.SortFunc(points, func(a, b point) int { return strings.Compare(a.x+" "+a.y, b.x+" "+b.y) })
			key := ""
			for _, p := range points {
				key += p.x + " " + p.y + " "
				if regexp.MustCompile(`\.\d{5}|\.\d*0$|^-`).MatchString(p.x) || regexp.MustCompile(`\.\d{5}|\.\d*0$|^-`).MatchString(p.y) {
					t.Errorf("sheet %d: %v", i+1, p)
				}
			}
			if seen[key] {
				t.Errorf("sheet %d: contour %d is there twice", i+1, k)
			}
			seen[key] = true
			for _, later := range c.contours[k+1:] {
				if contains(t, contour, later) {
					t.Errorf("sheet %d: contour %d comes before one inside it", i+1, k)
				}
			}
		}
	}
}

// contains reports whether the contour outer holds all of inner, which does not
// cross it: whether it holds the middle of one of its lines.
func contains(t *testing.T, outer, inner []point) bool {
	t.Helper()
	x1, y1 := inner[0].mm(t)
	x2, y2 := inner[1].mm(t)
	x, y := (x1+x2)/2+1e-7, (y1+y2)/2+1e-7
	in := false
	px, py := outer[len(outer)-1].mm(t)
	for _, p := range outer {
		qx, qy := p.mm(t)
		if (py > y) != (qy > y) && x < px+(qx-px)*(y-py)/(qy-py) {
			in = !in
		}
		px, py = qx, qy
	}
	return in && area(t, [][]point{inner}) < area(t, [][]point{outer})
}

// Only what asks for nothing but the window, and cannot be a command, is not parsed.
func TestWindowed_IsNothingOrAFileAlone(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, name := range []string{"boat.svg", "cut", "-odd.svg", "my boat.png"} {
		if err := os.WriteFile(name, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for line, want := range map[string]string{
		"": "", "boat.svg": "boat.svg", "./boat.svg": "./boat.svg", "my boat.png": "my boat.png",
		"cut": "no", "-odd.svg": "no", "gone.svg": "no", "--help": "no", "boat.svg|--lang=de": "no", "cut|boat.svg": "no", "./cut": "no",
	} {
		var args []string
		if line != "" {
			args = strings.Split(line, "|")
		}
		file, is := windowed(args)
		if is != (want != "no") || is && file != want {
			t.Errorf("%q: %q, %v", line, file, is)
		}
	}
}
